import normalQuantile from '@stdlib/stats-base-dists-normal-quantile';
import type { SearchAnswer } from './types';

const ERROR = 0.05;
const POWER = 0.8;
const STEPS = 60;

/**
 * Smallest share of a group that a comparison with the rest would find. Two-sided at `error` shared out over all comparisons
 * (Bonferroni), found with `power`; unpooled normal approximation, (p1 - p0)^2 = (z_error/2 + z_power)^2 (p1 q1/n1 + p0 q0/n0).
 * Source: J. L. Fleiss, Statistical Methods for Rates and Proportions, chapter 3 (from memory), without correction for continuity.
 *
 * @param group jobs of the group, a whole number above 0
 * @param rest jobs of the rest, likewise
 * @param base share of the rest, 0 to 1, 1 left out
 * @param comparisons how many are made, at least 1
 * @returns a share between base and 1; null where even 1 would not be found, or where an argument is none of these
 */
export function smallestSeen(group: number, rest: number, base: number, comparisons: number): number | null {
  if (!(group > 0 && rest > 0 && base >= 0 && base < 1 && comparisons >= 1)) return null;
  const z = normalQuantile(1 - ERROR / comparisons / 2, 0, 1) + normalQuantile(POWER, 0, 1);
  const seen = (p: number): boolean => p - base >= z * Math.sqrt((p * (1 - p)) / group + (base * (1 - base)) / rest);
  // Certainty leaves no spread in the group: what chance there is lies in the rest alone, which flatters a group of a few.
  if (!seen(1 - 1 / (2 * group))) return null;
  let [low, high] = [base, 1];
  for (let step = 0; step < STEPS; step += 1) {
    const middle = (low + high) / 2;
    if (seen(middle)) high = middle;
    else low = middle;
  }
  return high;
}

/** A share of jobs as failures often have it, to tell by. */
const USUAL = 0.2;

/** What a fault in one job of ten would have had to do to be found by this search; null where nothing would. */
export function couldBeSeen({ jobs, comparisons }: SearchAnswer): { n: number; from: number; to: number } | null {
  const n = Math.round(jobs / 10);
  const to = smallestSeen(n, jobs - n, USUAL, Math.max(1, comparisons));
  return to === null ? null : { n, from: USUAL, to };
}
