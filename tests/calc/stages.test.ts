import { describe, expect, test } from 'vitest';
import { calibrate } from '../../lib/calc/batch';
import { code, codes } from '../../lib/calc/layout';
import type { Check, Gauge, GaugeUnit, Spec } from '../../lib/calc/types';
import {
  closuresWithErrors,
  drawsOf,
  type GovernorReading,
  type Log,
  readings,
  rows,
  sixElements,
  specsOf,
  testPoint,
} from './build';

const verdict = (word: (typeof codes.verdict)[number]) => code('verdict', word);
const [IN, OUT, NOT_MEASURED] = [verdict('in'), verdict('out'), verdict('not measured')];
const CANNOT_TELL = verdict('cannot tell');
const [YES, NO, NOT_COUNTED] = [code('answer', 'yes'), code('answer', 'no'), code('answer', 'not counted')];
const [TIMING, GOVERNOR] = [0, 2];

const even = [60, 60, 60, 60, 60, 60];
const base = testPoint();
const sheet = (differs: Partial<Spec> = {}) => sixElements({ test_points: [base], ...differs });
const closures = closuresWithErrors(sheet(), []);
const draws = drawsOf(even);

function gaugeOf(unit: GaugeUnit, uncertainty: number): Gauge {
  return { gauge: 0, calibrated_day: [0], due_day: [NaN], uncertainty: [uncertainty], unit: [unit] };
}
function work(log: Log, spec: Partial<Spec> = {}, gauge?: Gauge) {
  const gauges = gauge === undefined ? new Map<number, Gauge>() : new Map([[gauge.gauge, gauge]]);
  return calibrate(specsOf(sheet(spec)), readings({ closures, draws, ...log }), gauges);
}

const stop: Check = {
  check: 0,
  name: 'stop',
  kind: 'rack_at_speed',
  speed_rpm: 1000,
  boost_kpa: NaN,
  lever: -1,
  low: 8.9,
  high: 9.1,
  unit: 'mm',
};
const breakaway: Check = {
  ...stop,
  check: 1,
  name: 'breakaway',
  kind: 'breakaway',
  speed_rpm: NaN,
  low: 1040,
  high: 1060,
  unit: 'rpm',
};
const governed = { checks: [stop, breakaway] };
const atStop = (rack: number, run = 1): GovernorReading => ({ run, check: 0, rpm: 1000, rack });
const breaksAt = (rpm: number, run = 1): GovernorReading => ({ run, check: 1, rpm });

