import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { calibrate } from '../../lib/calc/batch';
import { codes, layout, resultTables, type ResultColumn, type Results } from '../../lib/calc/layout';
import { statedOnly } from '../../lib/calc/stated';
import type { Check, Spec, TestPoint } from '../../lib/calc/types';
import { checks, specs, testPoints } from '../../lib/log/tables/specs';
import { closuresWithErrors, drawsOf, type Log, readings, rows, sixElements, specsOf, testPoint } from './build';

/** A sheet that states everything, so that each figure of it bears on some answer. */
const base = testPoint({ spread: 2, feed_low_kpa: 100, feed_high_kpa: 200 });
const light = testPoint({ point: 1, purpose: 'light', rack_mm: 5, low_mm3: 20, high_mm3: 40, spread: 2 });
const slow = testPoint({ point: 2, purpose: 'low-speed', speed_rpm: 200, low_mm3: 40, high_mm3: 62 });
const check: Check = {
  check: 0,
  name: 'droop',
  kind: 'droop',
  speed_rpm: 1000,
  boost_kpa: NaN,
  lever: -1,
  low: 5,
  high: 15,
  unit: 'percent',
};
const rackCheck: Check = { ...check, check: 1, name: 'rack', kind: 'rack_at_speed', low: 9.9, high: 10.1, unit: 'mm' };
const whole = sixElements({
  lift_rate_mm_per_deg: 0.3,
  base_radius_mm: 14,
  roller_radius_mm: 8,
  full_lift_mm: 10,
  ascent_deg: 60,
  phasing_tol_deg: 0.5,
  shim_step_mm: 0.1,
  screw_mm_per_turn: 1,
  plunger_mm: 9,
  helix_deg: 18,
  sleeve_radius_mm: 12,
  slot_deg: 20,
  fluid_density_15c: 825,
  reference_c: 40,
  seal_length_mm: 20,
  injection_deg: 8,
  injection_mpa: 30,
  viscosity_mpa_s: 2.4,
  test_points: [base, light, slow],
  checks: [check, rackCheck],
});
const log: Log = {
  closures: [0, 1].flatMap((run) => closuresWithErrors(whole, [0, 0.8, -0.3, 0.1, -1.2, 0], run)),
  shims: [{ run: 1, element: 2, before: 1, beforeSecond: 1.1, after: 0.9, afterSecond: 0.9, stated: -0.1 }],
  draws: [
    ...drawsOf([60, 61, 57, 60, 60, 60], { fluid: 39, feed: 150 }),
    ...drawsOf([60.5, 61, 57, 60, 60, 60], { repeat: 2, fluid: 39, feed: 150 }),
    ...drawsOf([30, 31, 29, 30, 30, 30], { point: 1, rack: 5, fluid: 41 }),
    ...drawsOf([50, 52, 48, 50, 50, 50], { point: 2, rpm: 200 }),
  ],
  barrels: [{ element: 3, deg: 1.5 }],
  governor: [0, 1].flatMap((one) =>
    [900, 1000, 1040, 1080, 1120, 1160].map((rpm, k) => ({ check: one, rpm, rack: [10, 10, 9.6, 7, 4, 4][k] ?? 0 })),
  ),
};
const adjusters = ['barrel_shim', 'tappet_shim', 'tappet_screw'] as const;
const work = (spec: Spec) => calibrate(specsOf(spec), readings(log));

/** Figures that are above 0, from 0 on, or may be any number. */
const above: readonly (keyof Spec)[] = [
  ...(['lift_mm', 'lift_rate_mm_per_deg', 'base_radius_mm', 'roller_radius_mm', 'full_lift_mm', 'ascent_deg'] as const),
  ...(['shim_step_mm', 'screw_mm_per_turn', 'plunger_mm', 'helix_deg', 'sleeve_radius_mm'] as const),
  ...(['fluid_density_15c', 'seal_length_mm', 'injection_deg', 'injection_mpa', 'viscosity_mpa_s'] as const),
];
const from: readonly (keyof Spec)[] = ['lift_minus_mm', 'lift_plus_mm', 'phasing_tol_deg', 'slot_deg'];
const ofPoint: readonly (keyof TestPoint)[] = [
  ...(['speed_tol_rpm', 'rack_tol_mm', 'low_mm3', 'high_mm3', 'spread'] as const),
];

