import { median } from 'd3-array';
import { isConfidence, normalFactor } from './counts';
import { concordance } from './kendall';
import type { Interval } from './wilson';

/** Pairs grow as the square of the points; past this a browser tab would stall. */
export const MOST_POINTS = 5000;

export interface RobustLine extends Interval {
  /** Change of y per unit of x; `low` and `high` are its interval, −Infinity or Infinity where that end is open. */
  readonly slope: number;
  /** y at x = 0. */
  readonly intercept: number;
  /** Points that were pairs of numbers. */
  readonly n: number;
}

const middle = (values: Float64Array): number => median(values) ?? NaN;

/** Slopes of all pairs of points that differ in x, rising. */
function risingSlopes(x: Float64Array, y: Float64Array): Float64Array {
  const slopes = new Float64Array((x.length * (x.length - 1)) / 2);
  let count = 0;
  for (let i = 0; i < x.length; i++) {
    const [xi, yi] = [x[i] ?? NaN, y[i] ?? NaN];
    for (let j = i + 1; j < x.length; j++) {
      const run = (x[j] ?? NaN) - xi;
      if (run !== 0) slopes[count++] = ((y[j] ?? NaN) - yi) / run;
    }
  }
  return slopes.subarray(0, count).sort();
}

/**
 * Line through points that some wild ones do not bend: slope the median of the slopes of all pairs, intercept the median of
 * y − slope · x. Interval: the slopes (N ∓ z √Var S)/2 places in, rounded, N their number, S Kendall's, by its normal
 * distribution with ties; an end that runs off the list is open. H. Theil, Proc. Kon. Ned. Akad. Wetensch. 53 (1950); P. K. Sen,
 * J. Am. Stat. Assoc. 63 (1968) 1379-1389.
 *
 * @param x of any length
 * @param y as long, y[k] belonging to x[k]; a pair with no finite number in either is left out
 * @param confidence of the two-sided interval, between 0 and 1
 * @returns null where the lengths differ, no two points differ in x, more than 5,000 points are left (thin them first: a
 *   median a month, say), or the confidence is none
 */
export function theilSen(x: ArrayLike<number>, y: ArrayLike<number>, confidence = 0.95): RobustLine | null {
  if (x.length !== y.length || !isConfidence(confidence)) return null;
  const [allX, allY] = [Float64Array.from(x), Float64Array.from(y)];
  const isPoint = (k: number) => Number.isFinite(allX[k]) && Number.isFinite(allY[k]);
  const px = allX.filter((_, k) => isPoint(k));
  const py = allY.filter((_, k) => isPoint(k));
  if (px.length > MOST_POINTS) return null;
  const slopes = risingSlopes(px, py);
  if (slopes.length === 0) return null;
  const slope = middle(slopes);
  const half = normalFactor(confidence) * Math.sqrt(concordance(px, py).variance);
  const lowPlace = Math.round((slopes.length - half) / 2) - 1;
  const highPlace = Math.round((slopes.length + half) / 2);
  return {
    slope,
    intercept: middle(py.map((value, k) => value - slope * (px[k] ?? NaN))),
    low: slopes[lowPlace] ?? -Infinity,
    high: slopes[highPlace] ?? Infinity,
    n: px.length,
  };
}
