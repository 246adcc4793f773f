import { isConfidence, isProportion, normalFactor, type Proportion } from './counts';
import { type Interval, wilson } from './wilson';

export interface RateDifference extends Interval {
  /** First share less the second, −1 to 1. */
  readonly difference: number;
}

/**
 * Difference of two independent shares, first less second, with the square-and-add interval of their Wilson intervals:
 * method 10 in R. G. Newcombe, Statistics in Medicine 17 (1998) 873-890.
 *
 * @returns null where either makes no proportion or the confidence is not between 0 and 1
 */
export function newcombe(first: Proportion, second: Proportion, confidence = 0.95): RateDifference | null {
  if (!isProportion(first) || !isProportion(second) || !isConfidence(confidence)) return null;
  const z = normalFactor(confidence);
  const p1 = first.successes / first.trials;
  const p2 = second.successes / second.trials;
  const a = wilson(first.successes, first.trials, z);
  const b = wilson(second.successes, second.trials, z);
  const difference = p1 - p2;
  return {
    difference,
    low: difference - Math.hypot(p1 - a.low, b.high - p2),
    high: difference + Math.hypot(a.high - p1, p2 - b.low),
  };
}
