import { randomNormal } from 'd3-random';
import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';

/** What chance decides, in the words that the simulation needs. Every method takes from one stream. */
export interface Dice {
  /** From `low` (included) to `high` (excluded). */
  between(low: number, high: number): number;
  /** Whole, from `low` to `high`, both included. */
  whole(low: number, high: number): number;
  normal(mean: number, deviation: number): number;
  /** A factor around 1 that is never negative; `deviation` is that of its logarithm. */
  factor(deviation: number): number;
  /** Weibull, for times to return. */
  weibull(shape: number, scale: number): number;
  chance(probability: number): boolean;
  pick<T>(from: readonly [T, ...T[]]): T;
  weighted<T>(from: readonly T[], weight: (item: T) => number): T;
}

/** One 32-bit seed out of several numbers: neighbouring streams must not resemble each other. */
function mix(parts: readonly number[]): number {
  let hash = 0x9e3779b9;
  for (const part of parts) {
    hash = Math.imul(hash ^ part, 0x85ebca6b);
    hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35);
    hash ^= hash >>> 16;
  }
  return hash | 0;
}

/** The streams of chance: one each, so that a change in one part of the simulation leaves the others alone. */
export const streams = { pump: 1, job: 2, mess: 3, gauges: 4, textMess: 5, round: 6 } as const;

/** A stream of its own for each combination of numbers. */
export function dice(...parts: readonly number[]): Dice {
  const generator = xoroshiro128plus(mix(parts));
  const uniform = () => uniformFloat64(generator);
  const standard = randomNormal.source(uniform)(0, 1);
  return {
    between: (low, high) => low + (high - low) * uniform(),
    whole: (low, high) => low + Math.floor((high - low + 1) * uniform()),
    normal: (mean, deviation) => mean + deviation * standard(),
    factor: (deviation) => Math.exp(deviation * standard()),
    weibull: (shape, scale) => scale * (-Math.log(1 - uniform())) ** (1 / shape),
    chance: (probability) => uniform() < probability,
    pick: (from) => from[Math.floor(from.length * uniform())] ?? from[0],
    weighted(from, weight) {
      const total = from.reduce((sum, item) => sum + weight(item), 0);
      let left = total * uniform();
      for (const item of from) {
        left -= weight(item);
        if (left < 0) return item;
      }
      const last = from.at(-1);
      if (last === undefined) throw new Error('Nothing to choose from');
      return last;
    },
  };
}
