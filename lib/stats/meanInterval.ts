import tQuantile from '@stdlib/stats-base-dists-t-quantile';
import { isConfidence } from './counts';
import { moments } from './moments';
import type { Series } from './series';
import type { Interval } from './wilson';

export interface MeanInterval extends Interval {
  readonly n: number;
  readonly mean: number;
}

/**
 * Mean with Student's interval, mean -+ t s / sqrt(n) (NIST/SEMATECH e-Handbook 1.3.5.2). Of differences of pairs it is the paired
 * comparison. Holds for readings that are not related, and from some thirty on whatever their distribution.
 * @param values any unit; what is not finite is left out
 * @returns null for fewer than two
 */
export function meanInterval(values: Series, confidence = 0.95): MeanInterval | null {
  const { n, mean, sd } = moments(values);
  if (n < 2 || !isConfidence(confidence)) return null;
  const half = (tQuantile((1 + confidence) / 2, n - 1) * sd) / Math.sqrt(n);
  return { n, mean, low: mean - half, high: mean + half };
}