type Change = (value: number) => Spec;
const inSpec =
  (name: keyof Spec): Change =>
  (value) => ({ ...whole, [name]: value });
const inPoint =
  (place: number, name: keyof TestPoint): Change =>
  (value) => ({
    ...whole,
    test_points: whole.test_points.map((one, k) => (k === place ? { ...one, [name]: value } : one)),
  });
const inCheck =
  (name: keyof Check): Change =>
  (value) => ({ ...whole, checks: whole.checks.map((one) => ({ ...one, [name]: value })) });

const aboveZero: Change[] = [...above.map(inSpec), inPoint(0, 'speed_rpm'), inPoint(2, 'speed_rpm')];
const fromZero: Change[] = [
  ...from.map(inSpec),
  ...[0, 1, 2].flatMap((k) => ofPoint.map((name) => inPoint(k, name))),
  inCheck('speed_rpm'),
];
const anyNumber: Change[] = [
  inSpec('reference_c'),
  ...[0, 1, 2].map((place) => inPoint(place, 'rack_mm')),
  inPoint(0, 'fluid_low_c'),
  inPoint(0, 'fluid_high_c'),
  inPoint(0, 'feed_low_kpa'),
  inCheck('low'),
  inCheck('high'),
];
const size = fc.double({ min: 1e-9, max: 1e6, noNaN: true });
const endless = fc.constantFrom(Infinity, -Infinity);
const wrong = fc.oneof(
  fc.tuple(
    fc.constantFrom(...aboveZero),
    fc.oneof(
      fc.constant(0),
      size.map((value) => -value),
      endless,
    ),
  ),
  fc.tuple(
    fc.constantFrom(...fromZero),
    fc.oneof(
      size.map((value) => -value),
      endless,
    ),
  ),
  fc.tuple(fc.constantFrom(...anyNumber), endless),
);

/** Every real of the answer that is neither a number nor empty. */
const endlessCells = (results: Results): string[] =>
  resultTables.flatMap((table) =>
    Object.entries<ResultColumn>(layout[table].columns).flatMap(([name, { type }]) => {
      const column: ArrayLike<number> =
        Object.entries<ArrayLike<number>>(results[table]).find(([one]) => one === name)?.[1] ?? [];
      const bad = Array.from(column).some(
        (value) => Math.abs(value) === Infinity || (type !== 'real' && Number.isNaN(value)),
      );
      return bad ? [`${table}.${name}`] : [];
    }),
  );

