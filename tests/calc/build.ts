import { code, type ResultColumns, type ResultTable } from '../../lib/calc/layout';
import type { Readings, Spec, TestPoint } from '../../lib/calc/types';

/** A full test point with a mean band of 58 to 62 mm3 and no spread; state what differs. */
export function testPoint(differs: Partial<TestPoint> = {}): TestPoint {
  return {
    point: 0,
    name: 'base',
    purpose: 'base',
    order: 1,
    speed_rpm: 1000,
    speed_tol_rpm: 10,
    rack_mm: 9,
    rack_tol_mm: 0.1,
    low_mm3: 58,
    high_mm3: 62,
    spread: NaN,
    spread_basis: 'range_mm3',
    fluid_low_c: 38,
    fluid_high_c: 42,
    feed_low_kpa: NaN,
    feed_high_kpa: NaN,
    ...differs,
  };
}

/** A six-element specification with barrel shims, lift 2.00 -0.05 +0.10 mm and nothing optional; state what differs. */
export function sixElements(differs: Partial<Spec> = {}): Spec {
  return {
    spec_no: 0,
    elements: 6,
    firing_order: [1, 5, 3, 6, 2, 4],
    closure_angles_deg: null,
    lift_mm: 2,
    lift_minus_mm: 0.05,
    lift_plus_mm: 0.1,
    phasing_tol_deg: NaN,
    lift_rate_mm_per_deg: NaN,
    cam_lift: null,
    base_radius_mm: NaN,
    roller_radius_mm: NaN,
    adjuster: 'barrel_shim',
    screw_mm_per_turn: NaN,
    shim_step_mm: NaN,
    shim_sizes_mm: null,
    full_lift_mm: NaN,
    ascent_deg: NaN,
    plunger_mm: NaN,
    helix_deg: NaN,
    sleeve_radius_mm: NaN,
    slot_deg: NaN,
    balance_by: 'barrel',
    fluid_density_15c: NaN,
    reference_c: NaN,
    seal_length_mm: NaN,
    injection_deg: NaN,
    injection_mpa: NaN,
    viscosity_mpa_s: NaN,
    test_points: [],
    checks: [],
    superseded_day: NaN,
    ...differs,
  };
}

export interface Job {
  job: number;
  spec: number;
  day?: number;
  /** An `answer` code; none stated where left out. */
  stated?: number;
}
interface At {
  job?: number;
  run?: number;
  element: number;
}
export interface Closure extends At {
  deg: number;
  lift?: number;
  preload?: number;
  gauge?: number;
}
export interface Shim extends At {
  before?: number;
  after?: number;
  beforeSecond?: number;
  afterSecond?: number;
  stated?: number;
}
export interface Draw extends At {
  point?: number;
  repeat?: number;
  cm3: number;
  strokes?: number;
  rpm?: number;
  rack?: number;
  fluid?: number;
  feed?: number;
  stated?: number;
  taken?: number;
  gauge?: number;
}
export interface Barrel extends At {
  deg: number;
}
export interface GovernorReading {
  job?: number;
  run?: number;
  check?: number;
  lever?: number;
  rpm?: number;
  rack?: number;
  boost?: number;
  delivery?: number;
}
export interface Log {
  jobs?: Job[];
  closures?: Closure[];
  shims?: Shim[];
  draws?: Draw[];
  barrels?: Barrel[];
  governor?: GovernorReading[];
}

const ints = <R>(rows: readonly R[], value: (row: R) => number) => Int32Array.from(rows, value);
const reals = <R>(rows: readonly R[], value: (row: R) => number) => Float64Array.from(rows, value);

function sorted<R>(rows: readonly R[], keys: (row: R) => number[]): R[] {
  return [...rows].sort((a, b) => {
    const other = keys(b);
    return keys(a).reduce((order, key, k) => (order !== 0 ? order : key - (other[k] ?? 0)), 0);
  });
}

/**
 * Readings as the engine takes them, from rows in any order. Job 0, run 1, repeat 1 and point 0 where a row does not say; one
 * job of specification 0 where none is listed. What a draw does not state was read in the middle of the windows of `testPoint`.
 */
