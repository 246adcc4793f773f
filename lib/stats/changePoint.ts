import { moments } from './moments';
import { placesRead, type Series } from './series';
import { permutationP, seededChance, shuffle } from './shuffle';

export interface ChangeSettings {
  /** Points that either side of the change must have, from 1; 3 where not stated (ours): one odd point at an end is no new level. */
  readonly shortest?: number;
  /** Rearrangements behind the p-value; 999 where not stated, which tells p to about 0.014 at 0.05. */
  readonly rounds?: number;
  /** Same seed, same p-value; 1 where not stated. */
  readonly seed?: number;
}

/** The most likely single change of level in a series. */
export interface Change {
  /** Place of the first point at the new level. */
  readonly at: number;
  /** Level up to it, and from it on. Being picked as the largest, the step between them tends to be told too large. */
  readonly before: number;
  readonly after: number;
  /** Largest likelihood-ratio statistic over all splits. */
  readonly statistic: number;
  /** Chance of one as large somewhere in the series if nothing changed: the search is allowed for. */
  readonly p: number;
}

export const defaults = { shortest: 3, rounds: 999, seed: 1 } as const;

/** Largest statistic over the allowed splits; `split` is how many points lie before it. The first of equal ones. */
export interface Best {
  readonly split: number;
  readonly statistic: number;
}

export const isSplittable = (points: number, shortest: number, rounds: number): boolean =>
  Number.isInteger(shortest) && shortest >= 1 && points >= 2 * shortest && rounds >= 1;

/**
 * Largest between-sides sum of squares over all splits, of readings that add up to 0: S_k^2 n / (k (n - k)), S_k the sum of the first k.
 */
function bestSplit(centred: Float64Array, shortest: number): Best {
  const n = centred.length;
  let best: Best = { split: shortest, statistic: -1 };
  let sum = 0;
  for (let k = 1; k <= n - shortest; k++) {
    sum += centred[k - 1] ?? NaN;
    if (k < shortest) continue;
    const statistic = (sum * sum * n) / (k * (n - k));
    if (statistic > best.statistic) best = { split: k, statistic };
  }
  return best;
}

/**
 * The most likely single change of mean in a series of numbers. Of all splits, the one with the largest likelihood ratio under normal
 * scatter that is the same on both sides: -n ln(1 - B / T), B the sum of squares between the sides and T that about the mean. Its p-value
 * is by rearranging the series at random and searching each rearrangement in the same way, so it holds whatever the
 * distribution, as long as the order of the readings means nothing when nothing changed; readings that hang together from one to the next
 * (wear, season) give too small a p. Source: D. M. Hawkins, J. Am. Stat. Assoc. 72 (1977) 180-186 for the statistic (from memory).
 * @param values the series in order [any unit]; what is not finite is passed over
 * @returns null for fewer than twice the shortest side; a series of equal readings has statistic 0 and p 1
 */
export function changeOfMean(values: Series, settings: ChangeSettings = {}): Change | null {
  const { shortest, rounds, seed } = { ...defaults, ...settings };
  const places = placesRead(values);
  if (!isSplittable(places.length, shortest, rounds)) return null;
  const kept = Float64Array.from(places, (k) => values[k] ?? NaN);
  const { mean, squares } = moments(kept);
  const centred = kept.map((value) => value - mean);
  const { split, statistic: between } = bestSplit(centred, shortest);
  const chance = seededChance(seed);
  const drawn = centred.slice();
  const rearranged = () => {
    shuffle(drawn, chance);
    return bestSplit(drawn, shortest).statistic;
  };
  return {
    at: places[split] ?? NaN,
    before: moments(kept.subarray(0, split)).mean,
    after: moments(kept.subarray(split)).mean,
    statistic: squares > 0 ? -kept.length * Math.log(Math.max(0, 1 - between / squares)) : 0,
    p: squares > 0 ? permutationP(between, rearranged, rounds) : 1,
  };
}
