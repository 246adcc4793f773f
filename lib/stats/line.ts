import tQuantile from '@stdlib/stats-base-dists-t-quantile';
import { fsum } from 'd3-array';
import { moments } from './moments';
import type { Interval } from './wilson';
import type { Series } from './series';

/** A straight line y = intercept + slope x by least squares. */
export interface Line {
  readonly n: number;
  readonly intercept: number;
  readonly slope: number;
  readonly interceptError: number;
  readonly slopeError: number;
  /** Standard deviation of the readings about the line, with n - 2. */
  readonly residualSd: number;
  /** Share of the sum of squares that the line explains; NaN where y does not vary. */
  readonly r2: number;
  /** Interval of the slope by Student's t. */
  readonly slopeInterval: Interval;
}

/**
 * Least squares of y on x, about the means. Source: ordinary least squares, as in NIST StRD's Norris. The errors hold for readings that
 * scatter alike about the line and are not related; x is taken as exact.
 * @param x [any unit]
 * @param y as long as x; a pair with a figure that is not finite is left out
 * @param confidence of the slope's interval, between 0 and 1
 * @returns null for fewer than three pairs, or where x does not vary
 */
export function fitLine(x: Series, y: Series, confidence = 0.95): Line | null {
  const pairs = Array.from({ length: x.length }, (_, k) => [x[k] ?? NaN, y[k] ?? NaN] as const).filter(
    ([a, b]) => Number.isFinite(a) && Number.isFinite(b),
  );
  const n = pairs.length;
  const { mean: xBar, squares: sxx } = moments(pairs.map(([a]) => a));
  const { mean: yBar, squares: syy } = moments(pairs.map(([, b]) => b));
  if (n < 3 || !(sxx > 0)) return null;
  const slope = fsum(pairs.map(([a, b]) => (a - xBar) * (b - yBar))) / sxx;
  const left = fsum(pairs.map(([a, b]) => (b - yBar - slope * (a - xBar)) ** 2));
  const residualSd = Math.sqrt(left / (n - 2));
  const slopeError = residualSd / Math.sqrt(sxx);
  const half = tQuantile((1 + confidence) / 2, n - 2) * slopeError;
  return {
    n,
    intercept: yBar - slope * xBar,
    slope,
    interceptError: residualSd * Math.sqrt(1 / n + (xBar * xBar) / sxx),
    slopeError,
    residualSd,
    r2: syy > 0 ? 1 - left / syy : NaN,
    slopeInterval: { low: slope - half, high: slope + half },
  };
}