describe('the governor', () => {
  const stageOf = (governor: GovernorReading[], spec: Partial<Spec> = governed) =>
    rows(work({ governor }, spec).stages)[GOVERNOR];
  const outcomeOf = (governor: GovernorReading[]) => rows(work({ governor }, governed).outcomes)[0];

  test('is in where every band is, limits among them', () => {
    expect(stageOf([atStop(9.1), breaksAt(1040)])).toMatchObject({
      stage: code('stage', 'governor'),
      point: -1,
      runs: 1,
      first_verdict: IN,
      first_pass: YES,
      as_left_run: 1,
      as_left: IN,
      changes: 0,
    });
  });

  test('is out where one band is, though another was not measured', () => {
    expect(stageOf([atStop(9.11), breaksAt(1050)])).toMatchObject({ first_verdict: OUT, first_pass: NO });
    expect(stageOf([breaksAt(1061)])).toMatchObject({ first_verdict: OUT, first_pass: NO });
  });

  test('is not counted where one band was not measured and the other is in', () => {
    expect(stageOf([atStop(9)])).toMatchObject({ runs: 1, first_verdict: NOT_MEASURED, first_pass: NOT_COUNTED });
  });

  test('was not measured in a run whose readings tell of no band', () => {
    const unknown: GovernorReading[] = [{ run: 1, check: -1, rpm: 1000, rack: 9 }];
    expect(stageOf(unknown)).toMatchObject({ runs: 0, as_left_run: -1, as_left: NOT_MEASURED });
    // Nor does such a run hide the one before it.
    const later = [atStop(9), breaksAt(1050), { run: 2, check: 0, rpm: 1000 }];
    expect(stageOf(later)).toMatchObject({ runs: 1, as_left_run: 1, as_left: IN });
  });

  test('is no stage where the specification has no checks', () => {
    const results = work({ governor: [atStop(9)] });
    expect(rows(results.stages)).toHaveLength(2);
    expect(rows(results.outcomes)[0]).toMatchObject({ stages_asked: 2, first_pass: YES });
    expect(rows(results.governor_checks)).toEqual([]);
  });

  test('counts in the first pass of the job, and in how it was left', () => {
    expect(outcomeOf([atStop(9), breaksAt(1050)])).toMatchObject({
      first_pass: YES,
      stages_asked: 3,
      stages_counted: 3,
      as_left: IN,
    });
    expect(outcomeOf([atStop(9.2), breaksAt(1050), atStop(9, 2), breaksAt(1050, 2)])).toMatchObject({
      first_pass: NO,
      as_left: IN,
      as_left_decision: IN,
    });
    expect(outcomeOf([atStop(9), breaksAt(1050), atStop(9.2, 2)])).toMatchObject({
      first_pass: YES,
      as_left: OUT,
      as_left_decision: OUT,
    });
    expect(outcomeOf([])).toMatchObject({ first_pass: NOT_COUNTED, stages_counted: 2, as_left: NOT_MEASURED });
  });

  test('has a row for every band and run, with what it rests on', () => {
    const { governor_checks } = work({ governor: [atStop(9.02), atStop(9.04), breaksAt(1070, 2)] }, governed);
    const none = { value: NaN, basis: code('governor_basis', 'not measured'), readings: 0, verdict: NOT_MEASURED };
    const read = code('governor_basis', 'as read');
    expect(rows(governor_checks)).toMatchObject([
      { run: 1, check: 0, at_rpm: 1000, at_boost_kpa: NaN, low: 8.9, high: 9.1, unit: code('check_unit', 'mm') },
      { run: 1, check: 1, at_rpm: NaN, unit: code('check_unit', 'rpm'), ...none },
      { run: 2, check: 0, ...none },
      { run: 2, check: 1, value: 1070, basis: read, readings: 1, verdict: OUT },
    ]);
    expect(rows(governor_checks)[0]).toMatchObject({ basis: read, readings: 2, verdict: IN });
    expect(rows(governor_checks)[0]?.value).toBeCloseTo(9.03, 12);
  });
});

