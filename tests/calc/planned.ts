import fc from 'fast-check';
import { expect } from 'vitest';
import { angleAtLift, liftAt, liftRate } from '../../lib/calc/timing/cam';
import { type PlanArrays, planStatuses, ShimPlanner } from '../../lib/calc/timing/shimplan';
import { highestLift, liftPerAdjuster, lowestLift } from '../../lib/calc/timing/timing';
import type { Adjuster, LiftTable, Spec } from '../../lib/calc/types';
import { within } from '../../lib/calc/proof/verdict';
import { sixElements } from './build';

/** Shim plans made in tests, and their weights by the definitions. */

export const adjusters: Adjuster[] = ['barrel_shim', 'tappet_shim', 'tappet_screw'];
export const real = (min: number, max: number) => fc.double({ min, max, noNaN: true });
export const stepped = (differs: Partial<Spec> = {}) =>
  sixElements({ shim_step_mm: 0.1, lift_rate_mm_per_deg: 0.2, ...differs });

/** A pump of `n` elements, the last of them the reference, so that place and number of an element differ. */
export const pump = (n: number, differs: Partial<Spec> = {}) =>
  stepped({ elements: n, firing_order: Array.from({ length: n }, (_, k) => n - k), ...differs });

export interface Measured {
  readonly lift?: number;
  readonly errors: readonly number[];
  readonly before?: readonly number[];
  readonly tolerance?: number;
}

export function arraysOf(errors: readonly number[], before: readonly number[]): PlanArrays {
  return {
    errors: Float64Array.from(errors),
    before: Float64Array.from(errors, (_, k) => before[k] ?? NaN),
    changes: new Float64Array(errors.length).fill(7),
    errorsAfter: new Float64Array(errors.length).fill(7),
  };
}

/** What a planner answered last: its figures, and the arrays as lists. */
export function answer(planner: ShimPlanner, { changes, errorsAfter }: PlanArrays) {
  const { inTolerance, barrels, moved, liftAfter, worstAfter } = planner;
  const figures = { inTolerance, barrels, moved, liftAfter, worstAfter };
  return { status: planStatuses[planner.status], ...figures, changes: [...changes], errorsAfter: [...errorsAfter] };
}

export function planned(spec: Spec, { lift = spec.lift_mm, errors, before = [], tolerance = 0.5 }: Measured) {
  const planner = new ShimPlanner(spec, tolerance);
  const arrays = arraysOf(errors, before);
  planner.plan(lift, arrays);
  return answer(planner, arrays);
}

export function expectNear(found: readonly number[], expected: readonly number[]): void {
  expect(found).toHaveLength(expected.length);
  expected.forEach((value, k) => {
    if (Number.isNaN(value)) expect(found[k]).toBeNaN();
    else expect(found[k]).toBeCloseTo(value, 9);
  });
}

/** What every plan is weighed by, in this order. */
export type Weights = readonly [excess: number, all: number, barrels: number, moved: number, worst: number];

/** What the definitions of the plan say of one element: its error after all changes, and what that is past tolerance [mm of lift]. */
interface Placed {
  readonly after: number;
  readonly past: number;
}
type Place = (error: number, y: number) => Placed;

/** With one lift rate for all, that at the lift after the plan. */
function byRate(spec: Spec, m: { lift: number; tolerance: number }, yReference: number): Place {
  const { rate } = liftRate(spec, m.lift + yReference);
  return (error, y) => {
    const after = error + (y - yReference) / rate;
    const past = within(after, -m.tolerance, m.tolerance) ? 0 : (Math.abs(after) - m.tolerance) * rate;
    return { after, past };
  };
}

/** Along the cam's table, where each element closes at a lift of its own. */
function alongTable(table: LiftTable, m: { lift: number; tolerance: number }, yReference: number): Place {
  const angle = (lift: number) => angleAtLift(table, lift);
  const atReference = angle(m.lift + yReference);
  const limit = (way: number) => liftAt(table, Math.max(0, Math.min(14, atReference + way * m.tolerance)));
  return (error, y) => {
    const lift = liftAt(table, angle(m.lift) + error) + y;
    const after = y === 0 ? error + angle(m.lift) - atReference : angle(lift) - atReference;
    // Off the table nothing is known, and no plan goes there.
    if (Number.isNaN(after)) return { after: Infinity, past: Infinity };
    const past = within(after, -m.tolerance, m.tolerance) ? 0 : Math.abs(lift - limit(Math.sign(after)));
    return { after, past };
  };
}

/** Where a roller on a straight flank stands: its centre on a line at the distance `centre` [mm] from the shaft. Written anew. */
const flankAngle = (centre: number, lift: number) => (Math.acos(centre / (centre + lift)) * 180) / Math.PI;
const flankLift = (centre: number, deg: number) => centre / Math.cos((deg * Math.PI) / 180) - centre;

/** Along the flank of a tangent cam, which is steeper the higher an element closes. */
function alongFlank(centre: number, m: { lift: number; tolerance: number }, yReference: number): Place {
  const before = flankAngle(centre, m.lift);
  const atReference = flankAngle(centre, m.lift + yReference);
  return (error, y) => {
    const lift = flankLift(centre, before + error) + y;
    const after = flankAngle(centre, lift) - atReference;
    const limit = flankLift(centre, atReference + Math.sign(after) * m.tolerance);
    const past = within(after, -m.tolerance, m.tolerance) ? 0 : Math.abs(lift - limit);
    return { after, past };
  };
}

function placeBy(spec: Spec, m: { lift: number; tolerance: number }, yReference: number): Place {
  if (spec.cam_lift !== null) return alongTable(spec.cam_lift, m, yReference);
  const centre = spec.base_radius_mm + spec.roller_radius_mm;
  return Number.isNaN(centre) ? byRate(spec, m, yReference) : alongFlank(centre, m, yReference);
}

/** Weighs changes [mm] by the definitions of the plan alone. */
export function weigh(spec: Spec, m: Required<Omit<Measured, 'before'>>, changes: readonly number[]): Weights {
  const reference = spec.firing_order[0] ?? NaN;
  const sign = liftPerAdjuster(spec.adjuster);
  const y = changes.map((x) => sign * x);
  const yReference = y[reference - 1] ?? NaN;
  const lift = m.lift + yReference;
  const place = placeBy(spec, m, yReference);
  const placed = m.errors.flatMap((error, k) => (k === reference - 1 ? [] : [place(error, y[k] ?? NaN)]));
  const past = placed.map((one) => one.past);
  const outside = within(lift, lowestLift(spec), highestLift(spec))
    ? 0
    : Math.max(lowestLift(spec) - lift, lift - highestLift(spec));
  return [
    Math.max(outside, ...past),
    past.reduce((sum, excess) => sum + excess, outside),
    changes.filter((x) => x !== 0).length,
    changes.reduce((sum, x) => sum + Math.abs(x), 0),
    Math.max(0, ...placed.map((one) => Math.abs(one.after))),
  ];
}
