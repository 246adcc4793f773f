import type { Adjuster, Purpose, SpreadBasis } from '../lib/calc/types';

/**
 * The six pump models of the invented shop. Every figure here is made up; none belongs to a pump that exists.
 */

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
  readonly revisions: readonly [Revision, ...Revision[]];
  /** Price level of its parts, in the shop's currency for one plunger and barrel. */
  readonly element_price: number;
}

const base = (rpm: number, rack: number, spread: number, basis: SpreadBasis): PointPlan => ({
  name: 'Base',
  purpose: 'base',
  rpm,
  rack,
  band: 0.03,
  spread,
  basis,
  strokes: 500,
});
const full = (rpm: number, spread: number, basis: SpreadBasis): PointPlan => ({
  name: 'Full load',
  purpose: 'full',
  rpm,
  rack: 'full',
  band: 0.025,
  spread,
  basis,
  strokes: 500,
});
const part = (rpm: number, rack: number, spread: number, basis: SpreadBasis): PointPlan => ({
  name: 'Part load',
  purpose: 'part',
  rpm,
  rack,
  band: 0.045,
  spread,
  basis,
  strokes: 500,
});
const light = (rpm: number, rack: number, spread: number, basis: SpreadBasis): PointPlan => ({
  name: 'Light',
  purpose: 'light',
  rpm,
  rack,
  band: 0.25,
  spread,
  basis,
  strokes: 1000,
});
const low = (rpm: number, spread: number, basis: SpreadBasis): PointPlan => ({
  name: 'Low speed',
  purpose: 'low-speed',
  rpm,
  rack: 'full',
  band: 0.11,
  spread,
  basis,
  strokes: 250,
});
const idle = (rpm: number, rack: number, spread: number, basis: SpreadBasis): PointPlan => ({
  name: 'Idle',
  purpose: 'idle',
  rpm,
  rack,
  band: 0.35,
  spread,
  basis,
  strokes: 1000,
});

const sizes = Array.from({ length: 21 }, (_, i) => (60 + 5 * i) / 100);

