import { mkdir, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { resultTables } from '../../lib/calc/layout';
import type { ByPartition } from '../../lib/headless/arguments';
import { filesIn } from '../../lib/headless/folder';
import { openLog } from '../../lib/headless/log';
import { workOut, type Outcome, type Task } from '../../lib/headless/partitions/one';
import { byPartition } from '../../lib/headless/partitions/run';
import { listings, results, writeTable } from '../../lib/headless/write';
import { NativeDatabase } from '../../lib/store/native/database';
import { bytesUnder, demoPiece, filesUnder, layOut, rowsUnder, type DemoPiece } from './parted';

const AT = '2026-01-01 08:00:00';
const how: ByPartition = { only: [], processes: 1, threads: 1, memoryMb: 500, csv: false, list: false };

let folder = '';
let piece: DemoPiece;
let said: string[] = [];
let complained: string[] = [];
beforeAll(async () => {
  piece = await demoPiece(50);
});
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'partitions-'));
  said = [];
  complained = [];
  vi.spyOn(console, 'log').mockImplementation((line: unknown) => said.push(String(line)));
  vi.spyOn(console, 'error').mockImplementation((line: unknown) => complained.push(String(line)));
});
afterEach(async () => {
  vi.restoreAllMocks();
  await rm(folder, { recursive: true });
});

const run = (
  from: string,
  to: string,
  change: Partial<ByPartition> = {},
  work: (task: Task) => Promise<Outcome> = workOut,
) => byPartition({ from, to, mappings: [], byPartition: null }, { ...how, ...change }, AT, work);

async function atOnceInto(from: string, to: string): Promise<void> {
  const log = await openLog(await filesIn(from), AT);
  await mkdir(to, { recursive: true });
  for (const table of [...results, ...listings()]) await writeTable(log.db, table, 'parquet', to);
  await log.db.close();
}

/** Which of four folders each job goes to, by its place among the jobs. */
const YEARS = ['branch=north/year=2019', 'branch=north/year=2020', 'branch=south/year=2019', 'branch=south/year=2020'];
const placeBy =
  (assignment: readonly number[]) =>
  (job: string): string =>
    YEARS[assignment[piece.jobs.indexOf(job) % assignment.length] ?? 0] ?? '';
const spread = placeBy([0, 1, 2, 3]);

