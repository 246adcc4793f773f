import { fsum } from 'd3-array';
import { read, type Series } from './series';

export interface Moments {
  /** Readings that count. */
  readonly n: number;
  /** NaN for none. */
  readonly mean: number;
  /** Sum of squares about the mean; 0 for one reading, NaN for none. */
  readonly squares: number;
  /** With n - 1; NaN for fewer than two. */
  readonly sd: number;
}

/**
 * Mean, sum of squares and standard deviation, in the readings' own unit. Readings are taken off the first of them, summed
 * without loss (Shewchuk's sums, d3-array's fsum) and passed over twice, so that a large level costs no digits and equal
 * readings give exactly their value and 0. Source of the corrected second pass: T. F. Chan, G. H. Golub and R. J. LeVeque, Am. Stat.
 * 37 (1983) 242-247 (from memory).
 * @param values any length; what is not finite is left out
 */
export function moments(values: Series): Moments {
  const kept = read(values);
  const n = kept.length;
  const first = kept[0];
  if (first === undefined) return { n, mean: NaN, squares: NaN, sd: NaN };
  const shift = fsum(kept.map((value) => value - first)) / n;
  const off = kept.map((value) => value - first - shift);
  const squares = Math.max(0, fsum(off.map((d) => d * d)) - fsum(off) ** 2 / n);
  return { n, mean: first + shift, squares, sd: n > 1 ? Math.sqrt(squares / (n - 1)) : NaN };
}
