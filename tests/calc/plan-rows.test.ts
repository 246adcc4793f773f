import { describe, expect, test } from 'vitest';
import { calibrate } from '../../lib/calc/batch';
import { code } from '../../lib/calc/layout';
import type { Spec } from '../../lib/calc/types';
import { closuresWithErrors, drawsOf, type Log, readings, rows, sixElements, specsOf, testPoint } from './build';

const even = [60, 60, 60, 60, 60, 60];
const base = testPoint();
const sheet = (differs: Partial<Spec> = {}) => sixElements({ test_points: [base], ...differs });
const closures = closuresWithErrors(sheet(), []);
const draws = drawsOf(even);
const work = (log: Log, spec: Partial<Spec> = {}) =>
  calibrate(specsOf(sheet(spec)), readings({ closures, draws, ...log }));

describe('leak slope', () => {
  const gap = { plunger_mm: 8, seal_length_mm: 20, injection_mpa: 30, viscosity_mpa_s: 2.4, injection_deg: 8 };
  const slow = testPoint({ point: 1, purpose: 'low-speed', speed_rpm: 200, low_mm3: 40, high_mm3: 70 });
  const light = testPoint({ point: 2, purpose: 'light', rack_mm: 5, low_mm3: 10, high_mm3: 30 });
  // 62 mm3 less 2000 / rpm: 60 at 1000, 52 at 200. Element 2 leaks nothing, element 3 gains.
  const log: Log = {
    draws: [
      ...drawsOf(even),
      ...drawsOf([52, 60, 61, 52, 52, 52], { point: 1, rpm: 200 }),
      ...drawsOf([20, 20, 20, 20, 20, 20], { point: 2, rack: 5 }),
    ],
  };
  const leaks = (differs: Partial<Spec> = {}, other: Log = log) =>
    rows(work(other, { test_points: [base, slow, light], ...gap, ...differs }).leakage);

  test('has a row for each element, over the points of one rack alone', () => {
    const list = leaks();
    expect(list.map((row) => row.element)).toEqual([1, 2, 3, 4, 5, 6]);
    expect(list.map((row) => [row.rack_mm, row.speeds])).toEqual(list.map(() => [9, 2]));
    expect(list[0]?.slope_mm3_rpm).toBeCloseTo(2000, 8);
    expect(list[0]?.intercept_mm3).toBeCloseTo(62, 10);
    // 6 x 2000 / 8 = 1500 mm3/s; pi x 8 x 30 / (12 x 2.4 x 20) = 1.3090 mm3/s through 1 um; cube root of 1145.9.
    expect(list[0]?.clearance_um).toBeCloseTo(10.4645, 3);
    expect(list[1]).toMatchObject({ clearance_um: 0 });
    expect(list[2]?.slope_mm3_rpm).toBeCloseTo(-250, 8);
    expect(list[2]).toMatchObject({ clearance_um: 0 });
  });

  test('is told without a clearance where the sheet lacks what the gap needs', () => {
    expect(leaks({ viscosity_mpa_s: NaN })[0]).toMatchObject({ speeds: 2, clearance_um: NaN });
    expect(leaks({ injection_deg: NaN })[0]).toMatchObject({ speeds: 2, clearance_um: NaN });
  });

  test('has no row for an element drawn at one speed alone, nor for a sheet of one', () => {
    const short = { draws: (log.draws ?? []).filter((row) => row.element !== 4 || row.point !== 1) };
    expect(leaks({}, short).map((row) => row.element)).toEqual([1, 2, 3, 5, 6]);
    expect(leaks({ test_points: [base, light] }, { draws })).toEqual([]);
  });
});

