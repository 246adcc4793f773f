import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import type { HeadlessLog } from '../../lib/headless/log';
import { UNFILTERED } from '../../lib/store/filters';
import type { Question } from '../../lib/store/question';
import { jobList, jobListUsing } from '../../lib/store/questions/jobList';
import { technicianRates } from '../../lib/store/questions/technicianRates';
import { trendBatchesOf } from '../../lib/store/questions/trendBatches';
import { trendEvents } from '../../lib/store/questions/trendEvents';
import {
  modelOfElement,
  splitsOf,
  trendPeriodsOf,
  type TrendArgs,
  type TrendRow,
  type TrendSeries,
} from '../../lib/store/questions/trendPeriods';
import { logOf } from '../store/openLog';
import { appended, smallLog } from '../store/smallLog';

interface Job {
  readonly id: string;
  readonly on: string;
  readonly model?: string;
  readonly revision?: string;
  readonly bench?: string;
  readonly branch?: string;
  readonly technician?: string;
  readonly complaint?: string;
  readonly hours?: number;
  /** How late element 2 closes as received, and at run 1 [deg]; 0.5 is allowed. */
  readonly received?: number;
  readonly late?: number;
  readonly batch?: string;
  /** What the closures at run 1 were read with; as received it is always W-0. */
  readonly gauge?: string;
}

/** Pumps of two elements that pass or fail by their closure alone. */
function shop(jobs: readonly Job[]): Readonly<Record<string, string>> {
  const sheets = ['H-1,A,Heron', 'H-1,B,Heron', 'P-1,A,Plover'].map((key) => `${key},2,1-2,2.1,0.05,0.05,0.5`);
  const closures = jobs.flatMap(({ id, received, late = 0, gauge = '' }) => [
    ...(received === undefined ? [] : [`${id},0,1,0,2.1,W-0`, `${id},0,2,${180 + received},,W-0`]),
    `${id},1,1,0,2.1,${gauge}`,
    `${id},1,2,${180 + late},,${gauge}`,
  ]);
  const lines = jobs.map(
    ({
      id,
      on,
      model = 'Heron',
      revision = 'A',
      bench = '',
      branch = '',
      technician = '',
      hours = '',
      complaint = '',
    }) =>
      [
        id,
        `S-${id}`,
        model,
        model === 'Heron' ? 'H-1' : 'P-1',
        revision,
        on,
        'test',
        bench,
        branch,
        technician,
        hours,
        complaint,
      ].join(','),
  );
  const shims = jobs.flatMap(({ id, batch }) =>
    batch === undefined ? [] : [`${id},0,2,1.00,1.10,${batch}`, `${id},1,2,1.10,1.05,${batch}`],
  );
  return {
    'specs.csv': `spec_id,revision,pump_model,elements,firing_order,lift_mm,lift_minus_mm,lift_plus_mm,phasing_tol_deg\n${sheets.join('\n')}\n`,
    'jobs.csv': `job_id,pump_serial,pump_model,spec_id,spec_revision,received_on,work_type,bench_id,branch,technician,bench_hours,complaint\n${lines.join('\n')}\n`,
    'closures.csv': `job_id,run,element,cam_deg,lift_mm,instrument_id\n${closures.join('\n')}\n`,
    'instruments.csv':
      'instrument_id,kind,calibrated_on,due_on\nW-0,degree_wheel,2023-01-01,2030-01-01\nW-1,degree_wheel,2023-01-01,2030-01-01\n',
    'shims.csv': `job_id,run,element,before_mm,after_mm,batch\n${shims.join('\n')}\n`,
  };
}

