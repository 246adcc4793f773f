/**
 * What the engine takes in. All angles are degrees of camshaft, lengths mm, volumes cm3, speeds rpm of the pump,
 * temperatures degrees C, pressures kPa. A number that was not stated or not read is NaN, never 0.
 * Elements are numbered from 1 at the drive end; element arrays are indexed by element - 1.
 */

export type Adjuster = 'barrel_shim' | 'tappet_shim' | 'tappet_screw';
export type Purpose = 'base' | 'full' | 'part' | 'light' | 'low-speed' | 'start' | 'idle' | 'unstated';
export type BalanceBy = 'barrel' | 'sleeve';
export type CheckKind =
  'rack_at_speed' | 'delivery_at_speed' | 'breakaway' | 'cut_off' | 'droop' | 'boost' | 'torque_control' | 'unstated';
export type CheckUnit = 'mm' | 'rpm' | 'percent' | 'mm3_per_stroke';
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

/** One band of a governor or accessory check; a check of several points (a curve) has one for each. */
export interface Check {
  /** Number of the check's name in the caller's dictionary; bands of one name belong together. */
  readonly check: number;
  readonly name: string;
  readonly kind: CheckKind;
  /** Where the band holds; NaN where it is not stated. */
  readonly speed_rpm: number;
  readonly boost_kpa: number;
  /** Number of the lever position in the caller's dictionary, -1 where none is stated. */
  readonly lever: number;
  /** The band, in `unit`. */
  readonly low: number;
  readonly high: number;
  readonly unit: CheckUnit;
}

/** The calibrations of one gauge, oldest first; all arrays of one length. Days count from 1970-01-01. */
export interface Gauge {
  /** Number of the gauge in the caller's dictionary. */
  readonly gauge: number;
  readonly calibrated_day: readonly number[];
  /** First day on which it may no longer be used under that calibration. */
  readonly due_day: readonly number[];
  /** Expanded uncertainty (k = 2) in `unit`, by calibration; NaN where none is stated. */
  readonly uncertainty: readonly number[];
  readonly unit: readonly GaugeUnit[];
}

/** What a gauge reads, as far as a figure can be judged with it; 'other' for all else. */
export type GaugeUnit = 'mm' | 'cam_deg' | 'cm3' | 'celsius' | 'rpm' | 'kpa' | 'strokes' | 'other';

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
  /** Full lift of a tangent cam [mm] and the camshaft angle [deg] from the start of lift to it; they place its nose. */
  readonly full_lift_mm: number;
  readonly ascent_deg: number;
  readonly plunger_mm: number;
  /** Angle of the helix from the plane square to the plunger's axis [deg]. */
  readonly helix_deg: number;
  readonly sleeve_radius_mm: number;
  /** Barrel rotation that the flange slots allow, end to end [deg]. */
  readonly slot_deg: number;
  readonly balance_by: BalanceBy;
  /** Density of the fluid at 15 deg C [kg/m3]. */
  readonly fluid_density_15c: number;
  /** Temperature that deliveries are stated at [deg C]. */
  readonly reference_c: number;
  readonly seal_length_mm: number;
  readonly injection_deg: number;
  readonly injection_mpa: number;
  readonly viscosity_mpa_s: number;
  /** In the order of work. */
  readonly test_points: readonly TestPoint[];
  readonly checks: readonly Check[];
  /** First day of the sheet's next revision [days from 1970-01-01]; NaN while it is the newest, or where no day is stated. */
  readonly superseded_day: number;
}

type Ints = Int32Array;
type Reals = Float64Array;

/** One row a job, ascending by job_no. Every array of a group has the same length. */
export interface JobRows {
  readonly job_no: Ints;
  readonly spec_no: Ints;
  /** Days from 1970-01-01. */
  readonly received_day: Ints;
  /** Result that the card states, as an `answer` code: yes for pass, no for fail, not counted for none. */
  readonly stated_pass: Ints;
}

/** Ascending by job_no, run, element. */
export interface ClosureRows {
  readonly job_no: Ints;
  readonly run: Ints;
  readonly element: Ints;
  readonly cam_deg: Reals;
  readonly lift_mm: Reals;
  readonly preload_mm: Reals;
  /** Number of the gauge used, -1 where none was written down or the log does not list it. */
  readonly gauge: Ints;
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
  /** Change as the job card states it. */
  readonly stated_change_mm: Reals;
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
  /** Delivery as the job card states it. */
  readonly stated_mm3_per_stroke: Reals;
  /** Minutes from 1970-01-01 in the shop's own time. */
  readonly taken_min: Reals;
  readonly gauge: Ints;
}

/** Ascending by job_no, run, element. */
export interface BarrelRows {
  readonly job_no: Ints;
  readonly run: Ints;
  readonly element: Ints;
  readonly rotation_deg: Reals;
}

/** Ascending by job_no, run, check. `check` and `lever` as in Check; -1 where a row states none that the log knows. */
export interface GovernorRows {
  readonly job_no: Ints;
  readonly run: Ints;
  readonly check: Ints;
  readonly lever: Ints;
  readonly speed_rpm: Reals;
  readonly rack_mm: Reals;
  readonly boost_kpa: Reals;
  readonly delivery_mm3: Reals;
}

/** The readings of some jobs, as columns. Rows of a job that is not in `jobs` must not occur. */
export interface Readings {
  readonly jobs: JobRows;
  readonly closures: ClosureRows;
  readonly shims: ShimRows;
  readonly draws: DrawRows;
  readonly barrels: BarrelRows;
  readonly governor: GovernorRows;
}
