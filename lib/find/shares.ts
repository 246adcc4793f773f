import gammaln from '@stdlib/math-base-special-gammaln';
import { fTail } from '../stats/tails';

/** Chance of at least `seen` at each rate, the count itself counted half; what does not depend on the rate is worked out once. */
function tailOf(seen: number, trials: number): (rate: number) => number {
  const [a, b] = [seen, trials - seen + 1];
  const ways = gammaln(trials + 1) - gammaln(seen + 1) - gammaln(trials - seen + 1);
  return (rate) => {
    if (rate >= 1) return seen >= trials ? 0.5 : 1;
    if (rate <= 0) return seen <= 0 ? 0.5 : 0;
    const orMore = seen <= 0 ? 1 : fTail((a * (1 - rate)) / (b * rate), 2 * b, 2 * a);
    const just = Math.exp(ways + seen * Math.log(rate) + (trials - seen) * Math.log(1 - rate));
    return Math.max(0, orMore - just / 2);
  };
}

/**
 * Chance of a share of at least `seen` in `trials` at `rate`, the count itself counted half; counts need not be whole, so that the
 * binomial tail is the incomplete beta function it equals. Source: definition of the binomial distribution; mid-p as in lib/stats.
 * @param seen from 0 to `trials`
 */
export const tailOfShare = (seen: number, trials: number, rate: number): number => tailOf(seen, trials)(rate);

/** What is summed over, in standard deviations of the rest's angle below and above its middle, and in what steps. */
const [BELOW, ABOVE, STEP] = [6, 12, 0.375];

/**
 * p of `seen` of `trials` in the group where the rest, with `restSeen` of `restTrials`, may have any share r and the group's is r + margin:
 * the group's binomial tail, averaged over what r may be after the rest was seen (Beta of restSeen + 1/2 and restTrials - restSeen + 1/2,
 * Jeffreys' prior). A rest of a few jobs without a case may well have a share of one in ten: to take its share as known would call such
 * groups different far too easily. Summed over the angle asin(sqrt r), in which the density is smooth up to both ends; ours, held against
 * Fisher's exact test and against the share of false calls by a test. Counts need not be whole.
 */
export function tailOverRest(
  seen: number,
  trials: number,
  restSeen: number,
  restTrials: number,
  margin: number,
): number {
  const middle = Math.asin(Math.sqrt(Math.max(0, Math.min(1, restSeen / restTrials))));
  const deviation = 1 / (2 * Math.sqrt(restTrials));
  const power = (base: number, exponent: number): number => (exponent > 0 ? 2 * exponent * Math.log(base) : 0);
  const logDensity = (angle: number): number =>
    power(Math.sin(angle), restSeen) + power(Math.cos(angle), restTrials - restSeen);
  const peak = logDensity(middle);
  const tailAt = tailOf(seen, trials);
  let [tail, weight] = [0, 0];
  for (let away = -BELOW + STEP / 2; away < ABOVE; away += STEP) {
    const angle = middle + away * deviation;
    if (angle <= 0 || angle >= Math.PI / 2) continue;
    const density = Math.exp(logDensity(angle) - peak);
    weight += density;
    tail += density * tailAt(Math.sin(angle) ** 2 + margin);
  }
  return weight > 0 ? Math.min(1, tail / weight) : 1;
}

/** Whether a share is so little above `rate` that its mid-p is above 0.05 at any number of trials: less than a deviation. */
export const isNear = (seen: number, trials: number, rate: number): boolean =>
  seen - trials * rate < Math.sqrt(trials * rate * (1 - rate));
