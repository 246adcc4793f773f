import { spawnSync } from 'node:child_process';
import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { verify as verifyRecord } from '../../lib/headless/verifyRecord';
import { recordHtml } from '../../lib/report/html';
import type { AuditRecord } from '../../lib/report/record';
import { auditLog, auditLogWith, recordOf } from '../report/auditLog';
import { logOf } from '../store/openLog';

let folder = '';
let record: AuditRecord;
let html = '';
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'verify-'));
  await lay('log', auditLog);
  const log = await logOf(auditLog);
  record = await recordOf(log);
  html = recordHtml(record);
  await log.db.close();
});
afterAll(async () => {
  await rm(folder, { recursive: true });
});

async function lay(name: string, files: Readonly<Record<string, string>>): Promise<string> {
  const place = join(folder, name);
  await mkdir(place, { recursive: true });
  for (const [file, text] of Object.entries(files)) await writeFile(join(place, file), text);
  return place;
}

/** The command's own function, without starting it anew for each case. */
async function verify(
  text: string,
  log = 'log',
): Promise<{ readonly code: number; readonly out: string; readonly err: string }> {
  const file = join(folder, 'record.html');
  await writeFile(file, text);
  const [out, err]: [string[], string[]] = [[], []];
  const voice = { say: (line: string) => out.push(line), complain: (line: string) => err.push(line) };
  const code = await verifyRecord([file, join(folder, log)], voice);
  return { code, out: `${out.join('\n')}\n`, err: err.join('\n') };
}

/** The command as a person calls it. */
async function command(text: string, log: string, env: Readonly<Record<string, string>> = {}) {
  const file = join(folder, 'record.html');
  await writeFile(file, text);
  const done = spawnSync('npm', ['run', '--silent', 'verify', '--', file, join(folder, log)], {
    encoding: 'utf8',
    env: { ...process.env, ...env },
  });
  return { code: done.status, out: done.stdout, err: done.stderr };
}

/** The same record with one thing changed, its file made anew: hash and sheet agree with the change. */
const rewritten = (change: (record: AuditRecord) => AuditRecord): string => recordHtml(change(structuredClone(record)));

/** Each call starts Node anew, on a machine that may be busy. */
const SLOW = 240_000;

