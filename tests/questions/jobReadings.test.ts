import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { calibrate } from '../../lib/calc/batch';
import { resultTables, type ResultTable } from '../../lib/calc/layout';
import { filesIn } from '../../lib/headless/folder';
import { openLog, type HeadlessLog } from '../../lib/headless/log';
import { readJob, wordRows, type Ask, type PlainRow } from '../../lib/store/questions/jobReadings';
import { logOf } from '../store/openLog';
import { smallLog } from '../store/smallLog';

let log: HeadlessLog;
const ask: Ask = (sql, params) => log.db.rows(sql, params);

beforeAll(async () => {
  log = await openLog(await filesIn('data-demo/year'), '2026-01-01 08:00:00');
}, 120_000);
afterAll(() => log.db.close());

/** A row without the order of its columns, as stored or as worked out again; NaN and null are one. */
const plain = (row: Readonly<Record<string, unknown>>): string =>
  JSON.stringify(
    Object.entries(row)
      .filter(([name]) => !['job_id', 'low_test_point', 'rated_test_point'].includes(name))
      .map(([name, value]) => [name, typeof value === 'number' && !Number.isFinite(value) ? null : value])
      .sort(([a], [b]) => String(a).localeCompare(String(b))),
  );

async function storedRows(table: ResultTable, id: string): Promise<PlainRow[]> {
  return (await log.db.rows(`select * from ${table} where job_id = $1::varchar`, [id])) as PlainRow[];
}

describe("one job's readings, worked out in the page", () => {
  it('give every row that the log itself keeps for the job', async () => {
    const jobs = await log.db.rows('select job_id from jobs order by job_no');
    const every = Math.max(1, Math.floor(jobs.length / 12));
    const picked = jobs.filter((_, index) => index % every === 0).map((row) => String(row.job_id));
    expect(picked.length).toBeGreaterThan(8);
    for (const id of picked) {
      const job = await readJob(ask, id);
      expect(job).not.toBeNull();
      if (job === null) continue;
      const results = calibrate(job.specs, job.readings, job.gauges);
      for (const table of resultTables) {
        const worked = wordRows(results, table, job).map(plain).toSorted();
        expect([id, table, worked]).toEqual([id, table, (await storedRows(table, id)).map(plain).toSorted()]);
      }
    }
  }, 60_000);

  it('are empty where there is no such job', async () => {
    expect(await readJob(ask, "x' or 1 = 1 --")).toBeNull();
  });

  it('give NaN, not 0, for what was not read', async () => {
    const small = await logOf(smallLog);
    const job = await readJob((sql, params) => small.db.rows(sql, params), 'J-1');
    expect([...(job?.readings.closures.lift_mm ?? [])].slice(0, 2)).toEqual([2.6, Number.NaN]);
    expect(job?.readings.closures.gauge[0]).toBe(-1);
    await small.db.close();
  });
});
