import { csvFormatRows } from 'd3-dsv';
import { writeZip, type ZipFile } from '../../keep/zip';
import { guarded } from '../../log/mend';
import { visible } from '../../words/visible';
import { buildRecord, type Ask } from '../ask';
import { recordHtml, recordName } from '../html';
import { recordHash, type AuditRecord } from '../record';

/** The records of many jobs as one archive: each as its own file, and a sheet that lists them, to read and to reckon with. */

/** One line of the list. */
export interface Indexed {
  readonly job: string;
  readonly serial: string;
  readonly claim: string;
  readonly model: string;
  readonly finished: string;
  readonly state: string;
  readonly hash: string;
  readonly path: string;
}

const heads = ['job', 'serial', 'claim', 'model', 'finished', 'state', 'record_sha256', 'file'] as const;
const cellsOf = ({ job, serial, claim, model, finished, state, hash, path }: Indexed): readonly string[] => [
  ...[job, serial, claim, model, finished, state, hash, path],
];

/** The list for a spreadsheet: nothing in it runs there. */
export const indexCsv = (rows: readonly Indexed[]): string =>
  `${csvFormatRows([[...heads], ...rows.map((row) => cellsOf(row).map(guarded))])}\n`;

const escapes: Readonly<Record<string, string>> = {
  ...{ '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' },
};
const escaped = (text: string): string => visible(text).replace(/[&<>"']/g, (letter) => escapes[letter] ?? letter);

const STYLE = `body { margin: 6mm; font: 10pt/1.4 sans-serif; color: #000; background: #fff; }
table { border-collapse: collapse; width: 100%; }
th, td { border: 0.5pt solid #777; padding: 2pt 4pt; text-align: left; vertical-align: top; overflow-wrap: anywhere; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
code { font-size: 8pt; }
`;

/** The list to read and to print; each job leads to its record beside it. `says`: how the jobs were chosen, a sentence each. */
export function indexHtml(rows: readonly Indexed[], says: readonly string[]): string {
  const lines = rows.map(
    ({ job, serial, claim, model, finished, state, hash, path }) =>
      `<tr><td><a href="${escaped(path)}">${escaped(job)}</a></td><td>${escaped(serial)}</td><td>${escaped(claim)}</td><td>${escaped(model)}</td><td>${escaped(finished)}</td><td>${escaped(state)}</td><td><code>${escaped(hash)}</code></td></tr>`,
  );
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Audit records</title>
<style>
${STYLE}</style>
</head>
<body>
<h1>Audit records</h1>
${says.map((sentence) => `<p>${escaped(sentence)}</p>`).join('\n')}
<table>
<thead><tr><th>Job</th><th>Serial number</th><th>Claim number</th><th>Model</th><th>Finished</th><th>State of the record</th><th>SHA-256 of the record</th></tr></thead>
<tbody>
${lines.join('\n')}
</tbody>
</table>
<p>A record lists what the log holds. The pump maker's current specification and the licensed practitioner decide.</p>
</body>
</html>
`;
}

const textCell = (record: AuditRecord, column: string): string => {
  const cell = record.job[column];
  return cell === null || cell === undefined ? '' : String(cell);
};

export interface BatchOptions {
  /** How the jobs were chosen, for the head of the list. */
  readonly says: readonly string[];
  readonly signal?: AbortSignal;
  readonly onProgress?: (done: number, of: number) => void;
}

export interface Batch {
  readonly archive: Blob;
  readonly saved: number;
  /** Jobs that the log does not have. */
  readonly missing: readonly string[];
}

/** More records than these go into several archives. */
export const MOST_RECORDS = 2000;

/**
 * The archive of the records of these jobs, in their order: index.html, index.csv and records/. The same log gives the same bytes. Ends
 * with the signal's reason where it is called off.
 */
export async function recordsArchive(ask: Ask, jobs: readonly string[], options: BatchOptions): Promise<Batch> {
  const { says, signal, onProgress } = options;
  const files: ZipFile[] = [];
  const rows: Indexed[] = [];
  const missing: string[] = [];
  for (const [done, id] of jobs.entries()) {
    signal?.throwIfAborted();
    onProgress?.(done, jobs.length);
    const record = await buildRecord(ask, id);
    if (record === null) {
      missing.push(id);
      continue;
    }
    const path = `records/${recordName(record, 'html')}`;
    files.push({ name: path, blob: new Blob([recordHtml(record)], { type: 'text/html' }) });
    rows.push({
      job: id,
      serial: textCell(record, 'pump_serial'),
      claim: textCell(record, 'claim_no'),
      model: textCell(record, 'pump_model'),
      finished: textCell(record, 'finished_on'),
      state: record.summary?.state ?? '',
      hash: recordHash(record),
      path,
    });
  }
  const html: ZipFile = { name: 'index.html', blob: new Blob([indexHtml(rows, says)], { type: 'text/html' }) };
  const csv: ZipFile = { name: 'index.csv', blob: new Blob([indexCsv(rows)], { type: 'text/csv' }) };
  const archive = await writeZip([html, csv, ...files]);
  signal?.throwIfAborted();
  onProgress?.(jobs.length, jobs.length);
  return { archive, saved: rows.length, missing };
}
