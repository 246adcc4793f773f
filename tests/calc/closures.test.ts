import { describe, expect, test } from 'vitest';
import { calibrate } from '../../lib/calc/batch';
import { code } from '../../lib/calc/layout';
import type { Spec } from '../../lib/calc/types';
import { closuresWithErrors, type Log, readings, rows, sixElements, specsOf } from './build';

const IN = code('verdict', 'in');
const OUT = code('verdict', 'out');
const NOT_MEASURED = code('verdict', 'not measured');
const still = [0, 0, 0, 0, 0, 0];

const work = (spec: Spec, log: Log) => calibrate(specsOf(spec), readings(log));

describe('timing row', () => {
  test('lift less its preload, against its own minus and plus', () => {
    const closures = closuresWithErrors(sixElements(), still).map((row) => ({ ...row, lift: 2.35, preload: 0.25 }));
    const [row] = rows(work(sixElements(), { closures }).timing);
    expect(row).toMatchObject({ timing_verdict: IN, lift_rate_mm_per_deg: 0.2 });
    expect(row?.lift_mm).toBeCloseTo(2.1, 12);
    expect(row?.low_mm).toBeCloseTo(1.95, 12);
    expect(row?.high_mm).toBeCloseTo(2.1, 12);
    expect(row?.lift_error_mm).toBeCloseTo(0.1, 12);
    expect(row?.shim_change_mm).toBeCloseTo(-0.1, 12);
  });

  test('a lift that was not read leaves timing not measured and phasing judged', () => {
    const closures = closuresWithErrors(sixElements(), still).map((row) => ({ ...row, lift: NaN }));
    const results = work(sixElements(), { closures });
    expect(rows(results.timing)[0]).toMatchObject({ lift_mm: NaN, timing_verdict: NOT_MEASURED, phasing_verdict: IN });
    expect(rows(results.stages)[0]).toMatchObject({ runs: 1, first_verdict: NOT_MEASURED });
  });

  test('the worst error with its sign and element, the tolerance as stated', () => {
    const spec = sixElements({ phasing_tol_deg: 0.75 });
    const [row] = rows(work(spec, { closures: closuresWithErrors(spec, [0, 0.3, -0.8, 0.1, 0, 0.7]) }).timing);
    expect(row).toMatchObject({ worst_element: 3, phasing_verdict: OUT, tolerance_deg: 0.75, elements_measured: 6 });
    expect(row).toMatchObject({ tolerance_assumed: code('yes_no', 'no') });
    expect(row?.worst_error_deg).toBeCloseTo(-0.8, 10);
  });

  test('a reference that was not read tells nothing of the others', () => {
    const closures = closuresWithErrors(sixElements(), [0, 5, 0, 0, 0, 0]).filter(({ element }) => element !== 1);
    const results = work(sixElements(), { closures });
    expect(rows(results.timing)[0]).toMatchObject({
      elements_measured: 5,
      worst_element: 0,
      worst_error_deg: NaN,
      timing_verdict: NOT_MEASURED,
      phasing_verdict: NOT_MEASURED,
    });
    for (const row of rows(results.phasing)) {
      expect(row).toMatchObject({ error_deg: NaN, shim_change_mm: NaN, closure_deg: NaN, verdict: NOT_MEASURED });
    }
  });

  test('the reference is the first of the firing order, whichever element that is', () => {
    const spec = sixElements({ firing_order: [4, 2, 6, 3, 5, 1] });
    const results = work(spec, { closures: closuresWithErrors(spec, still) });
    expect(rows(results.phasing).map((row) => row.nominal_deg)).toEqual([300, 60, 180, 0, 240, 120]);
    expect(rows(results.timing)[0]).toMatchObject({ lift_mm: 2, timing_verdict: IN, phasing_verdict: IN });
  });

  test('a pump with one element is in phase with itself', () => {
    const single = sixElements({ elements: 1, firing_order: [1] });
    const results = work(single, { closures: [{ element: 1, deg: 12, lift: 2 }] });
    expect(rows(results.timing)[0]).toMatchObject({ worst_error_deg: 0, worst_element: 1, phasing_verdict: IN });
  });
});

