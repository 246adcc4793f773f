import binomialCdf from '@stdlib/stats-base-dists-binomial-cdf';
import { quantile } from 'd3-array';
import { binomialQuantile } from './binomialQuantile';
import { isConfidence } from './counts';
import type { Interval } from './wilson';

export interface Quantile extends Interval {
  /** Straight line between the two nearest values (type 7 of R. J. Hyndman and Y. Fan, Am. Stat. 50 (1996) 361-365). */
  readonly quantile: number;
  /** Places, from 1 up, of the interval's ends among the values in rising order; NaN where that end is open. */
  readonly lowPlace: number;
  readonly highPlace: number;
  /** Confidence that the two ends give in truth: at least what was asked for. */
  readonly coverage: number;
  /** Values that were numbers. */
  readonly n: number;
}

/**
 * Quantile of a series with an interval between two of its own values, whatever its distribution: how many of n values lie below the
 * true quantile is binomial. At most (1 − confidence)/2 is left beyond each end. Source: W. J. Conover, Practical
 * Nonparametric Statistics, section 3.2 (from memory).
 *
 * @param values of any length, in any order, unit the caller's; what is no finite number is left out
 * @param share which quantile, between 0 and 1 (0.5: the median)
 * @param confidence of the two-sided interval, between 0 and 1
 * @returns in the unit of the values; low −Infinity or high Infinity where the values are too few to bound that side; null without a value,
 *   or where share or confidence is none
 */
export function quantileInterval(values: ArrayLike<number>, share: number, confidence = 0.95): Quantile | null {
  const rising = Float64Array.from(values).filter(Number.isFinite).sort();
  const n = rising.length;
  if (n === 0 || !(share > 0 && share < 1) || !isConfidence(confidence)) return null;
  const tail = (1 - confidence) / 2;
  const lowPlace = binomialQuantile(tail, n, share);
  // Counted from the top the same way, so that the mirrored series has the mirrored interval.
  const highPlace = n + 1 - binomialQuantile(tail, n, 1 - share);
  const beyondHigh = highPlace > n ? 0 : binomialCdf(n - highPlace, n, 1 - share);
  const beyondLow = lowPlace < 1 ? 0 : binomialCdf(lowPlace - 1, n, share);
  return {
    quantile: quantile(rising, share) ?? NaN,
    low: rising[lowPlace - 1] ?? -Infinity,
    high: rising[highPlace - 1] ?? Infinity,
    lowPlace: lowPlace < 1 ? NaN : lowPlace,
    highPlace: highPlace > n ? NaN : highPlace,
    coverage: 1 - beyondLow - beyondHigh,
    n,
  };
}
