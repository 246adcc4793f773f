import binomialCdf from '@stdlib/stats-base-dists-binomial-cdf';
import { binomialQuantile } from './binomialQuantile';
import { isConfidence, isProportion, type Proportion } from './counts';
import type { Interval } from './wilson';

/** Share of the groups at each end whose distance is cut back before dispersion is judged. */
const CUT_BACK = 0.1;

/**
 * Count below which lies the share `tail` of the binomial distribution, between whole numbers by straight line, so that the limit
 * runs smoothly with n. Above −1, at most n: a count is below it just where so few or fewer have a chance under `tail`.
 */
function countAt(tail: number, trials: number, rate: number): number {
  const count = binomialQuantile(tail, trials, rate);
  const reached = binomialCdf(count, trials, rate);
  const before = count === 0 ? 0 : binomialCdf(count - 1, trials, rate);
  return count - (reached - tail) / (reached - before);
}

/**
 * Limits of a funnel plot: between them lie shares of groups of `trials` cases that only chance tells apart from the shop's rate.
 * Exact binomial limits, interpolated between counts: D. J. Spiegelhalter, Statistics in Medicine 24 (2005) 1185-1202,
 * appendix A.1.1 (from memory); its upper limit is interpolated one case lower, here both ends leave out just the counts whose exact
 * tail is under (1 − confidence)/2. Groups that scatter more than chance widen them: each limit's distance from the rate times the root
 * of `dispersion`.
 *
 * @param trials cases of the group, a whole number above 0
 * @param rate the shop's rate, 0 to 1
 * @param confidence share of groups that lie within by chance (customary: 0.95 to warn, 0.998 to act)
 * @param dispersion variance of the groups over what chance gives, as `overDispersion` tells; below 1 counts as 1
 * @returns ends from 0 to 1, both equal to the rate at a rate of 0 or 1; null for no cases, rate or confidence
 */
export function funnelLimits(trials: number, rate: number, confidence = 0.95, dispersion = 1): Interval | null {
  if (!isProportion({ successes: 0, trials }) || !(rate >= 0 && rate <= 1) || !isConfidence(confidence)) return null;
  if (!Number.isFinite(dispersion)) return null;
  if (rate === 0 || rate === 1) return { low: rate, high: rate };
  const tail = (1 - confidence) / 2;
  const widen = Math.sqrt(Math.max(1, dispersion));
  const limit = (count: number) => Math.min(1, Math.max(0, rate + widen * (count / trials - rate)));
  return { low: limit(countAt(tail, trials, rate)), high: limit(trials - countAt(tail, trials, 1 - rate)) };
}

export interface Dispersion {
  /** Mean square of the groups' distances from the rate, in standard errors, the outer tenth at each end cut back. */
  readonly measured: number;
  /** The same where it is more than chance would give, else 1: what limits are to be widened by. */
  readonly used: number;
  readonly groups: number;
}

/**
 * How much more the groups scatter about the rate than chance would make them: mean of z², z = (share − rate) / √(rate (1 − rate)/n),
 * after the tenth of groups at each end is set to the next one inward. Used from 1 + 2 √(2/groups) up. Source as for the limits
 * (from memory).
 *
 * @param groups one entry a group, any number; those that make no proportion are left out
 * @param rate the shop's rate, between 0 and 1
 * @returns null for fewer than two groups, or a rate of 0 or 1
 */
export function overDispersion(groups: readonly Proportion[], rate: number): Dispersion | null {
  const counted = groups.filter(isProportion);
  if (counted.length < 2 || !(rate > 0 && rate < 1)) return null;
  const distances = Float64Array.from(
    counted,
    ({ successes, trials }) => (successes / trials - rate) / Math.sqrt((rate * (1 - rate)) / trials),
  ).sort();
  const cut = Math.floor(CUT_BACK * distances.length);
  const least = distances[cut] ?? NaN;
  const most = distances[distances.length - 1 - cut] ?? NaN;
  let squares = 0;
  for (const z of distances) squares += Math.min(most, Math.max(least, z)) ** 2;
  const measured = squares / distances.length;
  const byChance = 1 + 2 * Math.sqrt(2 / distances.length);
  return { measured, used: measured > byChance ? measured : 1, groups: distances.length };
}
