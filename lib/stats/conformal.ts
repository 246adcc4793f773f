import { isConfidence } from './counts';
import type { Series } from './series';
import { WeightedSample } from './weightedSample';
import type { Interval } from './wilson';

export interface ConformalInterval extends Interval {
  /** Scores that were numbers and have a weight. */
  readonly n: number;
  /** Sum of their weights over that of the next case. */
  readonly effectiveN: number;
  /** Whether both ends are bounded; else there is not enough data for this coverage and the open ends are infinite. */
  readonly enough: boolean;
}

/**
 * Interval for the next score, whatever the distribution, out of the scores of past cases that were not fitted to their own outcome (a
 * part held out, or each told before it came): at most (1 - coverage)/2 beyond each end. With equal weights and cases that could
 * have come in any order the next one lies within with a chance of at least `coverage`: the ends are the values at places
 * ceil((n + 1)(1 + coverage)/2) and as many from the top. V. Vovk, A. Gammerman and G. Shafer, Algorithmic Learning in a Random World
 * (2005); J. Lei, M. G'Sell, A. Rinaldo, R. J. Tibshirani and L. Wasserman, J. Am. Stat. Assoc. 113 (2018) 1094-1111 (split
 * conformal); each side by itself as in Y. Romano, E. Patterson and E. J. Candès, Advances in NeurIPS 32 (2019). With weights: R. F.
 * Barber, E. J. Candès, A. Ramdas and R. J. Tibshirani, Ann. Stat. 51 (2023) 816-845: what is lost of the coverage is bounded by the
 * weights of cases unlike the next. All from memory. For scores that are the outcomes themselves it is the classical
 * distribution-free prediction interval.
 *
 * @param scores outcome less what was told, with its sign, in any order and unit; what is not finite is left out
 * @param coverage between 0 and 1
 * @param weights as long as the scores, above 0; equal where left out
 * @param next weight of the next case; 1 where left out
 * @returns in the unit of the scores; null where coverage is none
 */
export function conformalInterval(
  scores: Series,
  coverage: number,
  weights?: Series,
  next = 1,
): ConformalInterval | null {
  if (!isConfidence(coverage)) return null;
  const sample = new WeightedSample();
  for (let k = 0; k < scores.length; k += 1)
    sample.add(scores[k] ?? NaN, weights === undefined ? 1 : (weights[k] ?? NaN));
  return intervalOf(sample, coverage, next);
}

/** The same of scores that are in order already. */
export function intervalOf(sample: WeightedSample, coverage: number, next: number): ConformalInterval {
  const side = (1 + coverage) / 2;
  const [low, high] = [sample.lower(side, next), sample.upper(side, next)];
  return {
    low,
    high,
    n: sample.n,
    effectiveN: sample.total / next,
    enough: Number.isFinite(low) && Number.isFinite(high),
  };
}

/**
 * The figure that the next case stays at or below with a chance of at least `share`: one end of `conformalInterval` by itself.
 * @param share between 0 and 1
 * @returns in the unit of the scores; Infinity where they are too few
 */
export function conformalUpper(scores: Series, share: number): number {
  const sample = new WeightedSample();
  for (let k = 0; k < scores.length; k += 1) sample.add(scores[k] ?? NaN, 1);
  return isConfidence(share) ? sample.upper(share, 1) : NaN;
}
