import type { Adjuster, Purpose, SpreadBasis } from '../lib/calc/types';

/** How a cam lifts: lift [mm] against angle [deg of camshaft] from the start of lift. */
export type Cam =
  | { readonly form: 'tangent'; readonly base_mm: number; readonly roller_mm: number }
  | { readonly form: 'swell'; readonly lift_mm: number; readonly width_deg: number }
  | { readonly form: 'line'; readonly rate: number };

export interface PointPlan {
  readonly name: string;
  readonly purpose: Exclude<Purpose, 'unstated'>;
  readonly rpm: number;
  /** Rack travel; `full` means the full-load rack of the revision. */
  readonly rack: number | 'full';
  /** Width of the band, either way, as part of its centre. */
  readonly band: number;
  readonly spread: number;
  readonly basis: SpreadBasis;
  readonly strokes: number;
}

export interface Revision {
  readonly revision: string;
  readonly valid_from: string;
  readonly lift_mm: number;
  /** null: the sheet gives no phasing tolerance. */
  readonly tolerance_deg: number | null;
  readonly full_rack_mm: number;
}

export interface Model {
  readonly name: string;
  readonly prefix: string;
  readonly spec_id: string;
  /** Part of the shop's pumps. */
  readonly share: number;
  readonly firing_order: readonly number[];
  readonly closure_angles_deg: readonly number[] | null;
  readonly cam: Cam;
  /** What the sheet says about the lift rate. */
  readonly sheet_rate: 'table' | 'geometry' | 'rate' | 'none';
  readonly lift_minus_mm: number;
  readonly lift_plus_mm: number;
  readonly adjuster: Adjuster;
  readonly step_mm: number;
  readonly sizes_mm: readonly number[] | null;
  readonly screw_mm_per_turn: number | null;
  readonly split_pairs: boolean;
  /** Stack, or height of the tappet screw, that the pump was drawn with. */
  readonly stack_mm: number;
  readonly plunger_mm: number;
  readonly helix_deg: number;
  readonly sleeve_mm: number;
  readonly slot_deg: number | null;
  readonly balance_by: 'barrel' | 'sleeve';
  /** Rack at which nothing is delivered. */
  readonly rack_zero_mm: number;
  readonly rack_tol_mm: number;
  readonly speed_tol_rpm: number | null;
  readonly feed_kpa: number | null;
  readonly fluid_c: readonly [number, number];
  /** Leak of a new element [mm3/stroke times rpm]: what is lost a stroke grows with the time that it has. */
  readonly leak: number;
  /** How far assembly scatters, against the shop's usual. */
  readonly scatter: number;
  readonly points: readonly PointPlan[];
  readonly rated_rpm: number;
  readonly idle_rpm: number;
  readonly boost: readonly number[];
  readonly torque_control: boolean;
  /** Whether breakaway, cut-off and droop are read from a run-out of the governor, speed by speed, or off the tachometer. */
  readonly run_out: boolean;
  readonly revisions: readonly [Revision, ...Revision[]];
  /** Price level of its parts, in the shop's currency for one plunger and barrel. */
  readonly element_price: number;
}
