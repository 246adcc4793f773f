import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import type { HeadlessLog } from '../../lib/headless/log';
import { UNFILTERED } from '../../lib/store/filters';
import type { Question } from '../../lib/store/question';
import { leakClearanceByModel, leakSlopeByModel } from '../../lib/store/questions/leakByModel';
import { retentionBaseline } from '../../lib/store/questions/retentionBaseline';
import { retentionDeficitByModel } from '../../lib/store/questions/retentionDeficitByModel';
import { serialDrift } from '../../lib/store/questions/serialDrift';
import { visitReadings } from '../../lib/store/questions/visitReadings';
import { visitScatter, visitScatterByModel } from '../../lib/store/questions/visitScatter';
import { logOf } from '../store/openLog';

type Files = Readonly<Record<string, string>>;

const asker =
  (log: () => HeadlessLog) =>
  async <A, R>(question: Question<A, R>, args: A): Promise<R[]> =>
    z.array(question.row).parse(await log().db.rows(question.sql, question.params(args)));

const SPECS =
  'spec_id,revision,pump_model,elements,firing_order,lift_mm,lift_minus_mm,lift_plus_mm,phasing_tol_deg,shim_step_mm,' +
  'plunger_mm,seal_length_mm,injection_deg,injection_mpa,viscosity_mpa_s,slot_deg,adjuster,balance_by,retention_ratio';

/** Herons state what a clearance takes and no ratio; Plovers a ratio and nothing else, and are balanced by sleeves. */
const sheets: Files = {
  'specs.csv': `${SPECS}
H-1,A,Heron,2,1-2,2.1,0.05,0.05,0.5,0.05,8,12,9,20,2,10,,,
P-1,A,Plover,2,1-2,2.1,0.05,0.05,0.5,0.05,,,,,,10,tappet_shim,sleeve,0.95
`,
  'test_points.csv': `spec_id,revision,test_point,purpose,order,speed_rpm,rack_mm,low_mm3,high_mm3
H-1,A,full,full,1,1000,12,0,200
H-1,A,slow,low-speed,2,200,12,0,200
H-1,A,light,light,3,1000,5,0,200
H-1,A,idle,idle,4,300,3,0,200
P-1,A,full,full,1,1000,12,0,200
P-1,A,slow,low-speed,2,200,12,0,200
P-1,A,less,part,3,1000,9,0,200
P-1,A,least,part,4,1000,4,0,200
`,
};

const job = (id: string, serial: string, model: 'Heron' | 'Plover', received: string, work = 'recalibrate'): string =>
  `${id},${serial},${model},${model.slice(0, 1)}-1,A,${received},${work}`;
const jobsFile = (rows: readonly string[]): string =>
  `job_id,pump_serial,pump_model,spec_id,spec_revision,received_on,work_type\n${rows.join('\n')}\n`;

/** Rows of one draw over 1000 strokes [mm3/stroke, by element]: as many cm3 as mm3/stroke. */
const drawn = (id: string, run: number, point: string, deliveries: readonly number[]): string[] =>
  deliveries.map((q, i) => `${id},${run},${point},1,${i + 1},${q},1000`);
const drawsFile = (rows: readonly string[]): string =>
  `job_id,run,test_point,repeat,element,volume_cm3,strokes\n${rows.join('\n')}\n`;

/** Five Herons leave with new plungers and barrels, keeping 90, 92, 94, 96 and 98 %; what comes in is read beside them. */
const RENEWED = [90, 92, 94, 96, 98];
const shop = (lastParts: string): Files => ({
  ...sheets,
  'jobs.csv': jobsFile([
    ...RENEWED.map((_, i) => job(`N${i}`, `N-${i}`, 'Heron', '2020-02-01', 'rebuild')),
    job('R1', 'R-1', 'Heron', '2021-05-01'),
    job('R2', 'R-2', 'Plover', '2021-05-02'),
  ]),
  'parts.csv': `job_id,element,part,quantity
${RENEWED.slice(0, 3)
  .map((_, i) => `N${i},,plunger and barrel,2\n`)
  .join('')}N3,1,Plungers and barrels,1
N3,2,seal for plunger and barrel,1
${lastParts}
`,
  'draws.csv': drawsFile([
    // Run 1 is not as left, and element 2 of N3 is an old one: neither is part of the baseline.
    ...RENEWED.flatMap((low, i) => [
      ...drawn(`N${i}`, 1, 'full', [100, 100]),
      ...drawn(`N${i}`, 1, 'slow', [50, 50]),
      ...drawn(`N${i}`, 2, 'full', [100, 100]),
      ...drawn(`N${i}`, 2, 'slow', [low, i === 3 ? 10 : low]),
    ]),
    ...drawn('R1', 0, 'full', [80, 80]),
    ...drawn('R1', 0, 'slow', [75.2, 56.4]),
    ...drawn('R1', 0, 'light', [9, 11]),
    ...drawn('R1', 0, 'idle', [1, 9]),
    ...drawn('R2', 0, 'full', [100, 100]),
    ...drawn('R2', 0, 'slow', [95, 76]),
    ...drawn('R2', 0, 'less', [10, 90]),
    ...drawn('R2', 0, 'least', [8, 12]),
  ]),
});

