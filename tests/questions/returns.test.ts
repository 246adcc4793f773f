import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import type { HeadlessLog } from '../../lib/headless/log';
import { UNFILTERED } from '../../lib/store/filters';
import type { Question } from '../../lib/store/question';
import { earlyRates, earlyReturns } from '../../lib/store/questions/earlyReturns';
import { returnCost, returnCostOf } from '../../lib/store/questions/returnCost';
import { MONTH_DAYS, returnCurves, returnTests } from '../../lib/store/questions/returnCurves';
import { logOf } from '../store/openLog';
import { smallLog } from '../store/smallLog';

const SIX = { ...UNFILTERED, months: 6 };

const COLUMNS = [
  'job_id',
  'pump_serial',
  'pump_model',
  'spec_id',
  'spec_revision',
  'received_on',
  'finished_on',
  'work_type',
  'warranty',
  'complaint',
  'bench_hours',
  'labour_hours',
  'parts_cost',
  'currency',
] as const;

const card = (cells: Partial<Record<(typeof COLUMNS)[number], string>>): string =>
  COLUMNS.map(
    (column) =>
      ({ pump_model: 'Kestrel', spec_id: 'K-1', spec_revision: 'A', work_type: 'test', ...cells })[column] ?? '',
  ).join(',');

const cards = (rows: readonly Parameters<typeof card>[0][]): string =>
  `${COLUMNS.join(',')}\n${rows.map(card).join('\n')}\n`;

