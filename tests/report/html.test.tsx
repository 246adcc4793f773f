import { renderToStaticMarkup } from 'react-dom/server';
import { createHash } from 'node:crypto';
import { beforeAll, describe, expect, it } from 'vitest';
import { SheetView } from '../../app/record/SheetView';
import { htmlOf, recordHtml, recordName } from '../../lib/report/html';
import { readRecord } from '../../lib/report/read';
import { recordHash, recordJson, type AuditRecord } from '../../lib/report/record';
import { sheetOf } from '../../lib/report/sheet/sheet';
import { logOf } from '../store/openLog';
import { auditLog, auditLogWith, recordOf } from './auditLog';

const record = async (files: Readonly<Record<string, string>>, id = 'J-1'): Promise<AuditRecord> => {
  const log = await logOf(files);
  const made = await recordOf(log, id);
  await log.db.close();
  return made;
};
/** Between elements of a table ends of lines are room, and say nothing. */
const withoutRoom = (html: string): string => html.replaceAll('\n', '');

let plain: AuditRecord;
beforeAll(async () => {
  plain = await record(auditLog);
});

describe('the record as one file', () => {
  it('is the same bytes for the same record, prints its hash and carries its data', () => {
    const html = recordHtml(plain);
    expect(recordHtml(structuredClone(plain))).toBe(html);
    expect(html).toContain(`<code id="record-hash">${recordHash(plain)}</code>`);
    const reading = readRecord(html);
    expect(reading).toMatchObject({
      ok: true,
      read: { hash: recordHash(plain), printed: recordHash(plain), canonical: true },
    });
    expect(createHash('sha256').update(recordJson(plain)).digest('hex')).toBe(recordHash(plain));
  });

  it('loads and runs nothing: its policy allows its own style alone', () => {
    const html = recordHtml(plain);
    const style = /<style>([\s\S]*?)<\/style>/.exec(html)?.[1] ?? '';
    const hash = createHash('sha256').update(style).digest('base64');
    expect(html).toContain(
      `content="default-src 'none'; style-src 'sha256-${hash}'; base-uri 'none'; form-action 'none'"`,
    );
    expect(html).not.toMatch(/<(link|img|iframe|object|form|a)\b|\sstyle=|\son[a-z]+=|https?:/);
    expect([...html.matchAll(/<script[^>]*>/g)].map(([tag]) => tag)).toEqual([
      '<script type="application/json" id="record-data">',
    ]);
  });

  it('shows figures in the units of the log, with word and mark', () => {
    const html = htmlOf(sheetOf(plain, ''));
    expect(html).toContain('<td class="figure">2.120</td>');
    expect(html).toContain('<td class="figure">0.80</td>');
    expect(html).toContain('<span class="word word-bad"><span aria-hidden="true">◆</span> does not conform</span>');
    expect(html).toContain('<span class="word word-bad"><span aria-hidden="true">◆</span> past its date</span>');
    expect(html).not.toContain('NaN');
    expect(html).not.toContain('undefined');
  });

  it('names the claim beside the job and on its card, where the card states one', async () => {
    const sheet = withoutRoom(htmlOf(sheetOf(plain, '')));
    expect(sheet).toContain('<p>Kestrel, serial number S-1, claim W-0123, received 2024-03-04.');
    expect(sheet).toContain('<dt>Claim number</dt><dd>W-0123</dd>');
    const without = await record(auditLogWith('jobs.csv', (text) => text.replace('W-0123', '')));
    expect(withoutRoom(htmlOf(sheetOf(without, '')))).toContain('<p>Kestrel, serial number S-1, received 2024-03-04.');
  });

  it('prints what it does not know, each caution and who decides', () => {
    const sheet = withoutRoom(htmlOf(sheetOf(plain, '')));
    const scope = sheet.slice(sheet.indexOf('<h2>What this record does not know</h2>'));
    expect(plain.scope.not_known.length).toBeGreaterThan(0);
    expect([...scope.matchAll(/<li>/g)]).toHaveLength(plain.scope.not_known.length + plain.scope.cautions.length);
    for (const says of ['surgical emergency', 'must be guarded', 'flammable', 'Calibration certificates themselves']) {
      expect(scope).toContain(says);
    }
    expect(scope).toMatch(
      /<p>The pump maker&#39;s current test specification, local codes and the licensed practitioner/,
    );
  });

  it('names no run of a stage that was never measured', async () => {
    const made = await record(auditLogWith('governor.csv', () => 'job_id,run,check_id,speed_rpm,rack_mm\n'));
    const stage = made.results.stages.find((row) => row.stage === 'governor');
    expect(stage).toMatchObject({ runs: 0, as_left: 'not measured' });
    const html = withoutRoom(htmlOf(sheetOf(made, '')));
    expect(/<tr><td[^>]*>governor<\/td>.*?<\/tr>/.exec(html.slice(html.indexOf('Stages')))?.[0]).not.toContain('−1');
  });

  it('is shown on a page in the same elements with the same words', () => {
    const sheet = sheetOf(plain, recordHash(plain));
    const page = renderToStaticMarkup(<SheetView sheet={sheet} />).replaceAll('&#x27;', '&#39;');
    expect(withoutRoom(page)).toBe(withoutRoom(htmlOf(sheet)));
  });

  it('is called by the job and its hash, whatever the job is called', () => {
    const short = recordHash(plain).slice(0, 12);
    expect(recordName(plain, 'html')).toBe(`record-J-1-${short}.html`);
    const odd = { ...plain, job: { ...plain.job, job_id: '../..\\a/b:"c"' } };
    expect(recordName(odd, 'json')).toMatch(/^record-[A-Za-z0-9_-][A-Za-z0-9._-]*-[0-9a-f]{12}\.json$/);
  });
});

describe('text of the log that would be markup', () => {
  const note = '</script></style><img src=x onerror=alert(1)>&amp;\u202egnp';
  const id = "J'}</style><b>1";

  it('stays text, in the sheet, in the style of its pages and in the data', async () => {
    const files = Object.fromEntries(
      Object.entries(auditLogWith('jobs.csv', (text) => text.replace('pass,\n', `pass,"${note}"\n`))).map(
        ([name, text]) => [name, text.replaceAll('J-1,', `${id},`)],
      ),
    );
    const made = await record(files, id);
    const html = recordHtml(made);
    expect(made.job).toMatchObject({ job_id: id, note });
    expect(html.match(/<\/?(script|style)/g)).toEqual(['<style', '</style', '<script', '</script']);
    expect(html).not.toMatch(/<(img|b)\b/);
    expect(html).toContain('&lt;/script&gt;&lt;/style&gt;&lt;img src=x onerror=alert(1)&gt;&amp;amp;⟨U+202E⟩gnp');
    expect(html).toContain("content: 'Audit record of job J\\27 \\7d \\3c \\2f style\\3e \\3c b\\3e 1'");
    const reading = readRecord(html);
    expect(reading.ok && reading.read.record.job.note).toBe(note);
  });
});