export const models: readonly [Model, ...Model[]] = [
  {
    name: 'Kestrel',
    prefix: 'KE',
    spec_id: 'KES-4',
    share: 0.19,
    firing_order: [1, 3, 4, 2],
    closure_angles_deg: null,
    cam: { form: 'tangent', base_mm: 14, roller_mm: 9 },
    sheet_rate: 'geometry',
    lift_minus_mm: 0.05,
    lift_plus_mm: 0.1,
    adjuster: 'barrel_shim',
    step_mm: 0.05,
    sizes_mm: null,
    screw_mm_per_turn: null,
    split_pairs: false,
    stack_mm: 1,
    plunger_mm: 8,
    helix_deg: 30,
    sleeve_mm: 10.5,
    slot_deg: 20,
    balance_by: 'barrel',
    rack_zero_mm: 3,
    rack_tol_mm: 0.1,
    speed_tol_rpm: 10,
    feed_kpa: 160,
    fluid_c: [38, 42],
    leak: 1500,
    scatter: 0.85,
    rated_rpm: 1200,
    idle_rpm: 320,
    boost: [],
    torque_control: false,
    points: [
      base(700, 8, 1.9, 'range_mm3'),
      full(1200, 2.2, 'range_mm3'),
      light(700, 4.2, 2.2, 'range_mm3'),
      low(250, 4, 'range_mm3'),
      idle(320, 4, 3.5, 'range_mm3'),
    ],
    revisions: [
      { revision: 'A', valid_from: '2015-03-01', lift_mm: 3, tolerance_deg: 0.5, full_rack_mm: 9.6 },
      { revision: 'B', valid_from: '2020-09-01', lift_mm: 3, tolerance_deg: 0.5, full_rack_mm: 9.8 },
    ],
    element_price: 62,
  },
  {
    name: 'Plover',
    prefix: 'PL',
    spec_id: 'PLO-4',
    share: 0.15,
    firing_order: [1, 2, 4, 3],
    closure_angles_deg: null,
    cam: { form: 'line', rate: 0.21 },
    sheet_rate: 'rate',
    lift_minus_mm: 0.08,
    lift_plus_mm: 0.08,
    adjuster: 'tappet_screw',
    step_mm: 0.02,
    sizes_mm: null,
    screw_mm_per_turn: 1,
    split_pairs: false,
    stack_mm: 12.4,
    plunger_mm: 7.5,
    helix_deg: 32,
    sleeve_mm: 9.5,
    slot_deg: null,
    balance_by: 'sleeve',
    rack_zero_mm: 4,
    rack_tol_mm: 0.1,
    speed_tol_rpm: null,
    feed_kpa: null,
    fluid_c: [38, 42],
    leak: 1300,
    scatter: 0.8,
    rated_rpm: 1400,
    idle_rpm: 350,
    boost: [],
    torque_control: false,
    points: [
      base(800, 8.6, 0.9, 'deviation_mm3'),
      full(1400, 1, 'deviation_mm3'),
      light(800, 5.2, 1.1, 'deviation_mm3'),
      low(300, 2.4, 'deviation_mm3'),
    ],
    revisions: [
      { revision: '1', valid_from: '2014-06-15', lift_mm: 2.6, tolerance_deg: 0.6, full_rack_mm: 10.4 },
      { revision: '2', valid_from: '2019-05-01', lift_mm: 2.6, tolerance_deg: 0.5, full_rack_mm: 10.4 },
      { revision: '3', valid_from: '2023-10-01', lift_mm: 2.65, tolerance_deg: 0.5, full_rack_mm: 10.5 },
    ],
    element_price: 54,
  },
  {
    name: 'Heron',
    prefix: 'HE',
    spec_id: 'HER-6',
    share: 0.25,
    firing_order: [1, 5, 3, 6, 2, 4],
    closure_angles_deg: null,
    cam: { form: 'swell', lift_mm: 10, width_deg: 66 },
    sheet_rate: 'table',
    lift_minus_mm: 0.05,
    lift_plus_mm: 0.1,
    adjuster: 'barrel_shim',
    step_mm: 0.05,
    sizes_mm: null,
    screw_mm_per_turn: null,
    split_pairs: false,
    stack_mm: 1.2,
    plunger_mm: 9,
    helix_deg: 28,
    sleeve_mm: 12,
    slot_deg: 18,
    balance_by: 'barrel',
    rack_zero_mm: 3.5,
    rack_tol_mm: 0.1,
    speed_tol_rpm: 10,
    feed_kpa: 170,
    fluid_c: [38, 42],
    leak: 1900,
    scatter: 0.95,
    rated_rpm: 1100,
    idle_rpm: 300,
    boost: [],
    torque_control: false,
    points: [
      base(600, 8.6, 4, 'range_percent'),
      full(1100, 3, 'range_percent'),
      part(1100, 7, 7, 'range_percent'),
      light(600, 4.7, 20, 'range_percent'),
      low(220, 10, 'range_percent'),
    ],
    revisions: [
      { revision: 'A', valid_from: '2016-01-10', lift_mm: 3.2, tolerance_deg: 0.5, full_rack_mm: 10.6 },
      { revision: 'B', valid_from: '2021-03-01', lift_mm: 3.25, tolerance_deg: 0.5, full_rack_mm: 10.8 },
    ],
    element_price: 78,
  },
  {
    name: 'Dunlin',
    prefix: 'DU',
    spec_id: 'DUN-6',
    share: 0.17,
    firing_order: [1, 4, 2, 6, 3, 5],
    closure_angles_deg: null,
    cam: { form: 'line', rate: 0.18 },
    sheet_rate: 'none',
    lift_minus_mm: 0.1,
    lift_plus_mm: 0.1,
    adjuster: 'barrel_shim',
    step_mm: 0.1,
    sizes_mm: null,
    screw_mm_per_turn: null,
    split_pairs: false,
    stack_mm: 1,
    plunger_mm: 9,
    helix_deg: 26,
    sleeve_mm: 12.5,
    slot_deg: null,
    balance_by: 'barrel',
    rack_zero_mm: 5,
    rack_tol_mm: 0.15,
    speed_tol_rpm: null,
    feed_kpa: null,
    fluid_c: [37, 43],
    leak: 1900,
    scatter: 1,
    rated_rpm: 1000,
    idle_rpm: 300,
    boost: [],
    torque_control: true,
    points: [
      base(500, 10.4, 2.6, 'deviation_percent'),
      full(1000, 2.2, 'deviation_percent'),
      part(1000, 8.5, 3.2, 'deviation_percent'),
      light(500, 6.3, 15, 'deviation_percent'),
      low(200, 6, 'deviation_percent'),
    ],
    revisions: [
      { revision: '1988', valid_from: '2012-01-01', lift_mm: 2.8, tolerance_deg: null, full_rack_mm: 12.4 },
      { revision: '1988-a', valid_from: '2022-02-01', lift_mm: 2.8, tolerance_deg: null, full_rack_mm: 12.2 },
    ],
    element_price: 71,
  },
  {
    name: 'Curlew',
    prefix: 'CU',
    spec_id: 'CUR-V8',
    share: 0.12,
    firing_order: [1, 8, 4, 3, 6, 5, 7, 2],
    closure_angles_deg: [0, 37.5, 90, 127.5, 180, 217.5, 270, 307.5],
    cam: { form: 'line', rate: 0.225 },
    sheet_rate: 'rate',
    lift_minus_mm: 0.05,
    lift_plus_mm: 0.15,
    adjuster: 'tappet_shim',
    step_mm: 0.05,
    sizes_mm: null,
    screw_mm_per_turn: null,
    split_pairs: false,
    stack_mm: 3.5,
    plunger_mm: 9.5,
    helix_deg: 27,
    sleeve_mm: 12,
    slot_deg: 22,
    balance_by: 'barrel',
    rack_zero_mm: 3,
    rack_tol_mm: 0.1,
    speed_tol_rpm: 8,
    feed_kpa: 200,
    fluid_c: [38, 42],
    leak: 2000,
    scatter: 1.05,
    rated_rpm: 1150,
    idle_rpm: 300,
    boost: [0, 50, 90],
    torque_control: false,
    points: [
      base(650, 8, 2.8, 'range_mm3'),
      full(1150, 2.8, 'range_mm3'),
      part(1150, 6.6, 3.2, 'range_mm3'),
      light(650, 4.1, 3, 'range_mm3'),
      low(240, 6, 'range_mm3'),
    ],
    revisions: [
      { revision: 'A', valid_from: '2015-11-01', lift_mm: 3.4, tolerance_deg: 0.5, full_rack_mm: 10.2 },
      { revision: 'B', valid_from: '2018-09-15', lift_mm: 3.4, tolerance_deg: 0.5, full_rack_mm: 10.4 },
      { revision: 'C', valid_from: '2024-04-01', lift_mm: 3.35, tolerance_deg: 0.5, full_rack_mm: 10.4 },
    ],
    element_price: 96,
  },
  {
    name: 'Osprey',
    prefix: 'OS',
    spec_id: 'OSP-8',
    share: 0.12,
    firing_order: [1, 6, 2, 5, 8, 3, 7, 4],
    closure_angles_deg: null,
    cam: { form: 'swell', lift_mm: 11, width_deg: 64 },
    sheet_rate: 'table',
    lift_minus_mm: 0.05,
    lift_plus_mm: 0.1,
    adjuster: 'barrel_shim',
    step_mm: 0.05,
    sizes_mm: sizes,
    screw_mm_per_turn: null,
    split_pairs: true,
    stack_mm: 1.1,
    plunger_mm: 10,
    helix_deg: 25,
    sleeve_mm: 13,
    slot_deg: 20,
    balance_by: 'barrel',
    rack_zero_mm: 3,
    rack_tol_mm: 0.1,
    speed_tol_rpm: 10,
    feed_kpa: 180,
    fluid_c: [38, 42],
    leak: 2300,
    scatter: 0.85,
    rated_rpm: 1050,
    idle_rpm: 280,
    boost: [0, 60],
    torque_control: true,
    points: [
      base(600, 8.2, 4, 'range_percent'),
      full(1050, 2.8, 'range_percent'),
      light(600, 4.1, 22, 'range_percent'),
      low(220, 10, 'range_percent'),
    ],
    revisions: [
      { revision: 'A', valid_from: '2016-08-01', lift_mm: 3.5, tolerance_deg: 0.5, full_rack_mm: 10.4 },
      { revision: 'B', valid_from: '2022-11-01', lift_mm: 3.5, tolerance_deg: 0.4, full_rack_mm: 10.5 },
    ],
    element_price: 104,
  },
];