describe('what the trends ask', () => {
  let log: HeadlessLog;
  const ask = async <A, R>(question: Question<A, R>, args: A): Promise<R[]> =>
    z.array(question.row).parse(await log.db.rows(question.sql, question.params(args)));
  const trend = (series: TrendSeries, change: Partial<TrendArgs> = {}): Promise<TrendRow[]> => {
    const args: TrendArgs = { ...UNFILTERED, split: 'none', period: 'month', ...change };
    return ask(trendPeriodsOf(series, args.split), args);
  };

  beforeAll(async () => {
    log = await logOf(
      shop([
        {
          id: 'J1',
          on: '2024-01-05',
          bench: 'B1',
          branch: 'Mill',
          technician: 'T1',
          hours: 2,
          received: 0.4,
          batch: 'S1',
          complaint: 'leaks',
          gauge: 'W-1',
        },
        {
          id: 'J2',
          on: '2024-01-31',
          bench: 'B1',
          branch: 'Quay',
          technician: 'T2',
          hours: 4,
          received: -0.7,
          late: 0.9,
          complaint: 'smokes',
        },
        { id: 'J3', on: '2024-02-10', bench: 'B2', technician: 'T1', hours: 3, model: 'Plover' },
        {
          id: 'J4',
          on: '2024-04-01',
          bench: 'B2',
          branch: 'Mill',
          technician: 'T1',
          late: 2,
          revision: 'B',
          batch: 'S2',
          complaint: 'leaks',
        },
        {
          id: 'J5',
          on: '2024-05-01',
          bench: 'B1',
          branch: 'Mill',
          technician: 'T1',
          revision: 'B',
          batch: 'S2',
          gauge: 'W-1',
        },
      ]),
    );
  });
  afterAll(() => log.db.close());

  it('counts first passes by month and by quarter received', async () => {
    expect((await trend('first-pass')).map(({ period, k, n }) => [period, k, n])).toEqual([
      ['2024-01-01', 1, 2],
      ['2024-02-01', 1, 1],
      ['2024-04-01', 0, 1],
      ['2024-05-01', 1, 1],
    ]);
    expect((await trend('first-pass', { period: 'quarter' })).map(({ period, k, n }) => [period, k, n])).toEqual([
      ['2024-01-01', 2, 3],
      ['2024-04-01', 1, 2],
    ]);
  });

  it('tells parts apart, and leaves out jobs without the part', async () => {
    const of = async (split: TrendArgs['split']) =>
      (await trend('first-pass', { split, period: 'quarter' })).map(({ part, k, n }) => `${part} ${k}/${n}`);
    expect(await of('model')).toEqual(['Heron 1/2', 'Heron 1/2', 'Plover 1/1']);
    expect(await of('branch')).toEqual(['Mill 1/1', 'Mill 1/2', 'Quay 0/1']);
    expect(await of('bench')).toEqual(['B1 1/2', 'B1 1/1', 'B2 1/1', 'B2 0/1']);
    expect(await of('work')).toEqual(['test 2/3', 'test 1/2']);
    expect(await of('complaint')).toEqual(['leaks 1/1', 'leaks 0/1', 'smokes 0/1']);
    expect(await of('technician')).toEqual(['T1 2/2', 'T1 1/2', 'T2 0/1']);
  });

  it('tells seasons apart, and cuts a quarter where one ends', async () => {
    // January and February are winter, April and May spring.
    const rows = await trend('first-pass', { split: 'season', period: 'quarter' });
    expect(rows.map(({ part, period, k, n }) => [part, period, k, n])).toEqual([
      ['spring', '2024-04-01', 1, 2],
      ['winter', '2024-01-01', 2, 3],
    ]);
  });

  it('tells shim batches apart by the jobs that had stacks of them, each once', async () => {
    const rows = await trend('shims', { split: 'batch' });
    expect(rows.map(({ part, period, n }) => [part, period, n])).toEqual([
      ['S1', '2024-01-01', 1],
      ['S2', '2024-04-01', 1],
      ['S2', '2024-05-01', 1],
    ]);
    // 0.10 mm in after run 0 and 0.05 mm out after run 1, two rows of one job.
    for (const { mean } of rows) expect(mean).toBeCloseTo(0.15, 9);
  });

  it('gathers what the jobs with a batch say, in the order of its first use', async () => {
    const rows = await ask(trendBatchesOf['first-pass'], UNFILTERED);
    expect(rows).toEqual([
      { batch: 'S1', first: '2024-01-05', last: '2024-01-05', values: [1] },
      { batch: 'S2', first: '2024-04-01', last: '2024-05-01', values: [0, 1] },
    ]);
    expect(await ask(trendBatchesOf.shims, { ...UNFILTERED, to: '2024-04-30' })).toMatchObject([
      { batch: 'S1' },
      { batch: 'S2', last: '2024-04-01' },
    ]);
  });

  it('tells gauges apart by the readings that a figure rests on', async () => {
    // As received both were read with W-0, whatever was used later.
    const phasing = await trend('phasing', { split: 'gauge', period: 'quarter' });
    expect(phasing.map(({ part, n }) => [part, n])).toEqual([['W-0', 2]]);
    const passed = await trend('first-pass', { split: 'gauge', period: 'quarter' });
    expect(passed.map(({ part, k, n }) => `${part} ${k}/${n}`)).toEqual(['W-0 1/2', 'W-1 1/1', 'W-1 1/1']);
  });

  it('tells the elements of a model apart, without the reference where its error is 0 by definition', async () => {
    const phasing = await trend('phasing', { split: 'element' });
    expect(phasing.map(({ part, n }) => [part, n])).toEqual([['Heron, element 2', 2]]);
    // One 0.4 deg late, one 0.7 deg early.
    expect(phasing[0]?.median).toBeCloseTo((0.4 - 0.7) / 2, 9);
    const shims = await trend('shims', { split: 'element', period: 'quarter' });
    expect(shims.map(({ part, period, n }) => [part, period, n])).toEqual([
      ['Heron, element 2', '2024-01-01', 1],
      ['Heron, element 2', '2024-04-01', 2],
    ]);
    expect(() => trendPeriodsOf('hours', 'element')).toThrow(RangeError);
    expect(splitsOf('hours')).not.toContain('element');
    expect(modelOfElement('Heron, element 2')).toBe('Heron');
  });

  it('holds to the filters', async () => {
    expect(await trend('phasing', { split: 'element', model: 'Plover' })).toEqual([]);
    expect(await trend('shims', { split: 'batch', from: '2024-05-01' })).toMatchObject([{ part: 'S2', n: 1 }]);
    expect(await trend('first-pass', { model: 'Plover' })).toMatchObject([{ n: 1 }]);
    expect(await trend('first-pass', { from: '2024-01-06', to: '2024-02-10' })).toMatchObject([{ n: 1 }, { n: 1 }]);
  });

  it('adds up what was done to the stacks of a job, whichever way', async () => {
    // 0.10 mm in after run 0 and 0.05 mm out after run 1.
    const rows = await trend('shims', { model: 'Heron' });
    expect(rows.find(({ period }) => period === '2024-05-01')?.mean).toBeCloseTo(0.15, 9);
  });

  it('takes the spread of phase errors as received, the reference among them', async () => {
    const [january, ...others] = await trend('phasing');
    expect(others).toEqual([]);
    expect(january?.n).toBe(2);
    expect(january?.median).toBeCloseTo((0.4 + 0.7) / 2, 9);
  });

  it('takes bench hours only where they are written down', async () => {
    expect((await trend('hours')).map(({ n, mean }) => [n, mean])).toEqual([
      [2, 3],
      [1, 3],
    ]);
  });

  it('answers nothing where nothing was drawn', async () => {
    expect(await trend('retention')).toEqual([]);
    expect(await trend('scatter')).toEqual([]);
  });

  it('names the first job on a bench, with a batch and on a later revision, after the first month of the log', async () => {
    expect(
      (await ask(trendEvents, UNFILTERED)).map(({ kind, name, pump_model, on }) => [kind, name, pump_model, on]),
    ).toEqual([
      ['bench', 'B2', null, '2024-02-10'],
      ['batch', 'S2', null, '2024-04-01'],
      ['revision', 'B', 'Heron', '2024-04-01'],
    ]);
    expect((await ask(trendEvents, { ...UNFILTERED, model: 'Plover' })).map(({ kind }) => kind)).toEqual(['bench']);
    expect(await ask(trendEvents, { ...UNFILTERED, to: '2024-01-31' })).toEqual([]);
  });

  it("holds a technician against the shop's rate on the same models", async () => {
    // Heron passes 2 of 4, Plover 1 of 1: three Herons and a Plover of T1 would pass (3 × 0.5 + 1) / 4.
    const [first, second] = await ask(technicianRates, UNFILTERED);
    expect(first).toMatchObject({ technician: 'T1', k: 3, n: 4, share: 0.75, expected: 0.625 });
    expect(second).toMatchObject({ technician: 'T2', k: 0, n: 1, expected: 0.5 });
    expect(first?.near?.low).toBeLessThan(0.625);
    expect(first?.far?.low).toBeLessThanOrEqual(first?.near?.low ?? NaN);
    // Twice the chance of 3 or more of 4 at 0.625.
    expect(first?.p).toBeCloseTo(Math.min(1, 2 * (4 * 0.625 ** 3 * 0.375 + 0.625 ** 4)), 9);
  });

  it('leads to the jobs of a branch, of a complaint and of a technician', async () => {
    const ids = async (by: Readonly<Record<string, string>>) =>
      (await ask(jobList, { ...UNFILTERED, finding: null, ...by })).map(({ job_id }) => job_id);
    expect(await ids({ branch: 'Mill' })).toEqual(['J5', 'J4', 'J1']);
    expect(await ids({ technician: 'T2' })).toEqual(['J2']);
    expect(await ids({ complaint: 'leaks' })).toEqual(['J4', 'J1']);
    expect(await ids({ branch: "Mill' or 1=1 --" })).toEqual([]);
  });

  it('leads to the jobs that a batch or a gauge was used in', async () => {
    const ids = async (by: { readonly batch?: string; readonly gauge?: string }) =>
      (await ask(jobListUsing, { ...UNFILTERED, finding: null, batch: null, gauge: null, ...by })).map(
        ({ job_id }) => job_id,
      );
    expect(await ids({ batch: 'S2' })).toEqual(['J5', 'J4']);
    expect(await ids({ gauge: 'W-0' })).toEqual(['J2', 'J1']);
    expect(await ids({ gauge: 'W-1', batch: 'S1' })).toEqual(['J1']);
    expect(await ids({})).toHaveLength(5);
  });
});