describe('a figure of the sheet that cannot be', () => {
  test('is taken as not stated, whatever it is', () => {
    fc.assert(
      fc.property(wrong, fc.constantFrom(...adjusters), ([change, value], adjuster) => {
        expect(work({ ...change(value), adjuster })).toEqual(work({ ...change(NaN), adjuster }));
      }),
    );
  });

  test('or is far beyond any pump leaves no answer without end, nor does one that is not stated', () => {
    const far = fc.constantFrom(NaN, 0, 1e-308, 1e-9, 1e9, 1e154, 1e308, -1e308, Infinity, -Infinity);
    fc.assert(
      fc.property(
        fc.constantFrom(...aboveZero, ...fromZero, ...anyNumber),
        far,
        fc.constantFrom(...adjusters),
        (change, value, adjuster) => {
          expect(endlessCells(work({ ...change(value), adjuster }))).toEqual([]);
        },
      ),
      { numRuns: 400 },
    );
  });

  const word = (list: keyof typeof codes, value: number | undefined): string | undefined => codes[list][value ?? -1];
  const run1 = <T extends { run: number }>(list: readonly T[]): T | undefined => list.find((row) => row.run === 1);

  test.each([0, -1, Infinity])('%s: what is answered in its place, and why', (value) => {
    const timing = (change: Change, differs: Partial<Spec> = {}) =>
      run1(rows(work({ ...change(value), ...differs }).timing));
    const rate = (...differs: [Change, Partial<Spec>?]) => word('lift_rate_basis', timing(...differs)?.lift_rate_basis);
    expect(rate(inSpec('base_radius_mm'))).toBe('stated lift rate');
    expect(rate(inSpec('roller_radius_mm'))).toBe('stated lift rate');
    expect(rate(inSpec('lift_rate_mm_per_deg'), { base_radius_mm: NaN })).toBe('assumed');
    const plan = run1(rows(work(inSpec('shim_step_mm')(value)).shim_plans));
    expect(word('yes_no', plan?.step_assumed)).toBe('yes');
    expect(word('verdict', timing(inSpec('lift_mm'))?.timing_verdict)).toBe('not measured');
    const leak = rows(work(inSpec('viscosity_mpa_s')(value)).leakage);
    expect(leak.length).toBeGreaterThan(0);
    expect(leak.map((row) => row.clearance_um)).toEqual(leak.map(() => NaN));
    const balance = run1(rows(work({ ...inSpec('plunger_mm')(value), sleeve_radius_mm: NaN }).balance_plans));
    expect(word('gain_basis', balance?.per_degree_basis)).toBe('unknown');
    expect(word('balance', balance?.status)).toBe('gain unknown');
    const droop = rows(work(inCheck('speed_rpm')(value)).governor_checks)[0];
    expect(word('governor_basis', droop?.basis)).toBe('not measured');
    expect(word('verdict', droop?.verdict)).toBe('not measured');
  });

  test('but what a sheet may state is kept: every limit of its columns, a rack below its zero and a check at standstill', () => {
    // The border between files and engine must not let through what the engine then passes over, but for lifts that are none.
    const none = ['lift_mm', 'full_lift_mm'];
    const ends = (columns: typeof specs.columns, row: object, name: (key: string, value: number) => Spec) =>
      columns.flatMap(({ name: key, min, max }) =>
        [min, max].flatMap((end) =>
          key in row && typeof end === 'number' && !none.includes(key) && Math.abs(end) < Infinity
            ? [[key, end, statedOnly(name(key, end)), name(key, end)] as const]
            : [],
        ),
      );
    const all = [
      ...ends(specs.columns, whole, (key, value) => ({ ...whole, [key]: value })),
      ...ends(testPoints.columns, base, (key, value) => ({ ...whole, test_points: [{ ...base, [key]: value }] })),
      ...ends(checks.columns, check, (key, value) => ({ ...whole, checks: [{ ...check, [key]: value }] })),
    ];
    expect(all.length).toBeGreaterThan(40);
    for (const [key, end, kept, given] of all) expect([key, end, kept]).toEqual([key, end, given]);
  });

  test('a tolerance below 0 is none, so that 0.5 degrees is assumed and said to be', () => {
    const [row] = rows(work(inSpec('phasing_tol_deg')(-0.5)).timing);
    expect(row?.tolerance_deg).toBe(0.5);
    expect(word('yes_no', row?.tolerance_assumed)).toBe('yes');
  });

  test('a lift table that is no curve, or sizes that are no shims, are none', () => {
    const table = (deg: number[], mm: number[]) => ({
      ...whole,
      cam_lift: { deg: Float64Array.from(deg), mm: Float64Array.from(mm) },
    });
    const none = work(whole);
    expect(work(table([0, 10, 10, 20], [0, 1, 2, 5]))).toEqual(none);
    expect(work(table([0, 10, 20], [0, Infinity, 5]))).toEqual(none);
    expect(work(table([0], [0]))).toEqual(none);
    expect(work({ ...whole, shim_sizes_mm: [] })).toEqual(none);
    expect(work({ ...whole, shim_sizes_mm: [0, -1, Infinity] })).toEqual(none);
  });
});
