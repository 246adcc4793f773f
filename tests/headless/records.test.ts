import { spawnSync } from 'node:child_process';
import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { csvParse } from 'd3-dsv';
import { unzipSync } from 'fflate';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { recordHtml } from '../../lib/report/html';
import { recordHash, type AuditRecord } from '../../lib/report/record';
import { auditLog, recordOf } from '../report/auditLog';
import { logOf } from '../store/openLog';

let folder = '';
let record: AuditRecord;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'records-'));
  await mkdir(join(folder, 'log'));
  for (const [file, text] of Object.entries(auditLog)) await writeFile(join(folder, 'log', file), text);
  const log = await logOf(auditLog);
  record = await recordOf(log);
  await log.db.close();
});
afterAll(() => rm(folder, { recursive: true }));

/** Each call starts Node anew, on a machine that may be busy. */
const SLOW = 240_000;

/** The command as a person calls it, with the jobs a line each. */
async function command(jobs: string, in_ = 'log') {
  await writeFile(join(folder, 'jobs.txt'), jobs);
  const options = ['--in', join(folder, in_), '--jobs', join(folder, 'jobs.txt'), '--out', join(folder, 'out.zip')];
  const done = spawnSync('npm', ['run', '--silent', 'records', '--', ...options], { encoding: 'utf8' });
  return { code: done.status, out: done.stdout, err: done.stderr };
}

it(
  'npm run records saves each job once, as it is saved alone, and names one that the log does not have',
  async () => {
    const { code, out, err } = await command('J-1\r\n\r\nJ-9\r\nJ-1\r\n');
    expect({ code, out: out.trim() }).toEqual({ code: 1, out: `1 of 2 records written to ${join(folder, 'out.zip')}` });
    expect(err).toContain('The log has no job J-9.');
    const files = unzipSync(new Uint8Array(await readFile(join(folder, 'out.zip'))));
    const text = (name: string): string => new TextDecoder().decode(files[name]);
    const [row, ...others] = csvParse(text('index.csv'));
    expect(others).toEqual([]);
    expect(row).toMatchObject({ job: 'J-1', claim: 'W-0123', record_sha256: recordHash(record) });
    expect(text(row?.file ?? '')).toBe(recordHtml(record));
  },
  SLOW,
);

it(
  'npm run records exits with 2 where the list is empty or the folder is not there',
  async () => {
    const empty = await command('\n');
    expect([empty.code, empty.err]).toEqual([2, expect.stringContaining('names no job.')]);
    const nowhere = await command('J-1', 'nowhere');
    expect([nowhere.code, nowhere.err]).toEqual([2, expect.stringContaining('There is no folder')]);
  },
  SLOW,
);
