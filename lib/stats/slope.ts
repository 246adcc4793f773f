import { sum } from 'd3-array';
import { Z_95 } from './wilson';

/** Fewer rows than this leave the normal quantile too far from Student's. */
const ENOUGH = 30;

/** Sums over rows, each taken about the mean of the row's own group. */
export interface CentredSums {
  readonly n: number;
  readonly groups: number;
  readonly sxx: number;
  readonly sxy: number;
  readonly syy: number;
}

export interface Slope {
  /** Change of y per unit of x. */
  readonly slope: number;
  /** Its standard error. */
  readonly error: number;
  /** Interval at 95 % confidence. */
  readonly low: number;
  readonly high: number;
}

/**
 * Least-squares slope of y on x within groups: every group has its own level, all share one slope. Standard error
 * s / sqrt(Sxx) with s^2 = (Syy - Sxy^2 / Sxx) / (n - groups - 1); interval with the normal quantile. Source: ordinary least squares
 * with group means removed (analysis of covariance), as in textbooks.
 * @returns null for fewer than 30 rows, or where x does not vary within any group
 */
export function slopeWithin({ n, groups, sxx, sxy, syy }: CentredSums): Slope | null {
  const freedom = n - groups - 1;
  if (n < ENOUGH || freedom < 1 || !(sxx > 0)) return null;
  const slope = sxy / sxx;
  const error = Math.sqrt(Math.max(0, syy - slope * sxy) / freedom / sxx);
  return { slope, error, low: slope - Z_95 * error, high: slope + Z_95 * error };
}

/**
 * The sums of several parts together, none of which has a group with another. Units as those of the parts.
 * @returns zeros for no part
 */
export const sumsOfAll = (parts: readonly CentredSums[]): CentredSums => ({
  n: sum(parts, ({ n }) => n),
  groups: sum(parts, ({ groups }) => groups),
  sxx: sum(parts, ({ sxx }) => sxx),
  sxy: sum(parts, ({ sxy }) => sxy),
  syy: sum(parts, ({ syy }) => syy),
});
