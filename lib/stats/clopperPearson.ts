import betaQuantile from '@stdlib/stats-base-dists-beta-quantile';
import { isConfidence, isProportion } from './counts';
import type { Interval } from './wilson';

/**
 * Exact interval of a proportion: each end is where the binomial tail beyond the count seen is (1 − confidence)/2. The share
 * lies in it at least as often as the confidence says, mostly more often, so it is wider than Wilson's. C. J. Clopper and
 * E. S. Pearson, Biometrika 26 (1934) 404-413; method 5 in R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872; ends as
 * quantiles of the beta distribution.
 *
 * @param successes whole number from 0 to `trials`
 * @param trials whole number above 0
 * @param confidence of the two-sided interval, between 0 and 1
 * @returns ends from 0 to 1; null where the counts make no proportion or the confidence is none
 */
export function clopperPearson(successes: number, trials: number, confidence = 0.95): Interval | null {
  if (!isProportion({ successes, trials }) || !isConfidence(confidence)) return null;
  const tail = (1 - confidence) / 2;
  const failures = trials - successes;
  return {
    low: successes === 0 ? 0 : betaQuantile(tail, successes, failures + 1),
    // Mirrored, so that counting failures instead gives the same ends to the last digit.
    high: failures === 0 ? 1 : 1 - betaQuantile(tail, failures, successes + 1),
  };
}