export function readings({
  jobs = [{ job: 0, spec: 0 }],
  closures = [],
  shims = [],
  draws = [],
  barrels = [],
  governor = [],
}: Log): Readings {
  const at = (row: At) => [row.job ?? 0, row.run ?? 1, row.element];
  const j = sorted(jobs, (row) => [row.job]);
  const c = sorted(closures, at);
  const s = sorted(shims, at);
  const d = sorted(draws, (row) => [row.job ?? 0, row.run ?? 1, row.point ?? 0, row.element, row.repeat ?? 1]);
  const b = sorted(barrels, at);
  const g = sorted(governor, (row) => [row.job ?? 0, row.run ?? 1, row.check ?? 0]);
  const keys = (rows: readonly At[]) => ({
    job_no: ints(rows, (row) => row.job ?? 0),
    run: ints(rows, (row) => row.run ?? 1),
    element: ints(rows, (row) => row.element),
  });
  return {
    jobs: {
      job_no: ints(j, (row) => row.job),
      spec_no: ints(j, (row) => row.spec),
      received_day: ints(j, (row) => row.day ?? 0),
      stated_pass: ints(j, (row) => row.stated ?? code('answer', 'not counted')),
    },
    closures: {
      ...keys(c),
      cam_deg: reals(c, (row) => row.deg),
      lift_mm: reals(c, (row) => row.lift ?? NaN),
      preload_mm: reals(c, (row) => row.preload ?? NaN),
      gauge: ints(c, (row) => row.gauge ?? -1),
    },
    shims: {
      ...keys(s),
      before_mm: reals(s, (row) => row.before ?? NaN),
      after_mm: reals(s, (row) => row.after ?? NaN),
      before_second_mm: reals(s, (row) => row.beforeSecond ?? NaN),
      after_second_mm: reals(s, (row) => row.afterSecond ?? NaN),
      stated_change_mm: reals(s, (row) => row.stated ?? NaN),
    },
    draws: {
      ...keys(d),
      point: ints(d, (row) => row.point ?? 0),
      repeat: ints(d, (row) => row.repeat ?? 1),
      volume_cm3: reals(d, (row) => row.cm3),
      strokes: reals(d, (row) => row.strokes ?? 1000),
      speed_rpm: reals(d, (row) => row.rpm ?? 1000),
      rack_mm: reals(d, (row) => row.rack ?? 9),
      fluid_c: reals(d, (row) => row.fluid ?? 40),
      feed_kpa: reals(d, (row) => row.feed ?? NaN),
      stated_mm3_per_stroke: reals(d, (row) => row.stated ?? NaN),
      taken_min: reals(d, (row) => row.taken ?? NaN),
      gauge: ints(d, (row) => row.gauge ?? -1),
    },
    barrels: { ...keys(b), rotation_deg: reals(b, (row) => row.deg) },
    governor: {
      job_no: ints(g, (row) => row.job ?? 0),
      run: ints(g, (row) => row.run ?? 1),
      check: ints(g, (row) => row.check ?? 0),
      lever: ints(g, (row) => row.lever ?? -1),
      speed_rpm: reals(g, (row) => row.rpm ?? NaN),
      rack_mm: reals(g, (row) => row.rack ?? NaN),
      boost_kpa: reals(g, (row) => row.boost ?? NaN),
      delivery_mm3: reals(g, (row) => row.delivery ?? NaN),
    },
  };
}

export const specsOf = (...specs: Spec[]) => new Map(specs.map((spec) => [spec.spec_no, spec]));

/** A result table as rows, each a plain object by column name. */
export function rows<T extends ResultTable>(table: ResultColumns<T>): Record<keyof ResultColumns<T>, number>[] {
  const columns = Object.entries<Int32Array | Float64Array>(table);
  const length = columns[0]?.[1].length ?? 0;
  return Array.from(
    { length },
    (_, row) =>
      Object.fromEntries(columns.map(([name, column]) => [name, column[row]])) as Record<
        keyof ResultColumns<T>,
        number
      >,
  );
}

/** Closures of a run with a given phase error [deg] for each element, by element - 1; the reference's lift is 2 mm. */
export function closuresWithErrors(spec: Spec, errors: readonly number[], run = 1, job = 0): Closure[] {
  return spec.firing_order.map((element, position) => ({
    job,
    run,
    element,
    deg: (position * 360) / spec.elements + (errors[element - 1] ?? 0),
    ...(position === 0 ? { lift: 2 } : {}),
  }));
}

/** One draw an element that gives `q` [mm3/stroke], by element - 1. */
export function drawsOf(q: readonly number[], differs: Partial<Draw> = {}): Draw[] {
  return q.map((mm3, k) => ({ element: k + 1, cm3: mm3, ...differs }));
}
