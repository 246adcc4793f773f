import binomialCdf from '@stdlib/stats-base-dists-binomial-cdf';
import { isProportion, type Proportion } from './counts';

export interface ExactP {
  /** Two-sided exact p. */
  readonly p: number;
  /** The same with half the weight of what was seen (mid-p): less cautious, right on average. */
  readonly midP: number;
}

/**
 * Test of a share against a stated rate: twice the smaller exact binomial tail, at most 1. Agrees with the exact interval: p falls
 * below 1 − confidence just where that interval leaves the rate out. Source: definition (central exact test); mid-p after
 * H. O. Lancaster, J. Am. Stat. Assoc. 56 (1961) 223-234.
 *
 * @param rate the stated rate, 0 to 1
 * @returns null where the counts make no proportion or the rate is none
 */
export function binomialTest(seen: Proportion, rate: number): ExactP | null {
  if (!isProportion(seen) || !(rate >= 0 && rate <= 1)) return null;
  const { successes, trials } = seen;
  const failures = trials - successes;
  // The upper tail is counted as failures, so that a small one is not lost in 1 less a figure near 1.
  const lower = { tail: binomialCdf(successes, trials, rate), beyond: binomialCdf(successes - 1, trials, rate) };
  const upper = { tail: binomialCdf(failures, trials, 1 - rate), beyond: binomialCdf(failures - 1, trials, 1 - rate) };
  const { tail, beyond } = lower.tail <= upper.tail ? lower : upper;
  return { p: Math.min(1, 2 * tail), midP: Math.min(1, tail + beyond) };
}