describe('wear by model', () => {
  let log: HeadlessLog;
  const ask = asker(() => log);
  beforeAll(async () => {
    log = await logOf(shop('N4,1,barrel & plunger,1\nN4,2,plunger and barrel set,1'));
  });
  afterAll(() => log.db.close());

  it('holds retention against the stated ratio, else against new plungers and barrels as left', async () => {
    // New elements as left: 90 90 92 92 94 94 96 98 98; the middle one is 94.
    expect(await ask(retentionBaseline, UNFILTERED)).toEqual([
      { pump_model: 'Heron', points: 'slow over full', basis: 'new parts', baseline: 0.94, runs: 5, n: 2 },
      { pump_model: 'Plover', points: 'slow over full', basis: 'stated', baseline: 0.95, runs: 0, n: 2 },
    ]);
    // Heron keeps 94 and 70.5 %: deficits 0 and 25 %. Plover keeps 95 and 76 %: 0 and 20 %.
    const [heron, plover] = await ask(retentionDeficitByModel, UNFILTERED);
    expect(heron).toMatchObject({ pump_model: 'Heron', quarter: '2021-04-01', jobs: 1, n: 2 });
    expect(heron?.median).toBeCloseTo(0.125, 9);
    expect(heron?.p90).toBeCloseTo(0.225, 9);
    expect(plover?.median).toBeCloseTo(0.1, 9);
  });

  it('narrows what is shown by the filters, not the baseline', async () => {
    const later = await ask(retentionBaseline, {
      ...UNFILTERED,
      from: '2021-01-01',
      work: 'recalibrate',
      model: 'Heron',
    });
    expect(later).toMatchObject([{ pump_model: 'Heron', basis: 'new parts', baseline: 0.94, runs: 5 }]);
    expect(await ask(retentionDeficitByModel, { ...UNFILTERED, to: '2021-05-01' })).toHaveLength(1);
    expect(await ask(leakSlopeByModel, { ...UNFILTERED, model: 'Plover' })).toHaveLength(1);
    expect(await ask(visitScatterByModel, { ...UNFILTERED, from: '2022-01-01' })).toEqual([]);
  });

  it('gives leak slopes, and a clearance only where the sheet has what it takes', async () => {
    // From 80 at 1000 rpm to 75.2 and 56.4 at 200: 4.8 and 23.6 over 1/200 - 1/1000 are 1200 and 5900.
    const [heron] = await ask(leakSlopeByModel, UNFILTERED);
    expect(heron).toMatchObject({ pump_model: 'Heron', jobs: 1, n: 2 });
    expect(heron?.median).toBeCloseTo(3550, 6);
    const clearances = await ask(leakClearanceByModel, UNFILTERED);
    expect(clearances).toMatchObject([{ pump_model: 'Heron', n: 2 }]);
    expect(clearances[0]?.p10).toBeGreaterThan(0);
  });

  it('takes the light draw for the scatter, else the smallest rack', async () => {
    // Heron 9 and 11: the standard deviation is the root of 2, the mean 10. Plover 8 and 12: twice that.
    const scatters = await ask(visitScatterByModel, UNFILTERED);
    expect(scatters.map((row) => [row.pump_model, row.n])).toEqual([
      ['Heron', 1],
      ['Plover', 1],
    ]);
    expect(scatters[0]?.median).toBeCloseTo(10 * Math.SQRT2, 9);
    expect(scatters[1]?.median).toBeCloseTo(20 * Math.SQRT2, 9);
  });
});

describe('a baseline of four runs', () => {
  let log: HeadlessLog;
  const ask = asker(() => log);
  beforeAll(async () => {
    // One plunger and barrel without an element: nobody can say which of the two it was.
    log = await logOf(shop('N4,,plunger and barrel,1'));
  });
  afterAll(() => log.db.close());

  it('is none, and no deficit is given', async () => {
    const [heron] = await ask(retentionBaseline, UNFILTERED);
    expect(heron).toMatchObject({ pump_model: 'Heron', basis: 'no baseline', baseline: null, runs: 4, n: 2 });
    expect((await ask(retentionDeficitByModel, UNFILTERED)).map((row) => row.pump_model)).toEqual(['Plover']);
    expect(await ask(visitReadings, { serial: 'R-1' })).toMatchObject([
      { element: 1, deficit_received: null, basis: 'no baseline', baseline_runs: 4 },
      { element: 2, deficit_received: null },
    ]);
  });
});

