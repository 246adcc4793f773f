import betaQuantile from '@stdlib/stats-base-dists-beta-quantile';
import chiSquareQuantile from '@stdlib/stats-base-dists-chisquare-quantile';
import normalCdf from '@stdlib/stats-base-dists-normal-cdf';
import normalQuantile from '@stdlib/stats-base-dists-normal-quantile';
import { binomialQuantile } from './binomialQuantile';
import { chiSquareBelow } from './chiSquareBelow';
import { isConfidence } from './counts';

/**
 * Tolerance intervals: between which ends a stated share of all that is to come lies, at a stated confidence. An interval of the mean says
 * where the middle is, one of these says where the pumps are.
 */

/** Whether the interval has two ends, or an upper one alone. A lower one alone is the mirror of that. */
export type Sides = 'two' | 'upper';

/** Shares and confidences that are asked for: more than half, less than all. */
const isAsked = (n: number, share: number, confidence: number): boolean =>
  Number.isInteger(n) && n >= 2 && share > 0.5 && share < 1 && confidence > 0.5 && confidence < 1;

const z = (share: number): number => normalQuantile(share, 0, 1);

/**
 * Where a rising function passes 0 between two places, below 0 at the first and not below it at the second, to within `width`. False
 * position, the end that stays halved (Illinois rule, from memory).
 */
function crossing(f: (x: number) => number, from: number, to: number, width: number): number {
  let [a, b] = [from, to];
  let [fa, fb] = [f(a), f(b)];
  let last: 'a' | 'b' | null = null;
  for (let round = 0; round < MOST_ROUNDS && Math.abs(b - a) > width; round += 1) {
    const x = a - (fa * (b - a)) / (fb - fa);
    const fx = f(x);
    if (Math.abs(fx) < ZERO) return x;
    if (fx < 0) {
      [a, fa] = [x, fx];
      if (last === 'a') fb /= 2;
      last = 'a';
    } else {
      [b, fb] = [x, fx];
      if (last === 'b') fa /= 2;
      last = 'b';
    }
  }
  return (a + b) / 2;
}
const MOST_ROUNDS = 100;
const ZERO = 1e-12;

/**
 * Howe's factor of the two-sided interval mean -+ k s of normal readings: z((1 + share)/2) sqrt((n - 1)(1 + 1/n) / chi-square(1 - confidence,
 * n - 1)). Close to the exact factor, a little off for few readings. W. G. Howe, J. Am. Stat. Assoc. 64 (1969) 610-620 (from memory);
 * NIST/SEMATECH e-Handbook 7.2.6.3.
 * @param n readings, from 2
 * @param share of all that is to come that shall lie within, above 0.5 and below 1
 * @param confidence above 0.5 and below 1
 * @returns in standard deviations; null where n, share or confidence is none of these
 */
export function howeFactor(n: number, share: number, confidence: number): number | null {
  if (!isAsked(n, share, confidence)) return null;
  return z((1 + share) / 2) * Math.sqrt(((n - 1) * (1 + 1 / n)) / chiSquareQuantile(1 - confidence, n - 1));
}

/**
 * Approximate factor of the one-sided interval up to mean + k s of normal readings: (z_share + sqrt(z_share^2 - a b)) / a, a = 1 -
 * z_confidence^2 / (2(n - 1)), b = z_share^2 - z_confidence^2 / n (M. G. Natrella, Experimental Statistics, 1963; NIST/SEMATECH e-Handbook
 * 7.2.6.3). Arguments as above.
 * @returns in standard deviations; null likewise, and for so few readings that the formula gives none
 */
export function natrellaFactor(n: number, share: number, confidence: number): number | null {
  if (!isAsked(n, share, confidence)) return null;
  const [zp, zc] = [z(share), z(confidence)];
  const a = 1 - zc ** 2 / (2 * (n - 1));
  const b = zp ** 2 - zc ** 2 / n;
  const root = zp ** 2 - a * b;
  return a > 0 && root >= 0 ? (zp + Math.sqrt(root)) / a : null;
}

interface Place {
  readonly at: number;
  readonly weight: number;
}
/** Places and weights that the mean of the readings is summed over [its own standard deviations]; what lies further weighs 1e-11. */
const placesBy = (step: number): readonly Place[] =>
  Array.from({ length: 2 * Math.round(REACH / step) + 1 }, (_, k) => {
    const at = step * k - REACH;
    return { at, weight: (step * Math.exp(-(at ** 2) / 2)) / Math.sqrt(2 * Math.PI) };
  });
