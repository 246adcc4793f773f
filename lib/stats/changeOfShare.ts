import { type Best, type Change, type ChangeSettings, defaults, isSplittable } from './changePoint';
import { drawMarked, logFactorials } from './hypergeometric';
import type { Series } from './series';
import { type Chance, permutationP, seededChance } from './shuffle';

/** n ln n for every whole number up to `most`: counts are whole, and the search asks for millions of them. */
function logTable(most: number): Float64Array {
  return Float64Array.from({ length: most + 1 }, (_, n) => (n > 0 ? n * Math.log(n) : 0));
}

/** Largest 2 (logL of two shares - logL of one) over the splits allowed. */
function bestSplit(successes: Float64Array, trials: Float64Array, shortest: number, nLogN: Float64Array): Best {
  const allK = successes.reduce((sum, k) => sum + k, 0);
  const allN = trials.reduce((sum, n) => sum + n, 0);
  /** Log-likelihood of k of n at their own share. */
  const fit = (k: number, n: number): number => (nLogN[k] ?? NaN) + (nLogN[n - k] ?? NaN) - (nLogN[n] ?? NaN);
  const together = fit(allK, allN);
  let best: Best = { split: shortest, statistic: -1 };
  let k = 0;
  let n = 0;
  for (let split = 1; split <= trials.length - shortest; split++) {
    k += successes[split - 1] ?? NaN;
    n += trials[split - 1] ?? NaN;
    if (split < shortest) continue;
    const statistic = Math.max(0, 2 * (fit(k, n) + fit(allK - k, allN - n) - together));
    if (statistic > best.statistic) best = { split, statistic };
  }
  return best;
}

/** With fewer jobs a period is dealt job by job. */
const FEWEST_AT_ONCE = 4;

/** Deals the successes anew over all jobs, each job as likely as any other, and counts them by period. */
function dealer(trials: Float64Array, total: number, jobs: number, chance: Chance): (into: Float64Array) => void {
  const logs = trials.some((n) => n >= FEWEST_AT_ONCE) ? logFactorials(jobs) : new Float64Array();
  const oneByOne = (n: number, left: number, open: number): number => {
    let dealt = 0;
    for (let job = 0; job < n; job++) if (chance() * (open - job) < left - dealt) dealt += 1;
    return dealt;
  };
  return (into) => {
    let left = total;
    let open = jobs;
    trials.forEach((n, period) => {
      const dealt = n < FEWEST_AT_ONCE ? oneByOne(n, left, open) : drawMarked(open, left, n, logs, chance);
      into[period] = dealt;
      left -= dealt;
      open -= n;
    });
  };
}

/**
 * The most likely single change of a share: k_i of n_i in each period, or 0 or 1 of 1 for each job. Of all splits, the one with the
 * largest binomial likelihood ratio. Its p-value is by dealing the successes anew over all jobs at random, periods keeping their size, and
 * searching each deal in the same way: exact in level if, with nothing changed, every job has the same chance and jobs are not related. A
 * rate that wanders from period to period (sigma_z of Laney's chart well above 1) gives too small a p. Source: K. J. Worsley, Biometrika
 * 70 (1983) 455-464 for the statistic (from memory).
 * Its time goes with periods times rounds, and with the spread of what a period is dealt.
 * @param successes whole numbers, one a period in order
 * @param trials whole numbers, as many; a period without trials, or whose counts are no share, is passed over
 * @returns null for fewer than twice the shortest side; a share that never varies has statistic 0 and p 1. Levels are shares, 0 to 1.
 */
export function changeOfShare(successes: Series, trials: Series, settings: ChangeSettings = {}): Change | null {
  const { shortest, rounds, seed } = { ...defaults, ...settings };
  const places = Array.from({ length: trials.length }, (_, k) => k).filter((period) => {
    const k = successes[period] ?? NaN;
    const n = trials[period] ?? NaN;
    return Number.isInteger(k) && Number.isInteger(n) && n > 0 && k >= 0 && k <= n;
  });
  if (!isSplittable(places.length, shortest, rounds)) return null;
  const ks = Float64Array.from(places, (period) => successes[period] ?? NaN);
  const ns = Float64Array.from(places, (period) => trials[period] ?? NaN);
  const total = ks.reduce((sum, k) => sum + k, 0);
  const jobs = ns.reduce((sum, n) => sum + n, 0);
  const nLogN = logTable(jobs);
  const { split, statistic } = bestSplit(ks, ns, shortest, nLogN);
  const chance = seededChance(seed);
  const dealt = new Float64Array(ks.length);
  const deal = dealer(ns, total, jobs, chance);
  const rearranged = () => {
    deal(dealt);
    return bestSplit(dealt, ns, shortest, nLogN).statistic;
  };
  const share = (from: number, to: number) =>
    ks.subarray(from, to).reduce((sum, k) => sum + k, 0) / ns.subarray(from, to).reduce((sum, n) => sum + n, 0);
  const varies = total > 0 && total < jobs;
  return {
    at: places[split] ?? NaN,
    before: share(0, split),
    after: share(split, ks.length),
    statistic: varies ? statistic : 0,
    p: varies ? permutationP(statistic, rearranged, rounds) : 1,
  };
}