describe('a log worked out by partitions', () => {
  it(
    'gives, whatever job stands where, the rows that one run over everything gives',
    { timeout: 240_000 },
    async () => {
      const assignments = fc.array(fc.nat(YEARS.length - 1), { minLength: 1, maxLength: piece.jobs.length });
      await fc.assert(
        fc.asyncProperty(assignments, fc.integer({ min: 1, max: 3 }), async (assignment, processes) => {
          const place = await mkdtemp(join(folder, 'case-'));
          const [from, whole, parted] = ['in', 'whole', 'parted'].map((name) => join(place, name));
          if (from === undefined || whole === undefined || parted === undefined) throw new Error('No folders');
          await layOut(piece, from, placeBy(assignment));
          await atOnceInto(from, whole);
          expect(await run(from, parted, { processes })).toBe(0);
          for (const table of resultTables) {
            expect([table, await rowsUnder(parted, table)]).toEqual([table, await rowsUnder(whole, table)]);
          }
          // An engine that answers nothing would pass all of the above.
          for (const table of ['timing', 'points', 'findings', 'set_aside']) {
            expect((await rowsUnder(whole, table)).length).toBeGreaterThan(10);
          }
          for (const table of ['set_aside', 'files']) {
            expect(await rowsUnder(parted, table, `shared_${table}`)).toEqual(await rowsUnder(whole, table));
          }
        }),
        { numRuns: 4 },
      );
    },
  );

  it('takes plain folders and folders in tables or tables in folders alike', async () => {
    await layOut(piece, join(folder, 'a'), (job) => `shop${piece.jobs.indexOf(job) % 2}`);
    await run(join(folder, 'a'), join(folder, 'out-a'));
    const names = [...resultTables, 'set_aside', 'files'].map((name) => `${name}.parquet`);
    expect(await filesUnder(join(folder, 'out-a'))).toEqual(
      [
        ...['shop0', 'shop1'].flatMap((shop) => [...names, 'done.json'].map((name) => `${shop}/${name}`)),
        'shared_files.parquet',
        'shared_set_aside.parquet',
      ].sort(),
    );
    expect((await rowsUnder(join(folder, 'out-a'), 'outcomes')).length).toBeGreaterThan(30);
  });

  it('leaves partitions whose files are the same, and works the others out again', async () => {
    const [from, to] = [join(folder, 'in'), join(folder, 'out')];
    await layOut(piece, from, spread);
    await run(from, to);
    const worked: string[] = [];
    const noting = (task: Task) => {
      worked.push(task.partition);
      return workOut(task);
    };
    const before = await bytesUnder(to);
    expect(await run(from, to, {}, noting)).toBe(0);
    expect(worked).toEqual([]);
    // One row fewer in one partition; one result file of another is gone.
    const moved = { ...piece, rows: { ...piece.rows, draws: (piece.rows.draws ?? []).slice(1) } };
    const first = spread((piece.rows.draws?.[0]?.job_id ?? '').trim());
    const other = YEARS.find((year) => year !== first) ?? '';
    await layOut(moved, from, spread);
    await rm(join(to, other, 'timing.parquet'));
    expect(await run(from, to, {}, noting)).toBe(0);
    expect(worked).toEqual([first, other].sort());
    await layOut(piece, from, spread);
    await run(from, to, {}, noting);
    expect(await bytesUnder(to)).toEqual(before);
    // A sheet that all are worked to.
    const sheets = { ...piece.sheets, instruments: (piece.sheets.instruments ?? '').replace(/\n[^\n]*$/, '') };
    await layOut({ ...piece, sheets }, from, spread);
    await run(from, to, {}, noting);
    expect(worked.slice(-YEARS.length)).toEqual(YEARS);
  });

  it('gives the same bytes in little memory and with more threads, and CSV where asked', async () => {
    const from = join(folder, 'in');
    await layOut(piece, from, spread);
    await run(from, join(folder, 'wide'), { threads: 2 });
    await run(from, join(folder, 'narrow'), { memoryMb: 100 });
    expect(await bytesUnder(join(folder, 'narrow'))).toEqual(await bytesUnder(join(folder, 'wide')));
    await run(from, join(folder, 'both'), { csv: true, only: ['year=2020', 'branch=north'] });
    expect((await filesUnder(join(folder, 'both'))).filter((path) => path.endsWith('outcomes.csv'))).toEqual([
      'branch=north/year=2020/outcomes.csv',
    ]);
  });

  it('goes on when a partition fails, says which, and keeps its earlier results', async () => {
    const [from, to] = [join(folder, 'in'), join(folder, 'out')];
    await layOut(piece, from, spread);
    const failing = (task: Task): Promise<Outcome> =>
      task.partition === YEARS[1] ? Promise.resolve({ ok: false, reason: 'no luck.' }) : workOut(task);
    expect(await run(from, to, { processes: 2 }, failing)).toBe(1);
    expect(complained).toContainEqual(
      expect.stringMatching(/^branch=north\/year=2020: failed: no luck\. \[\d of 4\]$/),
    );
    expect(said.at(-1)).toContain('Partitions: 3 done, 1 failed');
    expect(await run(from, to)).toBe(0);
    const standing = await bytesUnder(join(to, YEARS[1] ?? ''));
    await layOut(piece, from, placeBy([0, 1, 2, 1]));
    expect(await run(from, to, {}, failing)).toBe(1);
    expect(complained).toContainEqual(expect.stringContaining('no luck. Its earlier results still stand.'));
    expect(await bytesUnder(join(to, YEARS[1] ?? ''))).toEqual(standing);
  });

  it('refuses what does not fit into memory with a sentence, and writes nothing of it', async () => {
    const [from, to] = [join(folder, 'in'), join(folder, 'out')];
    await layOut(piece, from, placeBy([0]));
    expect(await run(from, to, { memoryMb: 1 })).toBe(1);
    expect(complained).toEqual([
      `${YEARS[0] ?? ''}: failed: it does not fit into 1 MB of memory. Give more with --memory (and fewer --processes), or part it into smaller folders. [1 of 1]`,
    ]);
    expect(await filesUnder(to)).toEqual(['shared_files.parquet', 'shared_set_aside.parquet']);
  });

  it('says which rows belong to jobs of another partition, and which jobs stand in two', async () => {
    const from = join(folder, 'in');
    const closed = new Set((piece.rows.closures ?? []).map((row) => row.job_id));
    const known = (piece.rows.jobs ?? []).map((row) => row.job_id ?? '').filter((job) => closed.has(job));
    const [strayed = '', twice = ''] = known;
    await layOut(piece, from, (job, table) => (job === strayed && table === 'closures' ? YEARS[3] : YEARS[0]) ?? '');
    await layOut(
      {
        sheets: {},
        rows: { jobs: (piece.rows.jobs ?? []).filter((row) => row.job_id === twice) },
        jobs: [],
      },
      from,
      () => YEARS[2] ?? '',
    );
    const to = join(folder, 'out');
    expect(await run(from, to)).toBe(3);
    expect(complained).toEqual([
      `Job ${twice} stands in 2 partitions (branch=north/year=2019 and branch=south/year=2019) and its results in each. A job's rows must stand in one partition.`,
      expect.stringMatching(
        new RegExp(
          `^closures/branch=south/year=2020/part-0.csv: \\d+ rows were set aside, since their jobs stand in another partition \\(${strayed} in branch=north/year=2019\\)`,
        ),
      ),
    ]);
    expect(await rowsUnder(join(to, YEARS[3] ?? ''), 'set_aside')).toEqual(
      expect.arrayContaining([expect.stringContaining('reference')]),
    );
  });

  it('names results in the output that are of no partition, and leaves them', async () => {
    const [from, to] = [join(folder, 'in'), join(folder, 'out')];
    await layOut(piece, from, placeBy([0, 1]));
    await run(from, to);
    await rm(from, { recursive: true });
    await layOut(piece, from, placeBy([0]));
    expect(await run(from, to)).toBe(0);
    expect(complained).toContain(
      `${join(to, YEARS[1] ?? '')} holds results of no partition of this log. Remove it before the results are read as a whole.`,
    );
    expect((await filesUnder(to)).some((path) => path.startsWith(YEARS[1] ?? '?'))).toBe(true);
  });

  it('names the partitions, and refuses a name that is none', async () => {
    const from = join(folder, 'in');
    await layOut(piece, from, spread);
    expect(await run(from, '-', { list: true, only: ['branch=south'] })).toBe(0);
    expect(said).toEqual(['branch=south/year=2019\nbranch=south/year=2020']);
    await expect(run(from, join(folder, 'out'), { only: ['branch=west'] })).rejects.toThrow('No partition');
    await expect(run(from, join(from, 'out'))).rejects.toThrow('must not lie within each other');
  });

  it('does not read the names of folders as columns', async () => {
    const place = join(folder, 'jobs', 'branch=north', 'year=2019');
    await mkdir(place, { recursive: true });
    const written = await NativeDatabase.open(1);
    await written.run(`copy (select * exclude (branch) from read_parquet('data-demo/log/jobs.parquet') limit 5)
      to '${join(place, 'part-0.parquet')}' (format parquet)`);
    await written.close();
    const { db, files } = await openLog(await filesIn(folder), AT);
    expect(files.map(({ read, note }) => ({ read, note }))).toEqual([{ read: 5, note: null }]);
    expect(await db.rows('select distinct branch from held_jobs')).toEqual([{ branch: null }]);
    await db.close();
  });
});
