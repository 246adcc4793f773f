/**
 * What the engine takes in. All angles are degrees of camshaft, lengths mm, volumes cm3, speeds rpm of the pump,
 * temperatures degrees C, pressures kPa. A number that was not stated or not read is NaN, never 0.
 * Elements are numbered from 1 at the drive end; element arrays are indexed by element - 1.
 */

export type Adjuster = 'barrel_shim' | 'tappet_shim' | 'tappet_screw';
export type Purpose = 'base' | 'full' | 'part' | 'light' | 'low-speed' | 'start' | 'idle' | 'unstated';
export type SpreadBasis = 'range_mm3' | 'range_percent' | 'deviation_mm3' | 'deviation_percent';

/** A cam's lift curve: strictly increasing angles [deg of camshaft] and as many lifts [mm], at least two of each. */
export interface LiftTable {
  readonly deg: Float64Array;
  readonly mm: Float64Array;
}

export interface TestPoint {
  /** Number of the test point's name in the caller's dictionary. */
  readonly point: number;
  readonly name: string;
  readonly purpose: Purpose;
  readonly order: number;
  readonly speed_rpm: number;
  /** NaN where the specification gives none: the engine then assumes one and says so. */
  readonly speed_tol_rpm: number;
  readonly rack_mm: number;
  readonly rack_tol_mm: number;
  readonly low_mm3: number;
  readonly high_mm3: number;
  /** Largest spread allowed, in the unit of `spread_basis`; NaN where none is asked for. */
  readonly spread: number;
  readonly spread_basis: SpreadBasis;
  readonly fluid_low_c: number;
  readonly fluid_high_c: number;
  readonly feed_low_kpa: number;
  readonly feed_high_kpa: number;
}

/** One revision of one model's specification, checked when the log was read. */
export interface Spec {
  /** Number of the revision in the caller's dictionary. */
  readonly spec_no: number;
  readonly elements: number;
  /** Length `elements`; a permutation of 1..elements, the reference element first. */
  readonly firing_order: readonly number[];
  /** Nominal closure by firing position [deg], from 0, length `elements`; null means even intervals of 360 / elements. */
  readonly closure_angles_deg: readonly number[] | null;
  readonly lift_mm: number;
  readonly lift_minus_mm: number;
  readonly lift_plus_mm: number;
  readonly phasing_tol_deg: number;
  readonly lift_rate_mm_per_deg: number;
  readonly cam_lift: LiftTable | null;
  readonly base_radius_mm: number;
  readonly roller_radius_mm: number;
  readonly adjuster: Adjuster;
  readonly screw_mm_per_turn: number;
  readonly shim_step_mm: number;
  /** Sizes on hand [mm], ascending; null where shims go by an even step. */
  readonly shim_sizes_mm: readonly number[] | null;
  /** In the order of work. */
  readonly test_points: readonly TestPoint[];
}

type Ints = Int32Array;
type Reals = Float64Array;

/** One row a job, ascending by job_no. Every array of a group has the same length. */
export interface JobRows {
  readonly job_no: Ints;
  readonly spec_no: Ints;
}

/** Ascending by job_no, run, element. */
export interface ClosureRows {
  readonly job_no: Ints;
  readonly run: Ints;
  readonly element: Ints;
  readonly cam_deg: Reals;
  readonly lift_mm: Reals;
  readonly preload_mm: Reals;
}

/** Ascending by job_no, run, element. */
export interface ShimRows {
  readonly job_no: Ints;
  readonly run: Ints;
  readonly element: Ints;
  readonly before_mm: Reals;
  readonly after_mm: Reals;
  readonly before_second_mm: Reals;
  readonly after_second_mm: Reals;
}

/** Ascending by job_no, run, point, element, repeat. `point` as in TestPoint. */
export interface DrawRows {
  readonly job_no: Ints;
  readonly run: Ints;
  readonly point: Ints;
  readonly repeat: Ints;
  readonly element: Ints;
  readonly volume_cm3: Reals;
  readonly strokes: Reals;
  readonly speed_rpm: Reals;
  readonly rack_mm: Reals;
  readonly fluid_c: Reals;
  readonly feed_kpa: Reals;
}

/** Ascending by job_no, run, element. */
export interface BarrelRows {
  readonly job_no: Ints;
  readonly run: Ints;
  readonly element: Ints;
  readonly rotation_deg: Reals;
}

/** The readings of some jobs, as columns. Rows of a job that is not in `jobs` must not occur. */
export interface Readings {
  readonly jobs: JobRows;
  readonly closures: ClosureRows;
  readonly shims: ShimRows;
  readonly draws: DrawRows;
  readonly barrels: BarrelRows;
}
