import type { Spec, TestPoint } from '../types';

/** How far the racks of two test points may be apart to count as one [mm]: below what a rack gauge is set to. */
export const SAME_RACK_MM = 0.05;

/** A low-speed test point and the one it is held against, as places in the specification's list. */
export interface RetentionPair {
  readonly low: number;
  readonly rated: number;
}

function fastestAtRack(spec: Spec, low: TestPoint, purposes: readonly TestPoint['purpose'][]): number {
  let best = -1;
  spec.test_points.forEach((candidate, place) => {
    const sameRack = Math.abs(candidate.rack_mm - low.rack_mm) <= SAME_RACK_MM + 1e-9;
    const fastest = candidate.speed_rpm > Math.max(low.speed_rpm, spec.test_points[best]?.speed_rpm ?? 0);
    if (purposes.includes(candidate.purpose) && sameRack && fastest) best = place;
  });
  return best;
}

/**
 * Which test points tell the low-speed retention: every low-speed point that names its rack, with the fastest faster point at
 * the same rack among full and base, else among part. Empty where there is none.
 */
export function retentionPairs(spec: Spec): RetentionPair[] {
  const pairs: RetentionPair[] = [];
  spec.test_points.forEach((point, low) => {
    if (point.purpose !== 'low-speed') return;
    const full = fastestAtRack(spec, point, ['full', 'base']);
    const rated = full >= 0 ? full : fastestAtRack(spec, point, ['part']);
    if (rated >= 0) pairs.push({ low, rated });
  });
  return pairs;
}

/** Low-speed retention [ratio]: delivery at low speed over delivery at rated speed [mm3/stroke]. NaN unless the latter is above 0. */
export function retention(low: number, rated: number): number {
  return rated > 0 ? low / rated : NaN;
}