describe('as left, with what the gauge leaves open', () => {
  const decisionOf = (log: Log, gauge?: Gauge, spec: Partial<Spec> = {}) => {
    const outcome = rows(work(log, spec, gauge).outcomes)[0];
    return [outcome?.as_left, outcome?.as_left_decision];
  };
  const phased = (deg: number): Log => ({
    closures: closuresWithErrors(sheet(), [0, 0, deg, 0, 0, 0]).map((row) => ({ ...row, gauge: 0 })),
  });
  // Two readings, each good to 0.1 deg: an error is good to 0.1414 deg, and 0.5 deg are allowed.
  const wheel = gaugeOf('cam_deg', 0.1);

  test.each([
    [0.35, IN, IN],
    [0.37, IN, CANNOT_TELL],
    [0.63, OUT, CANNOT_TELL],
    [0.65, OUT, OUT],
  ])('a phase error of %f deg', (deg, plain, decision) => {
    expect(decisionOf(phased(deg), wheel)).toEqual([plain, decision]);
    expect(decisionOf(phased(deg))).toEqual([plain, plain]);
    expect(decisionOf(phased(deg), gaugeOf('cam_deg', NaN))).toEqual([plain, plain]);
  });

  test('a gauge of another unit leaves the plain comparison', () => {
    expect(decisionOf(phased(0.37), gaugeOf('rpm', 0.1))).toEqual([IN, IN]);
  });

  test.each([
    [2.08, IN, IN],
    [2.095, IN, CANNOT_TELL],
    [2.105, OUT, CANNOT_TELL],
    [2.12, OUT, OUT],
  ])('a lift of %f mm read to 0.01 mm', (lift, plain, decision) => {
    const log: Log = { closures: closures.map((row) => ({ ...row, gauge: 0, lift: row.element === 1 ? lift : NaN })) };
    expect(decisionOf(log, gaugeOf('mm', 0.01))).toEqual([plain, decision]);
    expect(decisionOf(log)).toEqual([plain, plain]);
  });

  test.each([
    [61.6, IN, IN],
    [61.8, IN, CANNOT_TELL],
    [62.2, OUT, CANNOT_TELL],
    [62.4, OUT, OUT],
  ])('deliveries of %f mm3 with graduates good to 0.3 cm3', (q, plain, decision) => {
    const log: Log = { draws: drawsOf([q, q, q, q, q, q], { gauge: 0 }) };
    expect(decisionOf(log, gaugeOf('cm3', 0.3))).toEqual([plain, decision]);
    expect(decisionOf(log)).toEqual([plain, plain]);
  });

  test('one element outside for certain settles it, whatever the others are', () => {
    const graduates = gaugeOf('cm3', 0.3);
    expect(decisionOf({ draws: drawsOf([63, 60, 61.9, 60, 60, 60], { gauge: 0 }) }, graduates)).toEqual([OUT, OUT]);
  });

  // A range of 4 mm3 is that of two graduates of one set: 0.3 mm3 each, 0.424 together if they err apart.
  test.each([
    [3.5, IN, IN],
    [3.7, IN, CANNOT_TELL],
    [4.3, OUT, CANNOT_TELL],
    [4.5, OUT, OUT],
  ])('a range of %f mm3 where 4 are allowed', (range, plain, decision) => {
    const log: Log = { draws: drawsOf([60 - range / 2, 60, 60, 60, 60, 60 + range / 2], { gauge: 0 }) };
    const spec = { test_points: [testPoint({ spread: 4 })] };
    expect(decisionOf(log, gaugeOf('cm3', 0.3), spec)).toEqual([plain, decision]);
  });

  test('is that of the last run, not of the first', () => {
    const log: Log = { closures: [...(phased(0.65).closures ?? []), ...closuresWithErrors(sheet(), [], 2)] };
    expect(decisionOf(log, wheel)).toEqual([IN, IN]);
  });

  test('is not touched by a run whose draws do not count', () => {
    const of = (rack: number, q: number) => drawsOf([q, q, q, q, q, q], { gauge: 0, run: 2, rack });
    const first = drawsOf(even, { gauge: 0 });
    const graduates = gaugeOf('cm3', 0.3);
    expect(decisionOf({ draws: [...first, ...of(9.2, 70)] }, graduates)).toEqual([IN, IN]);
    expect(decisionOf({ draws: [...first, ...of(9.1, 70)] }, graduates)).toEqual([OUT, OUT]);
  });

  test('is not measured where a stage is not, unless another is out', () => {
    expect(decisionOf({ ...phased(0.35), draws: [] }, wheel)).toEqual([NOT_MEASURED, NOT_MEASURED]);
    expect(decisionOf({ ...phased(0.65), draws: [] }, wheel)).toEqual([OUT, OUT]);
  });

  test('never changes first pass, which goes by plain comparison', () => {
    const first = (deg: number) => rows(work(phased(deg), {}, wheel).outcomes)[0]?.first_pass;
    expect([first(0.37), first(0.63)]).toEqual([YES, NO]);
  });
});

test('timing and phasing come first among the stages, the governor last', () => {
  const list = rows(work({ governor: [atStop(9)] }, governed).stages);
  expect(list.map((row) => row.stage)).toEqual([
    code('stage', 'timing and phasing'),
    code('stage', 'test point'),
    code('stage', 'governor'),
  ]);
  expect(list[TIMING]).toMatchObject({ point: -1, first_verdict: IN });
});
