import { changeForLift, liftPerAdjuster } from './timing';
import type { Adjuster, Spec } from '../types';

/** Phase error allowed either way where the specification gives none [deg of camshaft]. Common practice, no source. */
export const ASSUMED_TOLERANCE_DEG = 0.5;
/** Stacks that differ by no more than this were not changed [mm]: below what a micrometer tells. Common practice, no source. */
export const LEAST_CHANGE_MM = 0.001;

/** The halves of a split pair may differ by this much [mm]; more cocks the barrel. Common practice, no source. */
export const ALLOWED_PAIR_DIFFERENCE_MM = 0.01;

/**
 * Nominal closures alpha [deg of camshaft after the reference], length `elements`, by element - 1. Position in the firing
 * order times 360 / n, unless the specification lists its own angles.
 */
export function nominalAngles(spec: Spec): Float64Array {
  const angles = new Float64Array(spec.elements).fill(NaN);
  const stated = spec.closure_angles_deg;
  spec.firing_order.forEach((element, position) => {
    angles[element - 1] =
      stated === null ? (position * 360) / spec.elements : (stated[position] ?? NaN) - (stated[0] ?? NaN);
  });
  return angles;
}

/** An angle [deg] brought into (-180, 180] by whole turns. */
export function wrapped(deg: number): number {
  return deg > -180 && deg <= 180 ? deg : deg - 360 * Math.ceil((deg - 180) / 360);
}

/** Closure after the reference [deg of camshaft], from 0 to below 360. */
export function closureAfter(theta: number, thetaReference: number): number {
  return (((theta - thetaReference) % 360) + 360) % 360;
}

/** Phase error e = theta - theta_ref - alpha [deg of camshaft], in (-180, 180]. Negative is early, positive is late. */
export function phaseError(theta: number, thetaReference: number, alpha: number): number {
  return wrapped(theta - thetaReference - alpha);
}

/**
 * Change of the adjuster [mm] that takes a phase error [deg] away at the lift rate v [mm/deg], the reference staying: the lift
 * must change by -e v. Positive adds a shim, or raises the screw. With barrel shims early means add, late means remove.
 */
export function changeForPhase(error: number, v: number, adjuster: Adjuster): number {
  return changeForLift(error * v, adjuster);
}

/** The multiple of `step` [mm] nearest to `change` [mm]; half a step goes away from 0. NaN without a step above 0. */
export function nearestStep(change: number, step: number): number {
  if (!(step > 0)) return NaN;
  // 0.15 / 0.1 falls just short of 1.5 in binary arithmetic.
  const steps = Math.round(Math.abs(change) / step + 1e-9) * step;
  return change < 0 ? 0 - steps : steps;
}

/**
 * Change [mm] to the size on hand that comes nearest to the stack `before` plus `change` [mm]; of two as near, the one that
 * changes less. NaN where the stack or the change is not known, or no size is on hand.
 */
export function nearestSize(change: number, before: number, sizes: readonly number[]): number {
  const target = before + change;
  let best = NaN;
  for (const size of sizes) {
    const gain = Math.abs(best - target) - Math.abs(size - target);
    const asNear = Math.abs(gain) <= 1e-9 && Math.abs(size - before) < Math.abs(best - before);
    if (Number.isNaN(best) || gain > 1e-9 || asNear) best = size;
  }
  return Number.isNaN(target) ? NaN : best - before;
}

/**
 * The nearest change [mm] to the exact `change` that the shims on hand allow: by list of sizes, else by even step. NaN where
 * there is neither, where the list is given but not the stack before, where the step would leave no stack at all, and for a
 * screw, which needs no step.
 */
export function nearestChange(spec: Spec, change: number, before: number): number {
  if (spec.adjuster === 'tappet_screw') return NaN;
  if (spec.shim_sizes_mm !== null) return nearestSize(change, before, spec.shim_sizes_mm);
  const steps = nearestStep(change, spec.shim_step_mm);
  return before + steps <= LEAST_CHANGE_MM ? NaN : steps;
}

/** Turns of the tappet screw for a change [mm]; positive raises. NaN where closure is not set by a screw of known pitch. */
export function screwTurns(spec: Spec, change: number): number {
  return spec.adjuster === 'tappet_screw' && spec.screw_mm_per_turn > 0 ? change / spec.screw_mm_per_turn : NaN;
}

/** Change that was made [mm], from the stack before and after; positive adds. NaN where either was not written down. */
export function madeChange(before: number, after: number): number {
  return after - before;
}

/** How far the halves of a split pair differ [mm], never below 0. NaN where it is no pair. */
export function pairDifference(first: number, second: number): number {
  return Math.abs(first - second);
}

/** Whether a change that was made [mm; NaN where none is known] is one at all. */
export function isChange(made: number): boolean {
  return Math.abs(made) > LEAST_CHANGE_MM;
}

/**
 * Phase errors [deg] after a change [mm] at each element, the reference among them: e' = e + s (x - x_ref) / v with s = dh/ds.
 * @param errors length n, by element - 1
 * @param changes length n, by element - 1; positive adds a shim, or raises the screw
 * @param reference number of the reference element, from 1
 * @param v lift rate [mm/deg], above 0
 */
export function errorsAfterShims(
  errors: Float64Array,
  changes: Float64Array,
  reference: number,
  v: number,
  adjuster: Adjuster,
): Float64Array {
  const ofReference = changes[reference - 1] ?? NaN;
  return errors.map((error, k) =>
    wrapped(error + (liftPerAdjuster(adjuster) * ((changes[k] ?? NaN) - ofReference)) / v),
  );
}