describe('phasing row', () => {
  test('the change to the nearest shims on hand, from the stack written down or last left', () => {
    const spec = sixElements({ shim_sizes_mm: [0.8, 0.9, 1.05, 1.1] });
    const closures = [
      ...closuresWithErrors(spec, [0, -0.6, -0.6, 0, 0, 0]),
      ...closuresWithErrors(spec, [0, -0.6, 0, 0, 0, 0], 2),
    ];
    const shims = [{ run: 1, element: 2, before: 0.8, after: 0.9 }];
    const found = rows(work(spec, { closures, shims }).phasing).filter((row) => row.element <= 3);
    // 0.6 deg early at 0.2 mm a degree wants 0.12 mm more: from 0.80 the nearest size is 0.90, from 0.90 it is 1.05.
    const steps = found.map((row) => [row.run, row.element, Number(row.shim_step_mm.toFixed(6))]);
    expect(steps).toEqual([
      [1, 1, NaN],
      [1, 2, 0.1],
      [1, 3, NaN],
      [2, 1, NaN],
      [2, 2, 0.15],
      [2, 3, NaN],
    ]);
  });

  test('a stack that was last left is known where the next row does not say what it was before', () => {
    const spec = sixElements({ shim_sizes_mm: [0.8, 0.9, 1] });
    const closures = [...closuresWithErrors(spec, still), ...closuresWithErrors(spec, [0, -0.5, 0, 0, 0, 0], 2)];
    const shims = [
      { run: 1, element: 2, before: 0.8, after: 0.9 },
      { run: 2, element: 2, after: 1 },
    ];
    const second = rows(work(spec, { closures, shims }).phasing).find((row) => row.run === 2 && row.element === 2);
    expect(second?.shim_step_mm).toBeCloseTo(0.1, 12);
  });

  test('a stack whose new size was not written down is not known any more', () => {
    const spec = sixElements({ shim_sizes_mm: [0.8, 0.9, 1] });
    const closures = [...closuresWithErrors(spec, still), ...closuresWithErrors(spec, still, 2)];
    const results = work(spec, { closures, shims: [{ run: 1, element: 2, before: 0.8 }] });
    const second = rows(results.phasing).filter((row) => row.element === 2);
    expect(second.map((row) => row.shim_step_mm)).toEqual([0, NaN]);
    expect(second[0]?.made_mm).toBeNaN();
  });

  test('halves of a pair that differ', () => {
    const shims = [{ element: 2, before: 0.8, beforeSecond: 0.8, after: 0.9, afterSecond: 0.87 }];
    const [, second] = rows(work(sixElements(), { closures: closuresWithErrors(sixElements(), still), shims }).phasing);
    expect(second?.pair_difference_mm).toBeCloseTo(0.03, 12);
  });

  test('a change is kept even where the element was not read', () => {
    const results = work(sixElements(), { shims: [{ run: 1, element: 4, before: 1, after: 1.2 }] });
    expect(rows(results.timing)).toEqual([]);
    const [row] = rows(results.phasing);
    expect(row).toMatchObject({ run: 1, element: 4, error_deg: NaN, verdict: NOT_MEASURED });
    expect(row?.made_mm).toBeCloseTo(0.2, 12);
    expect(rows(results.stages)[0]).toMatchObject({ runs: 0, changes: 1, needless_changes: 0 });
  });

  test('turns of a tappet screw: an early closure lowers it', () => {
    const spec = sixElements({ adjuster: 'tappet_screw', screw_mm_per_turn: 0.8 });
    const [, second] = rows(work(spec, { closures: closuresWithErrors(spec, [0, -2, 0, 0, 0, 0]) }).phasing);
    expect(second?.shim_change_mm).toBeCloseTo(-0.4, 12);
    expect(second?.screw_turns).toBeCloseTo(-0.5, 12);
    expect(second?.shim_step_mm).toBeNaN();
  });

  test('elements that the specification does not have are passed over', () => {
    const results = work(sixElements(), {
      closures: [{ element: 7, deg: 0, lift: 2 }],
      shims: [{ element: 7, before: 1, after: 2 }],
    });
    expect([rows(results.timing), rows(results.phasing)]).toEqual([[], []]);
    expect(rows(results.stages)[0]).toMatchObject({ runs: 0, changes: 0 });
  });

  test('a reading that is no number counts as not read', () => {
    const closures = closuresWithErrors(sixElements(), still).map((row) =>
      row.element === 3 ? { ...row, deg: Infinity } : row,
    );
    const results = work(sixElements(), { closures });
    expect(rows(results.timing)[0]).toMatchObject({ elements_measured: 5, phasing_verdict: NOT_MEASURED });
    expect(rows(results.phasing)[2]).toMatchObject({ error_deg: NaN, verdict: NOT_MEASURED });
  });
});