describe('wear over time', () => {
  it('holds retention as received against its baseline, and takes the light draw', async () => {
    // The sheet states a retention of 0.9; three elements are drawn as received.
    const drawn = (smallLog['draws.csv'] ?? '')
      .split('\n')
      .slice(1, 4)
      .map((line) => line.replace('J-1,1', 'J-1,0'));
    const low = (smallLog['draws.csv'] ?? '')
      .split('\n')
      .slice(6, 9)
      .map((line) => line.replace('J-1,1', 'J-1,0'));
    const log = await logOf({
      ...smallLog,
      'specs.csv': (smallLog['specs.csv'] ?? '')
        .replace('shim_step_mm\n', 'shim_step_mm,retention_ratio\n')
        .replace('0.05\n', '0.05,0.9\n'),
      'draws.csv': appended([...drawn, ...low].join('\n'))(smallLog['draws.csv'] ?? ''),
    });
    const args: TrendArgs = { ...UNFILTERED, split: 'model', period: 'quarter' };
    const question = trendPeriodsOf('retention', 'model');
    const [row] = z.array(question.row).parse(await log.db.rows(question.sql, question.params(args)));
    // Elements 1 to 3 keep 72/80, 70/81 and 68/79.
    const kept = [72 / 80, 70 / 81, 68 / 79];
    expect(row).toMatchObject({ part: 'Kestrel', period: '2024-01-01', n: 1 });
    // At the light draw, here the first point of the sheet: 80, 81 and 79 as received, a standard deviation of 1 on a mean of 80.
    const scatter = trendPeriodsOf('scatter', 'model');
    const [light] = z.array(scatter.row).parse(await log.db.rows(scatter.sql, scatter.params(args)));
    expect(light).toMatchObject({ part: 'Kestrel', period: '2024-01-01', n: 1 });
    expect(light?.median).toBeCloseTo(100 / 80, 9);
    // The third element alone, against the same baseline.
    const apart = trendPeriodsOf('retention', 'element');
    const elements = await log.db.rows(apart.sql, apart.params({ ...args, split: 'element' }));
    const third = z
      .array(apart.row)
      .parse(elements)
      .find(({ part }) => part === 'Kestrel, element 3');
    expect(third?.median).toBeCloseTo(1 - (kept[2] ?? 0) / 0.9, 6);
    expect(row?.mean).toBeCloseTo(1 - (kept[0] ?? 0) / 2.7 - (kept[1] ?? 0) / 2.7 - (kept[2] ?? 0) / 2.7, 6);
    await log.db.close();
  });
});