const REACH = 7;
/** With few readings the terms of the sum rise steeply where the reach begins, and ask for finer steps. */
const FEW = 10;
const fine = placesBy(0.02);
const coarse = placesBy(0.5);

/** How far either way of a mean that is `off` the true one [true standard deviations] it takes to hold the share. */
function reachTwo(off: number, share: number): number {
  const x = Math.abs(off);
  const least = z((1 + share) / 2);
  const held = (r: number): number => normalCdf(x + r, 0, 1) - normalCdf(x - r, 0, 1) - share;
  return x === 0 ? least : crossing(held, Math.max(least, x + z(share)), x + least, 1e-9);
}

/** Weights and reaches [true standard deviations] over the places of the mean. */
function reachesOf(
  n: number,
  share: number,
  sides: Sides,
): readonly { readonly reach: number; readonly weight: number }[] {
  const places = n < FEW ? fine : coarse;
  const root = Math.sqrt(n);
  if (sides === 'upper') return places.map(({ at, weight }) => ({ reach: Math.max(0, z(share) + at / root), weight }));
  // Either way of the true mean the same is asked of two sides, so that one half of the places stands for both.
  return places
    .slice((places.length - 1) / 2)
    .map(({ at, weight }, k) => ({ reach: reachTwo(at / root, share), weight: k === 0 ? weight : 2 * weight }));
}

/**
 * Exact factor k of the interval mean -+ k s, or up to mean + k s, that holds a share of all that is to come, of normal readings. By
 * definition: with the mean off by x true standard deviations it takes r(x) either way, so the confidence is the mean over x, normal with
 * variance 1/n, of the chance that k s reaches r(x), s^2 being chi-square with n - 1 degrees of freedom. Summed over x by equal steps.
 * Of the one-sided interval it is the quantile of Student's noncentral distribution over the root of n. Source: K. Krishnamoorthy and T.
 * Mathew, Statistical Tolerance Regions (2009), sections 2.2 and 2.3 (from memory).
 * @param n readings, from 2
 * @param share above 0.5 and below 1
 * @param confidence above 0.5 and below 1
 * @returns in standard deviations of the readings; null where n, share or confidence is none of these
 */
export function toleranceFactor(n: number, share: number, confidence: number, sides: Sides): number | null {
  if (!isAsked(n, share, confidence)) return null;
  const freedom = n - 1;
  const reaches = reachesOf(n, share, sides);
  const surplus = (k: number): number => {
    let short = 0;
    for (const { reach, weight } of reaches) short += weight * chiSquareBelow(freedom * (reach / k) ** 2, freedom);
    return 1 - confidence - short;
  };
  const guess = (sides === 'two' ? howeFactor : natrellaFactor)(n, share, confidence) ?? 1;
  let [low, high] = [guess, guess];
  while (surplus(low) >= 0) low /= 1.02;
  while (surplus(high) < 0) high *= 1.02;
  return crossing(surplus, low, high, 1e-7 * high);
}

/** Places, from 1 up, among the readings in rising order; the lower one 0 where the interval has an upper end alone. */
export interface Places {
  readonly low: number;
  readonly high: number;
}

/**
 * The two readings between which a share of all that is to come lies whatever its distribution: as many are left out at either end as the
 * confidence allows. The share between the places l and h is Beta(h - l, n - h + l + 1). S. S. Wilks, Ann. Math. Stat. 12 (1941) 91-96 (from
 * memory). 93 readings are the fewest for 95 % at 95 % between two ends, 59 up to one.
 * @param share between 0 and 1
 * @param confidence between 0 and 1
 * @returns null where the readings are too few
 */
export function tolerancePlaces(n: number, share: number, confidence: number, sides: Sides): Places | null {
  if (!Number.isInteger(n) || n < 1 || !isConfidence(share) || !isConfidence(confidence)) return null;
  const apart = binomialQuantile(confidence, n, share) + 1;
  if (sides === 'upper') return apart > n ? null : { low: 0, high: apart };
  const spare = n - 1 - apart;
  return spare < 0 ? null : { low: 1 + Math.floor(spare / 2), high: n - Math.floor(spare / 2) };
}

/**
 * The share of all that is to come that lies between the smallest and the largest of n readings, or up to the largest, whatever their
 * distribution: at least this much, at the confidence. Source as above.
 * @returns 0 to 1; 0 where the readings are too few to tell
 */
export function shareCovered(n: number, confidence: number, sides: Sides): number {
  const between = sides === 'two' ? n - 1 : n;
  return between < 1 || !isConfidence(confidence) ? 0 : betaQuantile(1 - confidence, between, n - between + 1);
}
