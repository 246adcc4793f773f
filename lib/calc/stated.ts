import type { Check, LiftTable, Spec, TestPoint } from './types';

/** What a figure of a sheet can be: above 0, from 0 on, or any number. */
type Range = 'above 0' | 'from 0' | 'any';

/** The numbers of a row of the sheet whose range is told. */
type Ranges<Row> = { readonly [K in keyof Row as Row[K] extends number ? K : never]?: Range };

const specRanges = {
  lift_mm: 'above 0',
  lift_minus_mm: 'from 0',
  lift_plus_mm: 'from 0',
  phasing_tol_deg: 'from 0',
  lift_rate_mm_per_deg: 'above 0',
  base_radius_mm: 'above 0',
  roller_radius_mm: 'above 0',
  screw_mm_per_turn: 'above 0',
  shim_step_mm: 'above 0',
  full_lift_mm: 'above 0',
  ascent_deg: 'above 0',
  plunger_mm: 'above 0',
  helix_deg: 'above 0',
  sleeve_radius_mm: 'above 0',
  slot_deg: 'from 0',
  fluid_density_15c: 'above 0',
  reference_c: 'any',
  seal_length_mm: 'above 0',
  injection_deg: 'above 0',
  injection_mpa: 'above 0',
  viscosity_mpa_s: 'above 0',
} as const satisfies Ranges<Spec>;

const pointRanges = {
  speed_rpm: 'above 0',
  speed_tol_rpm: 'from 0',
  rack_mm: 'any',
  rack_tol_mm: 'from 0',
  low_mm3: 'from 0',
  high_mm3: 'from 0',
  spread: 'from 0',
  fluid_low_c: 'any',
  fluid_high_c: 'any',
  feed_low_kpa: 'any',
  feed_high_kpa: 'any',
} as const satisfies Ranges<TestPoint>;

const checkRanges = {
  speed_rpm: 'from 0',
  boost_kpa: 'any',
  low: 'any',
  high: 'any',
} as const satisfies Ranges<Check>;

/** Sizes beyond these are those of no pump in any of the units; what is worked out from smaller and greater ones has no end. */
const LEAST = 1e-9;
const GREATEST = 1e9;

function canBe(value: number, range: Range): boolean {
  if (value === 0) return range !== 'above 0';
  return Math.abs(value) >= LEAST && Math.abs(value) <= GREATEST && (range === 'any' || value > 0);
}

/** The row with NaN for each figure that cannot be. */
function cleared<Row extends object>(row: Row, ranges: Readonly<Record<string, Range>>): Row {
  const wrong = Object.entries(row).filter(([name, value]) => {
    const range = ranges[name];
    return range !== undefined && typeof value === 'number' && !canBe(value, range);
  });
  return wrong.length === 0 ? row : { ...row, ...Object.fromEntries(wrong.map(([name]) => [name, NaN])) };
}

/** A lift table that tells a curve: two points or more, every figure a number, angles rising. */
function isCurve({ deg, mm }: LiftTable): boolean {
  const rises = deg.every((at, k) => k === 0 || at > (deg[k - 1] ?? NaN));
  return deg.length >= 2 && mm.length === deg.length && rises && [...deg, ...mm].every(Number.isFinite);
}

/** Shims on hand that are shims; null where none is. */
function realSizes(sizes: readonly number[] | null): readonly number[] | null {
  const real = (sizes ?? []).filter((mm) => canBe(mm, 'above 0'));
  return real.length === 0 ? null : real;
}

/**
 * A specification with every figure that cannot be (a radius of 0, a tolerance below 0, a rate without end) taken as not stated, so
 * that the engine answers as for a sheet that leaves it out: by the next source, an assumed value that is marked, or not at all. Files
 * are checked when they are read; this keeps what is worked out from hanging on it.
 */
export function statedOnly(spec: Spec): Spec {
  return {
    ...cleared(spec, specRanges),
    cam_lift: spec.cam_lift !== null && isCurve(spec.cam_lift) ? spec.cam_lift : null,
    shim_sizes_mm: realSizes(spec.shim_sizes_mm),
    test_points: spec.test_points.map((point) => cleared(point, pointRanges)),
    checks: spec.checks.map((check) => cleared(check, checkRanges)),
  };
}
