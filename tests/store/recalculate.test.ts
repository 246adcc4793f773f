import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { inspect } from '../../lib/log/inspect';
import { resultTables } from '../../lib/calc/layout';
import { load } from '../../lib/store/load';
import { DirectCalculator } from '../../lib/store/native/calculator';
import type { NativeDatabase } from '../../lib/store/native/database';
import { recalculate } from '../../lib/store/recalculate';
import { logOf, textFile } from './openLog';
import { undoLastLoad } from '../../lib/store/undo';
import { smallLog } from './smallLog';

const AT = '2026-01-02 08:00:00';

const results = async (db: NativeDatabase) =>
  Object.fromEntries(
    await Promise.all(
      resultTables.map(async (name) => [name, await db.rows(`select * from ${name} order by all`)] as const),
    ),
  );

/** The bytes of a Parquet file that holds a query's answer. */
async function parquetOf(db: NativeDatabase, sql: string): Promise<BlobPart> {
  const folder = await mkdtemp(join(tmpdir(), 'parquet-'));
  const path = join(folder, 'table.parquet');
  try {
    await db.run(`copy (${sql}) to '${path}' (format parquet, compression zstd)`);
    return new Uint8Array(await readFile(path));
  } finally {
    await rm(folder, { recursive: true });
  }
}

/** The small log's job, and copies of it under other numbers. */
const manyJobs = (count: number): Readonly<Record<string, string>> =>
  Object.fromEntries(
    Object.entries(smallLog).map(([name, text]) => {
      const [header = '', ...rows] = text.trimEnd().split('\n');
      if (!header.startsWith('job_id')) return [name, text];
      const copies = Array.from({ length: count }, (_, i) => rows.map((row) => row.replace('J-1', `J-${i + 1}`)));
      return [name, `${[header, ...copies.flat()].join('\n')}\n`];
    }),
  );

describe('recalculation', () => {
  it('leaves a job alone whose inputs did not change', async () => {
    const { db, calculation } = await logOf(manyJobs(3));
    expect(calculation).toEqual({ recalculated: 3, unchanged: 0, cancelled: false });
    expect(await recalculate(db, new DirectCalculator())).toEqual({ recalculated: 0, unchanged: 3, cancelled: false });
  });

  it('works out again the one job that got a new reading, and keeps the others as they were', async () => {
    const { db } = await logOf(manyJobs(3));
    const before = await results(db);
    await load(db, [textFile('more.csv', 'job_id,run,element,cam_deg,lift_mm,preload_mm\nJ-2,1,3,90.4,,\n')], {
      inspect,
      at: AT,
    });
    expect(await recalculate(db, new DirectCalculator())).toMatchObject({ recalculated: 1, unchanged: 2 });
    const after = await results(db);
    const of = (rows: Record<string, unknown>[] | undefined, job: string) => rows?.filter((row) => row.job_id === job);
    expect(of(after.phasing, 'J-1')).toEqual(of(before.phasing, 'J-1'));
    expect(of(after.phasing, 'J-2')).not.toEqual(of(before.phasing, 'J-2'));
    expect(of(after.outcomes, 'J-2')).toMatchObject([{ first_pass: 'yes' }]);
    expect(after.outcomes).toHaveLength(3);
  });

  it.each([1, 2, 3, 4])(
    'works out a job again whose gauge was calibrated anew, named by %i of its closures',
    async (named) => {
      const closures = [1, 3, 4, 2].map((element, k) => `J-1,1,${element},${90 * k},,${k < named ? 'P-1' : ''}`);
      const { db } = await logOf({
        ...smallLog,
        'closures.csv': `job_id,run,element,cam_deg,lift_mm,instrument_id\n${closures.join('\n')}\n`,
      });
      const gauge =
        'instrument_id,kind,calibrated_on,due_on,expanded_uncertainty,unit\nP-1,protractor,2024-01-01,2025-01-01,0.1,cam_deg\n';
      await load(db, [textFile('gauge.csv', gauge)], { inspect, at: AT });
      expect(await recalculate(db, new DirectCalculator())).toMatchObject({ recalculated: 1 });
    },
  );

  it('works out again every job of a specification that changed', async () => {
    const { db } = await logOf(manyJobs(2));
    const wider = (smallLog['specs.csv'] ?? '').replace(',0.5,0.2,', ',1.0,0.2,');
    await load(db, [textFile('wider.csv', wider)], { inspect, at: AT });
    expect(await recalculate(db, new DirectCalculator())).toMatchObject({ recalculated: 2, unchanged: 0 });
    expect(await db.rows('select distinct first_pass from outcomes')).toEqual([{ first_pass: 'yes' }]);
  });

  it('does not mind a change that no figure depends on', async () => {
    const { db } = await logOf(manyJobs(1));
    const noted = (smallLog['jobs.csv'] ?? '').replace('recalibrate,B1', 'recalibrate,B2');
    await load(db, [textFile('noted.csv', noted)], { inspect, at: AT });
    expect(await recalculate(db, new DirectCalculator())).toMatchObject({ recalculated: 0, unchanged: 1 });
  });

  it('stops between batches when called off, keeps what was done, and goes on from there', async () => {
    const { db, calculation } = await logOf(manyJobs(2500));
    expect(calculation.recalculated).toBe(2500);
    await db.run('delete from calculated');
    const stop = new AbortController();
    const halted = await recalculate(db, new DirectCalculator(), {
      signal: stop.signal,
      batchJobs: 1000,
      onProgress: (done) => {
        if (done > 0) stop.abort();
      },
    });
    expect(halted).toEqual({ recalculated: 1000, unchanged: 0, cancelled: true });
    expect(await db.rows('select count(*)::integer as n from outcomes')).toEqual([{ n: 1000 }]);
    expect(await recalculate(db, new DirectCalculator())).toEqual({
      recalculated: 1500,
      unchanged: 1000,
      cancelled: false,
    });
    expect(
      await db.rows('select count(*)::integer as n, count(distinct job_id)::integer as jobs from outcomes'),
    ).toEqual([{ n: 2500, jobs: 2500 }]);
  });

  it('drops the results of a job that is no longer in the log', async () => {
    const { db } = await logOf(manyJobs(1));
    const second = (smallLog['jobs.csv'] ?? '').replace('J-1', 'J-2');
    await load(db, [textFile('second.csv', second)], { inspect, at: AT });
    await recalculate(db, new DirectCalculator());
    expect(await db.rows('select job_id from outcomes order by job_id')).toEqual([
      { job_id: 'J-1' },
      { job_id: 'J-2' },
    ]);
    await undoLastLoad(db);
    await recalculate(db, new DirectCalculator());
    expect(await db.rows('select job_id from outcomes')).toEqual([{ job_id: 'J-1' }]);
  });
});

describe('CSV and Parquet', () => {
  it('give the same results to the last digit', async () => {
    const files = manyJobs(20);
    const csv = await logOf(files);
    const parquet: Record<string, BlobPart> = {};
    for (const name of ['specs', 'test_points', 'instruments', 'jobs', 'closures', 'shims', 'draws']) {
      parquet[`${name}.parquet`] = await parquetOf(
        csv.db,
        `select columns(c -> c not in ('source_no', 'row_no', 'job_no', 'spec_no', 'point')) from ${name}`,
      );
    }
    const again = await logOf(parquet);
    expect(again.files.every((file) => file.setAside === 0 && file.refused === null)).toBe(true);
    expect(await results(again.db)).toEqual(await results(csv.db));
  });
});
