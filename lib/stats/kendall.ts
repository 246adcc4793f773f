export interface Concordance {
  /** Pairs that rise together less pairs that run against each other. */
  readonly s: number;
  /** Variance of s where x and y have nothing to do with each other, allowing for ties in both. */
  readonly variance: number;
  /** Whether any two values of x, or of y, are equal. */
  readonly tied: boolean;
}

/** How often each value occurs. */
function repeats(values: Float64Array): number[] {
  const counts = new Map<number, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts.values()];
}

/** Sum of a figure over the groups of equal values. */
const over = (groups: readonly number[], figure: (size: number) => number): number =>
  groups.reduce((sum, size) => sum + figure(size), 0);

const pairs = (t: number): number => t * (t - 1);
const triples = (t: number): number => t * (t - 1) * (t - 2);
const spread = (t: number): number => t * (t - 1) * (2 * t + 5);

/**
 * Kendall's S of two series, and its variance with the correction for ties: M. G. Kendall, Rank Correlation Methods (1970),
 * chapter 4 (from memory). Takes time as the square of n.
 *
 * @param x finite numbers
 * @param y finite numbers, as many, y[k] belonging to x[k]
 * @returns s 0 and variance 0 for fewer than two
 */
export function concordance(x: Float64Array, y: Float64Array): Concordance {
  const n = Math.min(x.length, y.length);
  let s = 0;
  for (let i = 0; i < n; i++) {
    const [xi, yi] = [x[i] ?? NaN, y[i] ?? NaN];
    for (let j = i + 1; j < n; j++) s += Math.sign((x[j] ?? NaN) - xi) * Math.sign((y[j] ?? NaN) - yi);
  }
  const [tx, ty] = [repeats(x), repeats(y)];
  const tied = tx.length < n || ty.length < n;
  if (n < 2) return { s, variance: 0, tied };
  let variance = (spread(n) - over(tx, spread) - over(ty, spread)) / 18;
  variance += (over(tx, pairs) * over(ty, pairs)) / (2 * pairs(n));
  if (n > 2) variance += (over(tx, triples) * over(ty, triples)) / (9 * triples(n));
  return { s, variance: Math.max(0, variance), tied };
}
