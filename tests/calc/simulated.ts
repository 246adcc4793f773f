import type { Adjuster, Spec, SpreadBasis, TestPoint } from '../../lib/calc/types';
import { type Barrel, type Closure, type Draw, type Shim, sixElements, testPoint } from './build';

/**
 * Invented pumps on an invented bench, to be measured, corrected as the engine advises, and measured again. Their physics is
 * written here anew, from the cam's shape, the edges of port and helix, and the flow through a gap in SI units: nothing of
 * lib/calc is called, so that a slip in a formula or a sign there does not stand in both places.
 */

/** Random numbers from 0 to below 1 (mulberry32), the same at every run for one seed. */
function chance(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** The cam's rising side: cam angle [deg] at which the plunger has risen by `lift` [mm]. */
export type CamAngle = (lift: number) => number;

/** Degrees of cam a mm of lift takes at a lift [deg/mm], from the cam's shape alone. */
export function degreesPerMm(angle: CamAngle, lift: number): number {
  const off = 1e-5;
  return (angle(lift + off) - angle(lift - off)) / (2 * off);
}

const deg = (rad: number) => (rad * 180) / Math.PI;

/** A roller on a straight flank: its centre stands on a line at the distance `centre` from the shaft. */
const flank =
  (centre: number): CamAngle =>
  (lift) =>
    deg(Math.acos(centre / (centre + lift)));
/** A harmonic cam: half a cosine from the base circle to `full` [mm] of lift in `ascent` [deg]. */
const harmonic =
  (full: number, ascent: number): CamAngle =>
  (lift) =>
    (Math.acos(1 - (2 * lift) / full) / Math.PI) * ascent;
/**
 * A roller on a flank that is itself an arc, of radius `curve` about a point on the far side of the shaft: shaft, that point and the roller's
 * centre make a triangle whose sides are known.
 */
interface ArcFlank {
  readonly base: number;
  readonly roller: number;
  readonly curve: number;
}
const arc =
  ({ base, roller, curve }: ArcFlank): CamAngle =>
  (lift) => {
    const [off, out] = [curve - base, base + roller + lift];
    return deg(Math.acos(((curve + roller) ** 2 - off ** 2 - out ** 2) / (2 * off * out)));
  };
const arcLift = ({ base, roller, curve }: ArcFlank, at: number): number => {
  const off = curve - base;
  const turned = (at * Math.PI) / 180;
  const out = Math.sqrt((curve + roller) ** 2 - (off * Math.sin(turned)) ** 2) - off * Math.cos(turned);
  return out - base - roller;
};
const straight =
  (rate: number): CamAngle =>
  (lift) =>
    lift / rate;

const TABLE_STEP_DEG = 2;

/** The cam's lift as a sheet prints it: to thousandths of a mm, every two degrees. */
function printedTable(lift: (at: number) => number, ascent: number) {
  const knots = Array.from({ length: ascent / TABLE_STEP_DEG + 1 }, (_, k) => k * TABLE_STEP_DEG);
  return {
    deg: Float64Array.from(knots),
    mm: Float64Array.from(knots, (at) => Math.round(1000 * lift(at)) / 1000),
  };
}

export type CamKind = 'straight' | 'flank' | 'table' | 'arc';

export interface Element {
  /** Height of the port over the plunger's top edge at bottom dead centre without any shim [mm]. */
  body_mm: number;
  /** Shims under the barrel or in the tappet, or the screw's height [mm]. */
  stack_mm: number;
  /** How far the barrel is turned from where it should stand [deg]. */
  turned_deg: number;
  /** Gap between plunger and barrel, on the radius [um]. */
  clearance_um: number;
}

export interface Pump {
  readonly spec: Spec;
  readonly kind: CamKind;
  readonly angle: CamAngle;
  readonly elements: Element[];
  /** How far the whole rack stands from where its scale says [mm]. */
  rack_off_mm: number;
}

/** Lift from bottom dead centre at which the port of element k closes [mm]. */
export function liftAtClosure({ spec, elements }: Pump, k: number): number {
  const one = elements[k];
  if (one === undefined) return NaN;
  // A shim under the barrel lifts the port away from the plunger; one in the tappet lifts the plunger towards the port.
  return spec.adjuster === 'barrel_shim' ? one.body_mm + one.stack_mm : one.body_mm - one.stack_mm;
}

export const referenceOf = ({ spec }: Pump): number => (spec.firing_order[0] ?? 1) - 1;

/** How much later than it should element k closes against the reference [deg]. */
export function trueError(pump: Pump, k: number): number {
  return pump.angle(liftAtClosure(pump, k)) - pump.angle(liftAtClosure(pump, referenceOf(pump)));
}

const area = (spec: Spec) => (Math.PI * spec.plunger_mm ** 2) / 4;
/** Height of the helix' edge over the port after so many degrees of turning [mm]: a straight edge on the unrolled plunger. */
const helixHeight = (spec: Spec, turned: number) =>
  Math.tan((spec.helix_deg * Math.PI) / 180) * spec.plunger_mm * Math.PI * (turned / 360);
/** Turning of the sleeve by so much rack [deg]: the rack rolls on the teeth. */
const sleeveDegrees = (spec: Spec, rack: number) => deg(rack / spec.sleeve_radius_mm);

/** Leak of a stroke at 1 rpm [mm3]: flow through the gap while the element injects. */
export function trueSlope({ spec, elements }: Pump, k: number): number {
  const gap = (elements[k]?.clearance_um ?? NaN) * 1e-6;
  const perimeter = Math.PI * spec.plunger_mm * 1e-3;
  const gradient = (spec.injection_mpa * 1e6) / (spec.seal_length_mm * 1e-3);
  const flow = (perimeter * gap ** 3 * gradient) / (12 * spec.viscosity_mpa_s * 1e-3);
  const seconds = (spec.injection_deg / 360) * 60;
  return flow * 1e9 * seconds;
}

/** What element k delivers in a stroke [mm3]. */
export function trueDelivery(pump: Pump, k: number, rack: number, rpm: number): number {
  const { spec, elements } = pump;
  const turned = sleeveDegrees(spec, rack + pump.rack_off_mm) + (elements[k]?.turned_deg ?? NaN);
  return area(spec) * helixHeight(spec, turned) - trueSlope(pump, k) / rpm;
}

/** More delivery for a degree more of turning, and for a mm more of rack [mm3/stroke]. */
export const truePerDegree = ({ spec }: Pump): number => area(spec) * helixHeight(spec, 1);
export const truePerRack = ({ spec }: Pump): number => area(spec) * helixHeight(spec, sleeveDegrees(spec, 1));

/** The graduates are read to tenths of a cm3, so a delivery over 1000 strokes is at most this far off [mm3/stroke]. */
export const READ_WITHIN = 0.05;
const STROKES = 1000;

const orders = [
  [1, 3, 4, 2],
  [1, 5, 3, 6, 2, 4],
  [1, 8, 4, 3, 6, 5, 7, 2],
];
const adjusters: readonly Adjuster[] = ['barrel_shim', 'barrel_shim', 'tappet_shim', 'tappet_screw'];
const bases: readonly SpreadBasis[] = ['range_mm3', 'range_percent', 'deviation_mm3', 'deviation_percent'];
export const RACK_MM = 9;
/** Speeds that are drawn at the base rack; the first is that of the base test point [rpm]. */
export const SPEEDS = [1000, 500, 200] as const;
export const LIGHT_RACK_MM = 5;

function pointsOf(spec: Spec, pick: () => number, hasLight: boolean): TestPoint[] {
  const middle = area(spec) * helixHeight(spec, sleeveDegrees(spec, RACK_MM));
  const basis = bases[Math.floor(pick() * bases.length)] ?? 'range_mm3';
  const asked = pick() < 0.85;
  const spread = basis.startsWith('range') ? 2.4 : 1.4;
  const limit = basis.endsWith('percent') ? (100 * spread) / middle : spread;
  const at = (point: number, rpm: number, rack: number, differs: Partial<TestPoint>) =>
    testPoint({ point, order: point + 1, speed_rpm: rpm, rack_mm: rack, purpose: 'part', ...differs });
  const open = { low_mm3: NaN, high_mm3: NaN };
  return [
    at(0, SPEEDS[0], RACK_MM, {
      purpose: 'base',
      low_mm3: middle - 1.5,
      high_mm3: middle + 1.5,
      spread: asked ? limit : NaN,
      spread_basis: basis,
    }),
    at(1, SPEEDS[1], RACK_MM, open),
    at(2, SPEEDS[2], RACK_MM, { ...open, purpose: 'low-speed' }),
    ...(hasLight ? [at(3, SPEEDS[0], LIGHT_RACK_MM, { ...open, purpose: 'light' })] : []),
  ];
}

function camOf(pick: () => number): { kind: CamKind; angle: CamAngle; differs: Partial<Spec> } {
  const which = pick();
  if (which < 0.4) {
    const rate = 0.16 + 0.12 * pick();
    return { kind: 'straight', angle: straight(rate), differs: { lift_rate_mm_per_deg: rate } };
  }
  if (which < 0.7) {
    const [base, roller] = [12 + 6 * pick(), 8 + 3 * pick()];
    const differs = { base_radius_mm: base, roller_radius_mm: roller };
    return { kind: 'flank', angle: flank(base + roller), differs };
  }
  if (which < 0.85) {
    const full = 9 + 3 * pick();
    const lift = (at: number) => (full / 2) * (1 - Math.cos((Math.PI * at) / 60));
    return { kind: 'table', angle: harmonic(full, 60), differs: { cam_lift: printedTable(lift, 60) } };
  }
  const cam = { base: 14 + 4 * pick(), roller: 9 + 2 * pick(), curve: 120 + 60 * pick() };
  return { kind: 'arc', angle: arc(cam), differs: { cam_lift: printedTable((at) => arcLift(cam, at), 40) } };
}

const SIZES = Array.from({ length: 33 }, (_, k) => (60 + 5 * k) / 100).filter((size) => size <= 1.4);

/** One pump of some kind with faults of every kind. */
export function simulatedPump(number: number, seed: number): Pump {
  const pick = chance(seed + 7919 * number);
  const about = (width: number) => width * (2 * pick() - 1);
  const { kind, angle, differs } = camOf(pick);
  const order = orders[Math.floor(pick() * orders.length)] ?? [1];
  const adjuster = adjusters[Math.floor(pick() * adjusters.length)] ?? 'barrel_shim';
  const coarse = pick() < 0.3;
  const step = coarse || pick() < 0.5 ? 0.1 : 0.05;
  const bySize = adjuster !== 'tappet_screw' && !coarse && pick() < 0.3;
  const hasLight = pick() < 0.6;
  const bare = sixElements({
    spec_no: number,
    elements: order.length,
    firing_order: order,
    adjuster,
    phasing_tol_deg: coarse ? 0.25 : 0.5,
    shim_step_mm: step,
    shim_sizes_mm: bySize ? SIZES : null,
    plunger_mm: 7.5 + 1.5 * pick(),
    helix_deg: 22 + 6 * pick(),
    sleeve_radius_mm: 14 + 4 * pick(),
    seal_length_mm: 18 + 6 * pick(),
    injection_deg: 7 + 2 * pick(),
    injection_mpa: 25 + 10 * pick(),
    viscosity_mpa_s: 2 + 0.4 * pick(),
    ...differs,
  });
  const spec = { ...bare, test_points: pointsOf(bare, pick, hasLight) };
  const lift = spec.lift_mm + about(0.15);
  const elements = order.map((_, k) => {
    const stack = Math.round((0.8 + 0.4 * pick()) / step) * step;
    const closesAt = k === (order[0] ?? 1) - 1 || pick() < 0.4 ? lift + about(0.03) : lift + about(0.35);
    return {
      stack_mm: stack,
      body_mm: adjuster === 'barrel_shim' ? closesAt - stack : closesAt + stack,
      turned_deg: pick() < 0.5 ? about(0.3) : about(3),
      clearance_um: 2 + 5 * pick(),
    };
  });
  return { spec, kind, angle, elements, rack_off_mm: pick() < 0.5 ? 0 : about(0.5) };
}

/** Everything that the bench writes down in one run; the degree wheel's zero lies anywhere. */
export function measured(pump: Pump, run: number): { closures: Closure[]; draws: Draw[] } {
  const { spec } = pump;
  const job = spec.spec_no;
  const reference = referenceOf(pump);
  const closures = spec.firing_order.map((element, position) => ({
    job,
    run,
    element,
    deg: (123 + (360 * position) / spec.elements + pump.angle(liftAtClosure(pump, element - 1))) % 360,
    ...(element - 1 === reference ? { lift: liftAtClosure(pump, reference) } : {}),
  }));
  const draws = spec.test_points.flatMap(({ point, rack_mm, speed_rpm }) =>
    pump.elements.map((_, k) => ({
      job,
      run,
      point,
      element: k + 1,
      cm3: Math.round((trueDelivery(pump, k, rack_mm, speed_rpm) * STROKES) / 100) / 10,
      strokes: STROKES,
      rpm: speed_rpm,
      rack: rack_mm,
    })),
  );
  return { closures, draws };
}

/** What a hand does to a pump after a run. Changes by element - 1; NaN leaves the element alone. */
export interface Correction {
  readonly shims_mm: readonly number[];
  readonly turns_deg: readonly number[];
  readonly rack_mm: number;
}

const orNone = (amount: number | undefined) => (amount === undefined || Number.isNaN(amount) ? 0 : amount);

/** Changes the pump, and writes down what was done, the stacks of all elements among it. */
export function corrected(pump: Pump, run: number, done: Correction): { shims: Shim[]; barrels: Barrel[] } {
  const job = pump.spec.spec_no;
  const isScrew = pump.spec.adjuster === 'tappet_screw';
  const shims: Shim[] = [];
  const barrels: Barrel[] = [];
  pump.elements.forEach((one, k) => {
    const before = one.stack_mm;
    one.stack_mm += orNone(done.shims_mm[k]);
    one.turned_deg += orNone(done.turns_deg[k]);
    if (!isScrew) shims.push({ job, run, element: k + 1, before, after: one.stack_mm });
    if (orNone(done.turns_deg[k]) !== 0) barrels.push({ job, run, element: k + 1, deg: orNone(done.turns_deg[k]) });
  });
  pump.rack_off_mm += orNone(done.rack_mm);
  return { shims, barrels };
}
