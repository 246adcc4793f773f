import normalCdf from '@stdlib/stats-base-dists-normal-cdf';
import { concordance } from './kendall';

/** Up to here the exact distribution of S is counted out. */
const EXACT_UP_TO = 40;

export interface Trend {
  /** Values that were numbers. */
  readonly n: number;
  /** Pairs in which the later value is higher less pairs in which it is lower. Plus is a rise. */
  readonly s: number;
  /** Variance of s without a trend, allowing for equal values. */
  readonly variance: number;
  /** s drawn one towards 0 (correction for continuity) over its standard deviation; 0 where all values are equal. */
  readonly z: number;
  /** Two-sided. */
  readonly p: number;
  /** Where the p comes from: all orders counted out, or the normal distribution of z. */
  readonly by: 'exact' | 'normal';
}

/** Chance, over all orders of n different values, of at most `most` pairs out of order. */
function chanceOfInversions(n: number, most: number): number {
  let chances = Float64Array.of(1);
  for (let size = 2; size <= n; size++) {
    // The next value stands before 0 … size − 1 of those already placed, each as likely.
    const next = new Float64Array(chances.length + size - 1);
    for (let before = 0; before < size; before++) {
      chances.forEach((chance, k) => (next[k + before] = (next[k + before] ?? 0) + chance / size));
    }
    chances = next;
  }
  return chances.subarray(0, most + 1).reduce((sum, chance) => sum + chance, 0);
}

/**
 * Mann-Kendall test for a steady rise or fall of a series in its order, whatever its distribution. The values must not depend on the
 * ones before them for another reason than the trend. H. B. Mann, Econometrica 13 (1945) 245-259; M. G. Kendall, Rank Correlation
 * Methods (1970). The p is exact for up to 40 values without equal ones, else by the normal distribution.
 *
 * @param values in order of time, of any length; what is no finite number is left out. Time taken goes as the square of n
 * @returns null for fewer than three values; z 0 and p 1 where all are equal
 */
export function mannKendall(values: ArrayLike<number>): Trend | null {
  const y = Float64Array.from(values).filter(Number.isFinite);
  const n = y.length;
  if (n < 3) return null;
  const { s, variance, tied } = concordance(Float64Array.from(y.keys()), y);
  const z = variance > 0 ? (Math.sign(s) * Math.max(0, Math.abs(s) - 1)) / Math.sqrt(variance) : 0;
  if (tied || n > EXACT_UP_TO) return { n, s, variance, z, p: 2 * normalCdf(-Math.abs(z), 0, 1), by: 'normal' };
  const outOfOrder = ((n * (n - 1)) / 2 - Math.abs(s)) / 2;
  return { n, s, variance, z, p: Math.min(1, 2 * chanceOfInversions(n, outOfOrder)), by: 'exact' };
}
