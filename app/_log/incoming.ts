import type { NewFile } from '../../lib/keep/kept';
import type { Inspection, LogFile } from '../../lib/log/inspect';
import type { Mapping } from '../../lib/log/mapping/mapping';
import { asItIs, type PreparedFile } from '../../lib/log/prepared';
import type { Bench } from '../../lib/store/browser/bench';
import type { CameWith, FileReport, ReplaceAnswer } from '../../lib/store/load';
import type { Replacements } from '../../lib/store/replacements';

/** Files on their way into the log, and how they are read and kept. */
export interface Incoming<File extends PreparedFile> {
  readonly files: readonly File[];
  readonly step: string;
  readonly cameWith: (file: File) => CameWith;
  readonly inspect: (file: File, look: (file: LogFile) => Promise<Inspection>) => Promise<Inspection>;
  readonly confirm: (replacements: Replacements) => Promise<ReplaceAnswer>;
  /** What is done with files that are new; null for those that come back from where they are kept. */
  readonly fresh: {
    /** Keeps what was taken in; answers the files that had changed by then, which are taken out again. */
    readonly keep: (
      reports: readonly FileReport[],
      hashes: ReadonlyMap<LogFile, string>,
    ) => Promise<readonly LogFile[]>;
    /** Those that a mapping could read. */
    readonly foreign: (reports: readonly FileReport[]) => Promise<readonly Arrived[]>;
    readonly counts: (reports: readonly FileReport[]) => CameCounts;
  } | null;
}

const twoDigits = (n: number): string => String(n).padStart(2, '0');
export const localTime = (now: Date): string =>
  `${now.getFullYear()}-${twoDigits(now.getMonth() + 1)}-${twoDigits(now.getDate())} ` +
  [now.getHours(), now.getMinutes(), now.getSeconds()].map(twoDigits).join(':');

/** Whether the database, or the browser itself, had no memory left. */
export const isOutOfMemory = (error: unknown): boolean =>
  error instanceof Error && /out of memory|allocation failed/i.test(error.message);

export const called = (error: unknown): string => (error instanceof Error ? error.message : String(error));

/** Of the refused files those that a mapping could read. */
export async function foreignAmong(
  files: readonly Arrived[],
  reports: readonly FileReport[],
): Promise<readonly Arrived[]> {
  const refused = files.flatMap((file, i) => (reports[i]?.refused !== null ? [{ ...file, refused: null }] : []));
  if (refused.length === 0) return [];
  const { isForeignSheet } = await import('./mappings');
  // One that is gone from the disk can't be looked at again.
  const foreign = await Promise.all(refused.map(({ file }) => isForeignSheet(file.blob).catch(() => false)));
  return refused.filter((_, i) => foreign[i] === true);
}

/** What a person chose, as it came: it may give the log several files, a sheet of a workbook or a table each. */
export interface Came {
  readonly name: string;
  readonly blob: Blob;
  readonly mappings: readonly Mapping[];
}

/** A file as the log is to take it, and what it came in. */
export interface Arrived extends PreparedFile {
  readonly came: Came;
}

export const arrived = (name: string, blob: Blob): Arrived => ({
  ...asItIs({ name, blob, path: null }),
  came: { name, blob, mappings: [] },
});

/** Of a load, what a person would count: files as they came, a workbook as one of them, and its sheets. */
export interface CameCounts {
  /** Files other than workbooks of which something was read. */
  readonly files: number;
  readonly workbooks: number;
  readonly sheets: number;
  /** Files and sheets that were refused. */
  readonly refused: number;
}

/** @param reports one a file, in the same order: a file that a mapping reads has one for each table or element */
export function cameCounts(
  files: readonly { readonly file: LogFile; readonly came: Pick<Came, 'blob'> }[],
  reports: readonly Pick<FileReport, 'refused'>[],
): CameCounts {
  const named = files.map(({ file, came }, i) => ({
    blob: came.blob,
    sheet: file.origin?.sheet ?? null,
    refused: (reports[i]?.refused ?? null) !== null,
  }));
  const read = named.filter(({ refused }) => !refused);
  const books = read.filter(({ sheet }) => sheet !== null);
  const sheets = [...new Set(books.map(({ blob }) => blob))].map(
    (book) => new Set(books.flatMap(({ blob, sheet }) => (blob === book ? [sheet] : []))).size,
  );
  return {
    files: new Set(read.flatMap(({ blob, sheet }) => (sheet === null ? [blob] : []))).size,
    workbooks: sheets.length,
    sheets: sheets.reduce((sum, n) => sum + n, 0),
    refused: named.filter(({ refused }) => refused).length,
  };
}

/** A file as its kept mappings read it; a workbook sheet by sheet. The worker does it, so that the page stays free. */
export async function prepared(file: Arrived, bench: Bench, mappings: readonly Mapping[]): Promise<Arrived[]> {
  const { files, used } = await bench.prepare(file, mappings);
  return files.map((each) => ({ ...each, came: { ...file.came, mappings: used } }));
}

/** The files of a load as they came, of which at least something was taken in. */
export function keptOf(
  files: readonly Arrived[],
  reports: readonly FileReport[],
  hashes: ReadonlyMap<LogFile, string>,
): NewFile[] {
  const kept = new Map<Blob, NewFile>();
  files.forEach(({ file, came }, i) => {
    const hash = file.origin?.hash ?? hashes.get(file);
    if (hash === undefined || (reports[i]?.table ?? null) === null) return;
    const sheet = file.origin?.sheet ?? null;
    const before = kept.get(came.blob);
    const sheets = sheet === null ? {} : { sheets: [...new Set([...(before?.sheets ?? []), sheet])] };
    const mappings = [...new Set([...(before?.mappings ?? []), ...came.mappings])];
    kept.set(came.blob, { name: came.name, blob: came.blob, hash, mappings, ...sheets });
  });
  return [...kept.values()];
}
