import { spawn, spawnSync, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { createInterface } from 'node:readline';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { basisOf } from '../../lib/headless/partitions/done';
import type { Task } from '../../lib/headless/partitions/one';
import { inProcess } from '../../lib/headless/partitions/pool';
import { NativeDatabase } from '../../lib/store/native/database';
import { bytesUnder, demoPiece, filesUnder, layOut } from './parted';

const COMMAND = ['--import', 'tsx', 'lib/headless/recalc.ts'];
const options = { env: { ...process.env, NODE_OPTIONS: '--disable-warning=ExperimentalWarning' } };

let folder = '';
let from = '';
let whole = '';
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'killed-'));
  from = join(folder, 'in');
  const piece = await demoPiece(50);
  await layOut(piece, from, (job) => `branch=b${piece.jobs.indexOf(job) % 3}`);
  whole = join(folder, 'whole');
  const { status, stderr } = recalc('--out', whole);
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
});
afterAll(async () => {
  await rm(folder, { recursive: true });
});

const recalc = (...args: string[]) =>
  spawnSync(process.execPath, [...COMMAND, '--in', from, '--by-partition', '--processes', '1', ...args], {
    ...options,
    encoding: 'utf8',
  });

/** Starts a run whose processes are a group of their own, and answers it once it has said that a partition is done. */
async function underWay(to: string): Promise<ChildProcess> {
  const run = spawn(process.execPath, [...COMMAND, '--in', from, '--out', to, '--by-partition', '--processes', '1'], {
    ...options,
    detached: true,
    stdio: ['ignore', 'pipe', 'ignore'],
  });
  for await (const line of createInterface({ input: run.stdout })) if (line.includes(': done')) return run;
  throw new Error('The run ended before a partition was done');
}

it.each([
  ['with all its processes', (pid: number) => process.kill(-pid, 'SIGKILL')],
  ['alone, its partition still at work', (pid: number) => process.kill(pid, 'SIGKILL')],
])('a run that is killed, %s, goes on where it was and ends with the same bytes', async (_, kill) => {
  const to = await mkdtemp(join(folder, 'out-'));
  const run = await underWay(to);
  const ended = once(run, 'exit');
  kill(run.pid ?? Number.NaN);
  expect(await ended).toEqual([null, 'SIGKILL']);
  const standing = (await filesUnder(to)).filter((path) => path.endsWith('done.json')).map((path) => dirname(path));
  expect(standing).toContain('branch=b0');
  expect(standing.length).toBeLessThan(3);
  const { status, stdout } = recalc('--out', to);
  expect(status).toBe(0);
  const told = stdout.split('\n').slice(0, 3);
  // What the process at work put in place after the kill is as good as what stood there.
  for (const branch of standing) expect(told).toContainEqual(expect.stringContaining(`${branch}: unchanged`));
  expect(told[2]).toMatch(/^branch=b2: done, /);
  expect(await bytesUnder(to)).toEqual(await bytesUnder(whole));
  expect(await filesUnder(`${to}.unfinished`).catch(() => [])).toEqual([]);
});

const noTask: Task = {
  partition: 'a',
  from: '/nowhere',
  files: [],
  mappings: [],
  basis: basisOf([], [], { csv: false, mappings: [] }),
  threads: 1,
  memoryMb: 100,
  workshop: '/dev/null/workshop',
  to: '/dev/null/to',
  at: '2026-01-01 08:00:00',
};

it('a process that ends by itself, or answers that it failed, is a failure with a sentence', async () => {
  const failed = async (task: Task): Promise<string> => {
    const outcome = await inProcess(task);
    return outcome.ok ? 'done' : outcome.reason;
  };
  expect(await failed({ ...noTask, threads: -1 })).toMatch(/^its process ended with status 1 before it was done\./);
  expect(await failed(noTask)).toContain('/dev/null/workshop');
});

it.each([
  [['--processes', 'none'], '--processes must be a whole number from 1 to 1000, and none is not.'],
  [['--memory', '5'], '--memory must be a size of 100MB or more, such as 4GB, and 5 is not.'],
  [['--only', 'branch=b9'], `is branch=b9. --list names them.`],
])('%j exits with 2 and says why', (args, says) => {
  const { status, stderr } = recalc('--out', join(folder, 'nowhere'), ...args);
  expect(status).toBe(2);
  expect(stderr.split('\n')[0]).toContain(says);
});

it('the query of docs/scale.md reads the results as one table with the folders as columns', async () => {
  const text = await readFile('docs/scale.md', 'utf8');
  const [, sql = ''] = /```sql\n([\s\S]*?)```/.exec(text) ?? [];
  expect(sql).toContain("read_parquet('OUT/**/timing.parquet', hive_partitioning = true)");
  const db = await NativeDatabase.open();
  const rows = await db.rows(sql.replaceAll('OUT/', `${whole}/`));
  const [count] =
    await db.rows(`select count(distinct job_id)::integer as n from read_parquet('${whole}/*/timing.parquet')
    where run = 1 and phasing_verdict in ('in', 'out')`);
  await db.close();
  expect(rows.map((row) => row.branch)).toEqual(['b0', 'b1', 'b2']);
  expect(rows.reduce((sum, row) => sum + Number(row.measured), 0)).toBe(count?.n);
});