/** One Heron over four visits and one Plover over three, with the stacks left at each [mm, by visit]. */
const stacks = (id: string, element: number, afters: readonly (number | null)[]): string[] =>
  afters.flatMap((after, i) => (after === null ? [] : [`${id}${i + 1},1,${element},1.60,${after.toFixed(2)}`]));

describe('wear of one serial number', () => {
  let log: HeadlessLog;
  const ask = asker(() => log);
  beforeAll(async () => {
    log = await logOf({
      ...sheets,
      'jobs.csv': jobsFile([
        ...[1, 2, 3, 4].map((n) => job(`S${n}`, 'S', 'Heron', `202${n}-03-01`)),
        ...[1, 2, 3].map((n) => job(`T${n}`, 'T', 'Plover', `202${n}-03-01`)),
        ...[1, 2, 3].map((n) => job(`U${n}`, 'U', 'Heron', `202${n}-03-01`)),
      ]),
      'shims.csv': `job_id,run,element,before_mm,after_mm\n${[
        ...stacks('S', 1, [1.2, 1.1, 1.15, 1.1]),
        ...stacks('S', 2, [1.4, 1.5, null, 1.45]),
        ...stacks('T', 1, [1.5, 1.4, 1.3]),
        ...stacks('U', 1, [1.5, 1.4, 1.3]),
        ...stacks('U', 2, [1.5, 1.4, 1.3]),
      ].join('\n')}\n`,
      'barrels.csv': `job_id,run,element,rotation_deg
S1,1,1,1.5
S1,2,1,-0.5
S3,0,1,3
S3,1,1,0.75
T1,1,1,2
`,
      'parts.csv': 'job_id,element,part,quantity\nS3,1,plunger and barrel,1\nU3,2,plunger and barrel,1\n',
      'draws.csv': drawsFile([...drawn('S1', 0, 'light', [9, 11]), ...drawn('S2', 1, 'light', [10, 10])]),
    });
  });
  afterAll(() => log.db.close());

  it('names a stack that was left lower at three visits in a row, and no other', async () => {
    expect(await ask(serialDrift, { serial: 'U' })).toEqual([
      { element: 1, visits: 3, first_day: '2021-03-01', last_day: '2023-03-01', first_mm: 1.5, last_mm: 1.3 },
    ]);
    // It grew in between, or was written at too few visits.
    expect(await ask(serialDrift, { serial: 'S' })).toEqual([]);
    // A shim in the tappet raises the plunger: wear would make that stack grow.
    expect(await ask(serialDrift, { serial: 'T' })).toEqual([]);
  });

  it('sums rotation with its sign until a new barrel is fitted', async () => {
    const readings = await ask(visitReadings, { serial: 'S' });
    const first = readings.filter((row) => row.element === 1);
    expect(first.map((row) => row.rotation_made_deg)).toEqual([1, null, 3.75, null]);
    // The 3 degrees after run 0 turned the old barrel.
    expect(first.map((row) => row.rotation_used_deg)).toEqual([1, 1, 0.75, 0.75]);
    expect(first.map((row) => row.fitted)).toEqual([false, false, true, false]);
    expect(first.map((row) => row.slot_deg)).toEqual([10, 10, 10, 10]);
    expect(readings.filter((row) => row.element === 2).map((row) => row.rotation_used_deg)).toEqual([0, 0, 0, 0]);
  });

  it('knows no slot where sleeves are turned, and no rotation where none was written', async () => {
    const [sleeve] = await ask(visitReadings, { serial: 'T' });
    expect(sleeve).toMatchObject({ rotation_used_deg: 2, slot_deg: null });
    const [never] = await ask(visitReadings, { serial: 'U' });
    expect(never).toMatchObject({ rotation_used_deg: null, slot_deg: 10 });
  });

  it('gives the light-draw scatter visit by visit', async () => {
    const scatter = await ask(visitScatter, { serial: 'S' });
    expect(scatter.map((row) => row.job_id)).toEqual(['S1', 'S2', 'S3', 'S4']);
    expect(scatter[0]?.received_percent).toBeCloseTo(10 * Math.SQRT2, 9);
    expect(scatter[1]).toMatchObject({ test_point: 'light', received_percent: null, left_percent: 0 });
    expect(scatter[2]).toMatchObject({ received_percent: null, left_percent: null });
  });
});