describe('npm run verify', () => {
  it(
    'says that a record is the same, in another time zone and locale too',
    async () => {
      expect(await verify(html)).toEqual({ code: 0, err: '', out: expect.stringMatching(/\nSame\.\n$/) as string });
      // Times of the log are the shop's own: neither zone nor language may bear on a byte of the sheet.
      const elsewhere = { TZ: 'Pacific/Chatham', LANG: 'ar_EG.UTF-8', LC_ALL: 'ar_EG.UTF-8', LANGUAGE: 'ar' };
      const { code, out } = await command(html, 'log', elsewhere);
      expect({ code, sheet: out.includes('byte for byte') }).toEqual({ code: 0, sheet: true });
    },
    SLOW,
  );

  it('names a digit altered in the sheet', async () => {
    const shown = '<td class="figure">2.120</td>';
    expect(html).toContain(shown);
    const { code, out } = await verify(html.replace(shown, '<td class="figure">2.110</td>'));
    expect(code).toBe(1);
    expect(out).toContain('Hash: the same.');
    expect(out).toMatch(
      /Line \d+ \(As received beside as left, row lift to port closure, –, As received\): the sheet shows “2.110”, the record gives “2.120”\./,
    );
    expect(out).toContain('Log: the same.');
  });

  it('names a digit altered in the data, whether or not the hash was mended', async () => {
    const altered = html.replace('"volume_cm3":36}', '"volume_cm3":37}');
    expect(altered).not.toBe(html);
    const raw = await verify(altered);
    expect(raw.code).toBe(1);
    expect(raw.out).toContain('Hash: differs.');
    expect(raw.out).toMatch(
      /Draws as read, from draws.csv, row low, 1, 1, 1, Volume.*the sheet shows “36”, the record gives “37”/,
    );
    expect(raw.out).toContain(
      'Readings: draws: test point low, run 1, element 1, repeat 1: Volume: record says 37, log gives 36.',
    );

    const mended = rewritten((each) => {
      const draws = each.readings.draws.map((row) => (row.volume_cm3 === 36 ? { ...row, volume_cm3: 37 } : row));
      return { ...each, readings: { ...each.readings, draws } };
    });
    const whole = await verify(mended);
    expect(whole.code).toBe(1);
    expect(whole.out).toContain('Hash: the same.');
    expect(whole.out).toContain('byte for byte');
    expect(whole.out).toContain('Volume: record says 37, log gives 36.');
  });

  it('names what differs in a log that was altered', async () => {
    await lay(
      'altered',
      auditLogWith('draws.csv', (text) => text.replace('low,1,1,36.0', 'low,1,1,37.0')),
    );
    const { code, out } = await verify(html, 'altered');
    expect(code).toBe(1);
    expect(out).toContain('Volume: record says 36, log gives 37.');
    expect(out).toContain('Files: ');
    await lay(
      'without',
      auditLogWith('jobs.csv', (text) => text.replace('J-1', 'J-9')),
    );
    const gone = await verify(html, 'without');
    expect(gone.code).toBe(1);
    expect(gone.out).toContain('It has no job J-1.');
  });

  it('names a remark that was added after the record was made, and nothing else but its file', async () => {
    const remarks =
      'remark_id,job_id,remarked_on,remark,author\n7,J-1,2024-06-02,Certificate was brought.,A. Auditor\n';
    await lay('remarked', { ...auditLog, 'remarks.csv': remarks });
    const { code, out } = await verify(html, 'remarked');
    expect(code).toBe(1);
    expect(out).toContain('Hash: the same.');
    expect(out).toContain('Log: differs in 2 fields.');
    expect(out).toMatch(/Remarks: remark id 7: record has none, log gives .*"remarked_on":"2024-06-02"/);
    expect(out).toMatch(/Files: .*: record has none, log gives .*"file":"remarks.csv"/);
  });

  it('takes a file that was only renamed for the same', async () => {
    const { 'draws.csv': draws = '', ...others } = auditLog;
    await lay('renamed', { ...others, 'bench 3.csv': draws });
    const { code, out } = await verify(html, 'renamed');
    expect(out).toContain('File renamed: draws.csv in the record is bench 3.csv in the folder');
    expect(code).toBe(0);
  });

  it('says that another engine version made it', async () => {
    const { code, out } = await verify(rewritten((each) => ({ ...each, engine_version: each.engine_version - 1 })));
    expect(code).toBe(1);
    expect(out).toMatch(/Engine version: record says \d+, log gives \d+\./);
    expect(out).toContain('check with the Shimbook that made the record');
  });

  it.each([
    ['cut off within its data', () => html.slice(0, html.indexOf('record-data') + 2000), 'It was cut off'],
    ['cut off within its sheet', () => html.slice(0, 3000), 'It carries no record'],
    ['no record at all', () => '<!doctype html><title>Colours</title>', 'It carries no record'],
    ['damaged data', () => html.replace('"assumed":[', '"assumed":{'), 'no JSON'],
    ['data of another shape', () => html.replace('"repeat":1', '"repeat":"one"'), 'are not as a record has them'],
    [
      'a record of another version',
      () => html.replace(/"record_version":\d+/, '"record_version":99'),
      'It is of record version 99',
    ],
  ])('exits with 2 on %s', async (_, made, says) => {
    const { code, err } = await verify(made());
    expect(code).toBe(2);
    expect(err).toContain(says);
  });

  it(
    'exits with 2 where the call or the folder is wrong',
    async () => {
      await lay('empty', {});
      const empty = await verify(html, 'empty');
      expect(empty.code).toBe(2);
      expect(empty.err).toContain('could be read as a log');
      const nowhere = await command(html, 'nowhere');
      expect(nowhere.code).toBe(2);
      expect(nowhere.err).toContain('There is no folder');
      expect(nowhere.err).toContain('Usage: npm run verify');
    },
    SLOW,
  );

  it('says so where only the ends of lines or a last byte differ', async () => {
    const ends = await verify(html.replaceAll('\n', '\r\n'));
    expect(ends.code).toBe(1);
    expect(ends.out).toContain('Only the ends of lines differ');
    const added = await verify(`${html}<!-- -->`);
    expect(added.code).toBe(1);
    expect(added.out).toContain('Sheet: differs');
  });
});
