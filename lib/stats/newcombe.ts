import { isConfidence, isProportion, normalFactor, type Proportion } from './counts';
import { type Interval, wilson } from './wilson';

export interface RateDifference extends Interval {
  /** First share less the second, −1 to 1. */
  readonly difference: number;
}

/** A share with its own interval. */
export interface Bounded extends Interval {
  readonly share: number;
}

/** The square-and-add interval of the difference of two independent shares, first less second, of their own intervals. */
export const squareAndAdd = (first: Bounded, second: Bounded): Interval => ({
  low: first.share - second.share - Math.hypot(first.share - first.low, second.high - second.share),
  high: first.share - second.share + Math.hypot(first.high - first.share, second.share - second.low),
});

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
  const bounded = (share: number, { successes, trials }: Proportion): Bounded => ({
    share,
    ...wilson(successes, trials, z),
  });
  return { difference: p1 - p2, ...squareAndAdd(bounded(p1, first), bounded(p2, second)) };
}
