import { describe, expect, test } from 'vitest';
import { calibrate } from '../../lib/calc/batch';
import { code } from '../../lib/calc/layout';
import type { TestPoint } from '../../lib/calc/types';
import { closuresWithErrors, drawsOf, type Log, readings, rows, sixElements, specsOf, testPoint } from './build';

const IN = code('verdict', 'in');
const OUT = code('verdict', 'out');
const NOT_MEASURED = code('verdict', 'not measured');
const [YES, NO, NOT_COUNTED] = [code('answer', 'yes'), code('answer', 'no'), code('answer', 'not counted')];

const base = testPoint();
const spec = sixElements({ test_points: [base] });
const even = [60, 60, 60, 60, 60, 60];

describe('a stage that was read as received only', () => {
  const closures = (run: number) => closuresWithErrors(spec, [0, 0, 0, 0, 0, 0], run);

  test('does not speak for the pump once another stage was measured after assembly', () => {
    const results = calibrate(
      specsOf(spec),
      readings({ closures: [...closures(0), ...closures(1)], draws: drawsOf([90, 60, 60, 60, 60, 60], { run: 0 }) }),
    );
    expect(rows(results.stages).map((stage) => stage.as_left)).toEqual([IN, NOT_MEASURED]);
    expect(rows(results.outcomes)[0]).toMatchObject({ as_left: NOT_MEASURED, as_left_decision: NOT_MEASURED });
    expect(rows(results.findings).map((row) => row.finding)).toEqual([code('finding', 'test point missing')]);
  });

  test('is how the pump was left where nothing was done after it', () => {
    const results = calibrate(
      specsOf(spec),
      readings({ closures: closures(0), draws: drawsOf([90, 60, 60, 60, 60, 60], { run: 0 }) }),
    );
    expect(rows(results.outcomes)[0]).toMatchObject({ as_left: OUT });
  });

  test('a job without a single measurement is open, and nothing is held against it', () => {
    const results = calibrate(specsOf(spec), readings({}));
    expect(rows(results.findings)).toEqual([]);
    expect(rows(results.outcomes)[0]).toMatchObject({ as_left: NOT_MEASURED, breaking: 0 });
  });
});

describe('one job from closures to its outcome', () => {
  test('a run within every limit passes at the first measurement', () => {
    const results = calibrate(
      specsOf(spec),
      readings({ closures: closuresWithErrors(spec, [0, 0.2, -0.5, 0.1, 0, 0.5]), draws: drawsOf(even) }),
    );
    expect(rows(results.outcomes)).toEqual([
      {
        job_no: 0,
        first_pass: YES,
        stages_asked: 2,
        stages_counted: 2,
        as_left: IN,
        received_error_deg: NaN,
        left_error_deg: -0.5,
        lift_rate_basis: code('lift_rate_basis', 'assumed'),
        tolerance_assumed: code('yes_no', 'yes'),
        excluded_draws: 0,
        as_left_decision: IN,
        breaking: 0,
        weakening: 0,
      },
    ]);
    expect(rows(results.findings)).toEqual([]);
    expect(
      rows(results.stages).map((stage) => [stage.stage, stage.point, stage.first_verdict, stage.as_left_run]),
    ).toEqual([
      [code('stage', 'timing and phasing'), -1, IN, 1],
      [code('stage', 'test point'), 0, IN, 1],
    ]);
  });

  test('an element out of phase at run 1 and mended at run 2 is no first pass, and its change was needed', () => {
    const results = calibrate(
      specsOf(spec),
      readings({
        closures: [
          ...closuresWithErrors(spec, [0, 0, -2, 0, 0, 0], 0),
          ...closuresWithErrors(spec, [0, 0, -1, 0, 0, 0], 1),
          ...closuresWithErrors(spec, [0, 0, 0, 0, 0, 0], 2),
        ],
        shims: [
          { run: 0, element: 3, before: 0.8, after: 1 },
          { run: 1, element: 3, before: 1, after: 1.2 },
        ],
        draws: drawsOf(even),
      }),
    );
    const [timing] = rows(results.stages);
    expect(timing).toMatchObject({ runs: 3, first_verdict: OUT, first_pass: NO, as_left_run: 2, as_left: IN });
    expect(timing).toMatchObject({ changes: 1, needless_changes: 0 });
    expect(rows(results.outcomes)[0]).toMatchObject({
      first_pass: NO,
      received_error_deg: -2,
      left_error_deg: 0,
      as_left: IN,
    });
    const third = rows(results.phasing).filter((row) => row.element === 3);
    expect(third.map((row) => row.made_mm)).toEqual([expect.closeTo(0.2), expect.closeTo(0.2), NaN]);
    // 1 degree early at the assumed 0.2 mm a degree: add 0.2 mm.
    expect(third[1]?.shim_change_mm).toBeCloseTo(0.2, 12);
  });

  test('a change made although the run was in does not spoil the first pass, and counts as needless', () => {
    const results = calibrate(
      specsOf(spec),
      readings({
        closures: [
          ...closuresWithErrors(spec, [0, 0.4, 0, 0, 0, 0], 1),
          ...closuresWithErrors(spec, [0, 0, 0, 0, 0, 0], 2),
        ],
        shims: [{ run: 1, element: 2, before: 1, after: 0.9 }],
        draws: [...drawsOf(even), ...drawsOf(even, { run: 2 })],
        barrels: [
          { run: 0, element: 1, deg: 3 },
          { run: 1, element: 4, deg: -0.5 },
          { run: 1, element: 5, deg: 0 },
        ],
      }),
    );
    expect(rows(results.stages).map((stage) => [stage.first_pass, stage.changes, stage.needless_changes])).toEqual([
      [YES, 1, 1],
      [YES, 1, 1],
    ]);
  });

  test('the needless changes of one job are not counted for the next', () => {
    const results = calibrate(
      specsOf(spec),
      readings({
        jobs: [
          { job: 0, spec: 0 },
          { job: 1, spec: 0 },
        ],
        closures: [0, 1].flatMap((job) => closuresWithErrors(spec, [], 1, job)),
        shims: [{ job: 0, run: 1, element: 2, before: 1, after: 0.9 }],
      }),
    );
    expect(rows(results.stages).map((stage) => stage.needless_changes)).toEqual([1, 0, 0, 0]);
  });

  test('a job without run 1 is not counted', () => {
    const results = calibrate(
      specsOf(spec),
      readings({ closures: closuresWithErrors(spec, [0, 0, 0, 0, 0, 0], 0), draws: drawsOf(even, { run: 0 }) }),
    );
    expect(rows(results.outcomes)[0]).toMatchObject({ first_pass: NOT_COUNTED, stages_counted: 0, as_left: IN });
  });

  test('an incomplete run 1 is not counted, unless what was read fails already', () => {
    const short = closuresWithErrors(spec, [0, 0, 0, 0, 0, 0]).filter(({ element }) => element !== 4);
    const outcome = (errorOfTwo: number) =>
      rows(
        calibrate(
          specsOf(spec),
          readings({
            closures: short.map((row) => (row.element === 2 ? { ...row, deg: row.deg + errorOfTwo } : row)),
            draws: drawsOf(even),
          }),
        ).outcomes,
      )[0];
    expect(outcome(0)).toMatchObject({ first_pass: NOT_COUNTED, stages_counted: 1, as_left: NOT_MEASURED });
    expect(outcome(0.6)).toMatchObject({ first_pass: NO, stages_counted: 2, as_left: OUT });
  });

  test('a job without readings has its stages and its outcome, all not measured', () => {
    const results = calibrate(specsOf(spec), readings({}));
    expect(rows(results.stages)).toHaveLength(2);
    expect(rows(results.stages)[1]).toMatchObject({ runs: 0, as_left_run: -1, as_left: NOT_MEASURED, changes: 0 });
    expect(rows(results.outcomes)[0]).toMatchObject({
      first_pass: NOT_COUNTED,
      stages_counted: 0,
      left_error_deg: NaN,
    });
    expect(rows(results.timing)).toEqual([]);
  });
});

