import type { Adjuster, Spec } from '../types';

/**
 * Change of lift to port closure per change of the adjuster [mm/mm]. A shim under the barrel flange raises barrel and port:
 * +1, closure comes later. A shim or screw in the tappet raises the plunger: -1, closure comes sooner.
 */
export function liftPerAdjuster(adjuster: Adjuster): 1 | -1 {
  return adjuster === 'barrel_shim' ? 1 : -1;
}

/** Lift to port closure h [mm] from the gauge's reading [mm]; a stated preload is taken off. NaN where it was not read. */
export function referenceLift(reading: number, preload: number): number {
  return Number.isNaN(preload) ? reading : reading - preload;
}

/** Lowest lift allowed [mm]: L less its minus tolerance. */
export function lowestLift(spec: Spec): number {
  return spec.lift_mm - spec.lift_minus_mm;
}

/** Highest lift allowed [mm]: L and its plus tolerance. */
export function highestLift(spec: Spec): number {
  return spec.lift_mm + spec.lift_plus_mm;
}

/** Lift error [mm]: h less its nominal L. Positive closes late. */
export function liftError(spec: Spec, lift: number): number {
  return lift - spec.lift_mm;
}

/** Change of the adjuster [mm] that takes a lift error [mm] away. Positive adds a shim, or raises the screw. */
export function changeForLift(error: number, adjuster: Adjuster): number {
  return 0 - error * liftPerAdjuster(adjuster);
}