describe('pumps that come back', () => {
  let log: HeadlessLog;
  const ask = async <Args, Row>(of: Question<Args, Row>, args: Args): Promise<Row[]> =>
    z.array(of.row).parse(await log.db.rows(of.sql, of.params(args)));

  // A is back after 31 and then after 334 days; B and C are out since; D came in on the last day and has not left.
  beforeAll(async () => {
    log = await logOf({
      ...smallLog,
      'jobs.csv': cards([
        { job_id: 'A1', pump_serial: 'A', received_on: '2023-01-01', finished_on: '2023-01-10', complaint: 'knock' },
        {
          job_id: 'A2',
          pump_serial: 'A',
          received_on: '2023-02-10',
          work_type: 'rebuild',
          warranty: 'yes',
          complaint: 'smoke',
          labour_hours: '10',
          parts_cost: '300',
          currency: 'EUR',
        },
        { job_id: 'A3', pump_serial: 'A', received_on: '2024-01-10', finished_on: '2024-01-12' },
        { job_id: 'B1', pump_serial: 'B', pump_model: 'Heron', received_on: '2023-02-01', finished_on: '2023-02-05' },
        {
          job_id: 'B2',
          pump_serial: 'B',
          pump_model: 'Heron',
          received_on: '2023-05-05',
          finished_on: '2023-05-15',
          bench_hours: '4',
          parts_cost: '50',
          currency: 'USD',
        },
        { job_id: 'C1', pump_serial: 'C', received_on: '2023-12-01', finished_on: '2023-12-02' },
        { job_id: 'D1', pump_serial: 'D', received_on: '2024-03-31', finished_on: '2024-04-02' },
      ]),
      'closures.csv': `job_id,run,element,cam_deg,lift_mm,preload_mm
A2,0,1,0,2.60,0.50
A2,0,3,90.8,,
A2,0,4,180,,
A2,0,2,270,,
`,
      'shims.csv': 'job_id,run,element,before_mm,after_mm\n',
      'draws.csv': 'job_id,run,test_point,repeat,element,volume_cm3,strokes,speed_rpm,rack_mm\n',
    });
  });
  afterAll(() => log.db.close());

  it('count pumps still out up to the last day of the log, and no pump that has not left', async () => {
    const [all, ...groups] = await ask(returnCurves, UNFILTERED);
    // Days out: A1 31, B1 89, C1 120+, A3 79+, A2 334, B2 321+.
    expect(all).toMatchObject({ kind: 'all', n: 6, back: 3 });
    const shares = all?.steps.map(({ months, survival }) => [Math.round(months * MONTH_DAYS), survival]);
    expect(shares?.slice(0, 2)).toEqual([
      [0, 1],
      [31, 5 / 6],
    ]);
    // A3 had 79 days only, so that four are at risk on day 89, and one on day 334.
    expect(shares?.[2]?.[0]).toBe(89);
    expect(shares?.[2]?.[1]).toBeCloseTo((5 / 6) * (3 / 4), 12);
    expect(shares?.[3]).toEqual([334, 0]);
    expect(all?.atRisk).toEqual([{ months: 0, n: 6 }]);
    expect(groups.map(({ kind, name, n }) => [kind, name, n])).toEqual([
      ['model', 'Heron', 2],
      ['model', 'Kestrel', 4],
      ['work', 'rebuild', 1],
      ['work', 'test', 5],
    ]);
  });

  it('have a curve a model, each of its own pumps alone', async () => {
    const curves = await ask(returnCurves, UNFILTERED);
    const steps = (name: string) =>
      curves
        .find((curve) => curve.kind === 'model' && curve.name === name)
        ?.steps.map(({ months, survival }) => [Math.round(months * MONTH_DAYS), survival]);
    // Kestrel: A1 is back on day 31, one of four; A2 alone is still watched on day 334, when it is back.
    expect(steps('Kestrel')).toEqual([
      [0, 1],
      [31, 3 / 4],
      [334, 0],
      [334, 0],
    ]);
    // Heron: B1 is back on day 89, one of two; B2 is out for the 321 days to the end of the log.
    expect(steps('Heron')).toEqual([
      [0, 1],
      [89, 1 / 2],
      [321, 1 / 2],
    ]);
  });

  it('are the same pumps whatever the filters say of the second job', async () => {
    const [all] = await ask(returnCurves, { ...UNFILTERED, to: '2023-01-31' });
    expect(all).toMatchObject({ n: 1, back: 1 });
    expect(all?.median.time).toBeCloseTo(31 / MONTH_DAYS, 12);
  });

  it('are not compared where groups have fewer than ten jobs', async () => {
    const tests = await ask(returnTests, UNFILTERED);
    expect(tests.map(({ kind, groups, p }) => [kind, groups, p])).toEqual([
      ['model', 0, null],
      ['work', 0, null],
    ]);
  });

  it('make an early rate of those watched long enough alone', async () => {
    // A3 and C1 left less than six months before the last day.
    expect(await ask(earlyRates, SIX)).toMatchObject([
      { pump_model: null, k: 2, n: 4, unwatched: 2 },
      { pump_model: 'Heron', k: 1, n: 2, unwatched: 0 },
      { pump_model: 'Kestrel', k: 1, n: 2, unwatched: 2 },
    ]);
    // From 10 January to 10 February is a month, and a month to the day is within it.
    expect((await ask(earlyRates, { ...UNFILTERED, months: 1 }))[0]).toMatchObject({ k: 1, n: 6 });
    expect((await ask(earlyRates, { ...UNFILTERED, months: 12 }))[0]).toMatchObject({ k: 3, n: 3, unwatched: 3 });
  });

  it('are listed with what was found the second time', async () => {
    const rows = await ask(earlyReturns, SIX);
    expect(rows.map(({ first_job, second_job, days }) => [first_job, second_job, days])).toEqual([
      ['A1', 'A2', 31],
      ['B1', 'B2', 89],
    ]);
    expect(rows[0]).toMatchObject({
      first_complaint: 'knock',
      second_complaint: 'smoke',
      warranty: 'yes',
      measured: 'yes',
      out: 'phasing',
    });
    expect(rows[0]?.findings).toBe('test point missing');
    expect(rows[1]).toMatchObject({ warranty: null, measured: 'no', out: null });
  });

  it('cost the hours of the second visit, and parts by currency', async () => {
    const { hours, parts } = returnCostOf(await ask(returnCost, SIX));
    expect(hours).toEqual({ returns: 2, warranty: 1, low: 10, high: 14, unknown: 0 });
    expect(parts).toEqual([
      { currency: 'EUR', n: 1, low: 300, high: 300 },
      { currency: 'USD', n: 1, low: 0, high: 50 },
    ]);
  });
});

describe('groups that come back at different paces', () => {
  it('are told apart by the log-rank test', async () => {
    // Ten Kestrels are back in 30 days; ten Herons stay out for the 400 days that the log goes on.
    const first = Array.from({ length: 10 }, (_, k) => ({
      job_id: `K${k}`,
      pump_serial: `K${k}`,
      received_on: '2022-01-01',
    }));
    const log = await logOf({
      ...smallLog,
      'jobs.csv': cards([
        ...first,
        ...first.map((row) => ({ ...row, job_id: `${row.job_id}b`, received_on: '2022-01-31', pump_model: 'Plover' })),
        ...first.map((row) => ({
          ...row,
          job_id: `H${row.job_id}`,
          pump_serial: `H${row.job_id}`,
          pump_model: 'Heron',
        })),
        { job_id: 'last', pump_serial: 'last', received_on: '2023-02-05' },
      ]),
    });
    try {
      const rows = await log.db.rows(returnTests.sql, returnTests.params({ ...UNFILTERED, to: '2022-01-15' }));
      const [model] = z.array(returnTests.row).parse(rows);
      expect(model).toMatchObject({ groups: 2, n: 20 });
      expect(model?.p).toBeLessThan(0.0001);
    } finally {
      await log.db.close();
    }
  });
});