describe('barrels turned after a run', () => {
  const light = testPoint({ point: 1, purpose: 'light', low_mm3: 15, high_mm3: 25 });
  const barrels = [{ run: 1, element: 2, deg: 1 }];
  const changesOf = (points: TestPoint[], log: Log) =>
    rows(calibrate(specsOf(sixElements({ test_points: points })), readings({ barrels, ...log })).stages)
      .slice(1)
      .map((stage) => [stage.changes, stage.needless_changes]);

  test('are needless where the base test point was in, whatever the others were', () => {
    const draws = [...drawsOf(even), ...drawsOf(even, { point: 1 })];
    expect(changesOf([base, light], { draws })).toEqual([
      [1, 1],
      [0, 0],
    ]);
    const unbalanced = [...drawsOf([70, 60, 60, 60, 60, 60]), ...drawsOf([20, 20, 20, 20, 20, 20], { point: 1 })];
    expect(changesOf([base, light], { draws: unbalanced })[0]).toEqual([1, 0]);
  });

  test('belong to the first test point where none is for balance', () => {
    const part = { ...base, purpose: 'part' } as const;
    expect(changesOf([part, light], { draws: drawsOf(even) })[0]).toEqual([1, 1]);
  });

  test('are not called needless where that run drew nothing', () => {
    expect(changesOf([base], { draws: drawsOf(even, { run: 2 }) })).toEqual([[1, 0]]);
    expect(changesOf([base], {})).toEqual([[1, 0]]);
  });

  test('of an element that the specification does not have are passed over', () => {
    expect(changesOf([base], { draws: drawsOf(even), barrels: [{ run: 1, element: 7, deg: 1 }] })).toEqual([[0, 0]]);
  });
});

describe('readings that the caller got wrong', () => {
  const good = readings({ closures: closuresWithErrors(spec, []), draws: drawsOf(even) });

  test('rows out of order', () => {
    const draws = { ...good.draws, element: good.draws.element.toReversed() };
    expect(() => calibrate(specsOf(spec), { ...good, draws })).toThrow('Readings of draws are not in order at row 1');
  });

  test('a job twice', () => {
    const two = Int32Array.of(0, 0);
    const jobs = { job_no: two, spec_no: two, received_day: two, stated_pass: two };
    expect(() => calibrate(specsOf(spec), { ...good, jobs })).toThrow('one is there twice');
  });

  test.each([-1, 7])('rows of a job %i that is not given', (job) => {
    const closures = { ...good.closures, job_no: good.closures.job_no.map(() => job) };
    expect(() => calibrate(specsOf(spec), { ...good, closures })).toThrow(`name job ${job}, which is not given`);
  });

  test('a specification that is not given', () => {
    expect(() => calibrate(new Map(), good)).toThrow('Job 0 names specification 0');
  });

  test('a firing order that leaves an element out', () => {
    const broken = sixElements({ firing_order: [1, 5, 3, 6, 2, 2] });
    expect(() => calibrate(specsOf(broken), good)).toThrow('does not name every element once');
  });
});