describe('balance plan and rotations', () => {
  // One mm3 a degree: 8 mm of plunger with its helix at atan(360 / (16 pi x 8 pi)) = 15.905 deg.
  const helix_deg = (Math.atan(360 / (16 * Math.PI * 8 * Math.PI)) * 180) / Math.PI;
  const turning = { plunger_mm: 8, helix_deg, slot_deg: 10, test_points: [testPoint({ spread: 2 })] };
  const uneven = [57, 60, 60, 60, 60, 60];

  test('the plan stands beside what was turned', () => {
    const { balance_plans } = work(
      {
        draws: drawsOf(uneven),
        barrels: [
          { run: 1, element: 1, deg: 2 },
          { run: 1, element: 4, deg: -0.5 },
        ],
      },
      turning,
    );
    const [plan] = rows(balance_plans);
    expect(plan).toMatchObject({
      run: 1,
      point: 0,
      status: code('balance', 'turn'),
      turned: 1,
      turned_with_rack: 1,
      rack_move_mm: 0,
      target_mm3: 60,
      mean_after_mm3: 60,
      spread_after: 0,
      per_degree_basis: code('gain_basis', 'geometry'),
      per_rack_mm3: NaN,
      per_rack_basis: code('gain_basis', 'unknown'),
      gain_ratio: NaN,
      done_turned: 2,
      done_deg: 2.5,
    });
    expect(plan?.per_degree_mm3).toBeCloseTo(1, 12);
  });

  test('what was turned adds up over the runs, with its sign, and leaves so much of the slot', () => {
    const { rotations } = work(
      {
        draws: [1, 2, 3].flatMap((run) => drawsOf(uneven, { run })),
        barrels: [
          { run: 0, element: 1, deg: -1 },
          { run: 1, element: 1, deg: 2.5 },
          { run: 1, element: 4, deg: -1.5 },
          { run: 2, element: 1, deg: 1.5 },
          { run: 3, element: 4, deg: -4 },
        ],
      },
      turning,
    );
    const list = rows(rotations).map((row) => [row.run, row.element, row.made_deg, row.used_deg, row.slot_left_deg]);
    // Slot 10 deg, 5 either way from its middle. Element 1 is to be turned on by 3 deg each time.
    expect(list).toEqual([
      [0, 1, -1, 0, 5],
      [1, 1, 2.5, -1, 6],
      [1, 4, -1.5, 0, 5],
      [2, 1, 1.5, 1.5, 3.5],
      [3, 1, NaN, 3, 2],
      [3, 4, -4, -1.5, 3.5],
    ]);
    const planned = rows(rotations).map((row) => [row.planned_deg, row.planned_mm3, row.past_slot]);
    const [no, yes] = [code('yes_no', 'no'), code('yes_no', 'yes')];
    const near = (value: number): unknown => expect.closeTo(value, 9);
    expect(planned).toEqual([
      [NaN, NaN, no],
      [near(3), 60, no],
      [0, 60, no],
      [near(3), 60, no],
      // 3 of the 5 deg are used up, so that 3 more do not fit.
      [near(3), 60, yes],
      [0, 60, no],
    ]);
  });

  test('a sleeve has no slot', () => {
    const { rotations } = work({ draws: drawsOf(uneven) }, { ...turning, balance_by: 'sleeve' });
    expect(rows(rotations)).toMatchObject([{ slot_left_deg: NaN, past_slot: code('yes_no', 'no') }]);
  });

  test('all off alike: move the rack, by the gain of the draws at two racks', () => {
    const light = testPoint({ point: 1, purpose: 'light', rack_mm: 5, low_mm3: 20, high_mm3: 40 });
    const { balance_plans, rotations } = work(
      { draws: [...drawsOf([55, 55, 55, 55, 55, 55]), ...drawsOf([35, 35, 35, 35, 35, 35], { point: 1, rack: 5 })] },
      { ...turning, sleeve_radius_mm: 180 / Math.PI / 4, test_points: [testPoint({ spread: 2 }), light] },
    );
    // 20 mm3 over 4 mm of rack; 5 mm3 short of the middle of the band. A degree is a quarter of a mm of rack.
    expect(rows(balance_plans)).toMatchObject([
      {
        status: code('balance', 'move the rack'),
        turned_with_rack: 0,
        per_rack_mm3: 5,
        per_rack_basis: code('gain_basis', 'own draws'),
        per_degree_mm3: expect.closeTo(1.25, 12) as unknown,
        gain_ratio: expect.closeTo(1.25, 12) as unknown,
        rack_move_mm: 1,
        mean_after_mm3: 60,
      },
    ]);
    expect(rows(rotations)).toEqual([]);
  });

  test('there is no plan for a run without the base test point, nor rotations of the one before', () => {
    const other = testPoint({ point: 1, purpose: 'part' });
    const { balance_plans } = work(
      { draws: [...drawsOf(uneven), ...drawsOf(even, { run: 2, point: 1 })] },
      { ...turning, test_points: [testPoint({ spread: 2 }), other] },
    );
    expect(rows(balance_plans).map((row) => row.run)).toEqual([1]);
  });
});

describe('shim plan', () => {
  const late = closuresWithErrors(sheet(), [0, 0, 1, 0, -1, 0]);
  const stepped = { shim_step_mm: 0.1 };
  // At the assumed 0.2 mm a degree, 0.1 mm is half a degree: what is allowed.
  const shims = [
    { run: 1, element: 2, before: 1, after: 1.2 },
    { run: 1, element: 3, before: 1, after: 0.8 },
    { run: 1, element: 5, before: 1, after: 1.1 },
    { run: 1, element: 6, before: 1, after: 1 },
  ];

  test('stands beside what was done, in barrels and mm', () => {
    const [plan] = rows(work({ closures: late, shims }, stepped).shim_plans);
    expect(plan).toMatchObject({
      run: 1,
      status: code('plan', 'possible'),
      barrels: 2,
      lift_after_mm: 2,
      step_mm: 0.1,
      step_assumed: code('yes_no', 'no'),
      done_barrels: 3,
    });
    expect(plan?.moved_mm).toBeCloseTo(0.2, 12);
    expect(plan?.worst_after_deg).toBeCloseTo(0.5, 9);
    expect(plan?.done_mm).toBeCloseTo(0.5, 12);
  });

  test('tells each element its change, beside the one that was made', () => {
    const list = rows(work({ closures: late, shims }, stepped).phasing);
    const near = (value: number): unknown => expect.closeTo(value, 9);
    expect(list.map((row) => [row.element, row.plan_mm, row.planned_error_deg, row.made_mm])).toEqual([
      [1, 0, 0, NaN],
      [2, 0, near(0), near(0.2)],
      [3, near(-0.1), near(0.5), near(-0.2)],
      [4, 0, near(0), NaN],
      [5, near(0.1), near(-0.5), near(0.1)],
      [6, 0, near(0), 0],
    ]);
  });

  test('nothing done after the run is nothing, and a change of another run is not counted', () => {
    const log: Log = {
      closures: [...late, ...closuresWithErrors(sheet(), [], 2)],
      shims: [...shims, { run: 2, element: 1, before: 1, after: 1.1 }, { run: 0, element: 1, before: 1, after: 1.3 }],
    };
    const list = rows(work(log, stepped).shim_plans);
    expect(list.map((row) => [row.run, row.barrels, row.done_barrels])).toEqual([
      [1, 2, 3],
      [2, 0, 1],
    ]);
    expect(rows(work({ closures: late }, stepped).shim_plans)).toMatchObject([{ done_barrels: 0, done_mm: 0 }]);
  });

  test('a split pair of which one half was changed is one barrel changed, by the mean of its halves', () => {
    const pair = { run: 1, element: 3, before: 1, beforeSecond: 1.2, after: 1, afterSecond: 1 };
    const results = work({ closures: late, shims: [pair] }, stepped);
    const near = (value: number): unknown => expect.closeTo(value, 9);
    expect(rows(results.shim_plans)).toMatchObject([{ done_barrels: 1, done_mm: near(0.1) }]);
    expect(rows(results.phasing)[2]).toMatchObject({ made_mm: near(-0.1), pair_difference_mm: 0 });
    expect(rows(results.stages)[0]).toMatchObject({ changes: 1, needless_changes: 0 });
  });

  // By hand: 0.8 deg early at 0.2 mm a degree is 0.16 mm low, of which 0.06 mm must come back to be 0.5 deg early at most. Halves of 1.0 and
  // 1.2 mm hold the barrel 1.1 mm high: steps of 0.05 mm make it 1.2, shims on hand of 1.15 and 1.25 make it 1.25.
  test('an uneven pair is planned from the middle of its halves', () => {
    const log: Log = {
      closures: closuresWithErrors(sheet(), [0, 0, -0.8, 0, 0, 0]),
      shims: [{ run: 1, element: 3, before: 1, beforeSecond: 1.2 }],
    };
    const third = (spec: Partial<Spec>) => rows(work(log, spec).phasing)[2];
    const near = (value: number): unknown => expect.closeTo(value, 9);
    expect(third({ shim_step_mm: 0.05 })).toMatchObject({
      plan_mm: near(0.1),
      planned_error_deg: near(-0.3),
      pair_difference_mm: near(0.2),
    });
    expect(third({ shim_sizes_mm: [1, 1.1, 1.15, 1.25] })).toMatchObject({
      plan_mm: near(0.15),
      planned_error_deg: near(-0.05),
    });
  });

  test('is not made from a run that has shims alone', () => {
    const results = work({ closures: [], shims });
    expect(rows(results.shim_plans)).toEqual([]);
    expect(rows(results.phasing).map((row) => row.plan_mm)).toEqual([NaN, NaN, NaN, NaN]);
  });
});

describe('deliveries at the reference temperature', () => {
  const warm: Log = { draws: drawsOf(even, { fluid: 42 }) };
  const columns = (spec: Partial<Spec>, log: Log = warm) => {
    const results = work(log, spec);
    return [
      rows(results.deliveries).map((row) => row.at_reference_mm3),
      rows(results.points)[0]?.mean_at_reference_mm3,
    ] as const;
  };

  test('are empty without the density of the fluid, or outside its table', () => {
    const none = even.map(() => NaN);
    expect(columns({})).toEqual([none, NaN]);
    expect(columns({ fluid_density_15c: 500 })).toEqual([none, NaN]);
  });

  test('are empty for the draw whose temperature was not read, and so is the mean', () => {
    const [deliveries, mean] = columns(
      { fluid_density_15c: 825 },
      { draws: [...drawsOf(even).slice(1), { element: 1, cm3: 60, fluid: NaN }] },
    );
    expect(deliveries).toEqual([NaN, ...even.slice(1)]);
    expect(mean).toBeNaN();
  });

  // Volume correction factors of 825 kg/m3: 0.98685 at 30 deg C, 0.97803 at 40.
  test('take a draw at another temperature to 40 deg C, which is assumed, or to the one stated', () => {
    const at30 = { draws: drawsOf(even, { fluid: 30 }) };
    const open = [testPoint({ fluid_low_c: NaN, fluid_high_c: NaN })];
    const [[first], mean] = columns({ fluid_density_15c: 825, test_points: open }, at30);
    expect(first).toBeCloseTo((60 * 0.98685) / 0.97803, 2);
    expect(mean).toBeCloseTo((60 * 0.98685) / 0.97803, 2);
    expect(columns({ fluid_density_15c: 825, reference_c: 30, test_points: open }, at30)[1]).toBeCloseTo(60, 12);
    const assumed = (spec: Partial<Spec>) => rows(work(warm, spec).points)[0]?.reference_assumed;
    expect([assumed({}), assumed({ reference_c: 40 })]).toEqual([code('yes_no', 'yes'), code('yes_no', 'no')]);
  });

  test('are the mean of the draws that count, each at its own temperature', () => {
    const repeats = [38, 42].flatMap((fluid, k) => drawsOf(even, { fluid, repeat: k + 1 }));
    const [deliveries, mean] = columns({ fluid_density_15c: 825 }, { draws: repeats });
    // 2 degrees either side of 40 take as much away as they add, but for the bend of the curve.
    for (const q of [...deliveries, mean]) expect(q).toBeCloseTo(60, 3);
  });

  test('do not change the verdict, which goes by the delivery as drawn', () => {
    const edge: Log = { draws: drawsOf([62, 62, 62, 62, 62, 62], { fluid: 38 }) };
    const stage = rows(work(edge, { fluid_density_15c: 825 }).stages)[1];
    expect(stage).toMatchObject({ as_left: code('verdict', 'in') });
    expect(columns({ fluid_density_15c: 825 }, edge)[1]).toBeGreaterThan(62);
  });
});
