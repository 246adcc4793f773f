import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { drawMarked, logFactorials } from '../../lib/stats/hypergeometric';
import { seededChance } from '../../lib/stats/shuffle';
import { bounds } from './chance';

const choose = (n: number, k: number): bigint => {
  if (k < 0 || k > n) return 0n;
  let ways = 1n;
  for (let i = 1n; i <= BigInt(k); i += 1n) ways = (ways * (BigInt(n) - BigInt(k) + i)) / i;
  return ways;
};
const share = (ways: bigint, of: bigint): number => Number((ways * 10n ** 15n) / of) / 1e15;

describe('a draw of the marked among those taken', () => {
  test('ln n! is that of n! in whole numbers', () => {
    const logs = logFactorials(150);
    let product = 1n;
    for (let n = 1; n <= 150; n += 1) {
      product *= BigInt(n);
      expect(logs[n]).toBeCloseTo(Math.log(Number(product)), 9);
    }
  });

  // From memory: P(k) = C(marked, k) C(all - marked, taken - k) / C(all, taken), counted out in whole numbers.
  test.each([
    [50, 5, 10],
    [10, 9, 6],
    [200, 150, 40],
    [30, 15, 29],
    [400, 3, 200],
  ])('of %i, %i marked, %i taken: each number comes as often as it can be counted', (all, marked, taken) => {
    const [chance, logs, rounds] = [seededChance(3), logFactorials(all), 40_000];
    const seen = new Map<number, number>();
    for (let round = 0; round < rounds; round += 1) {
      const k = drawMarked(all, marked, taken, logs, chance);
      seen.set(k, (seen.get(k) ?? 0) + 1);
    }
    for (let k = 0; k <= Math.min(marked, taken); k += 1) {
      const p = share(choose(marked, k) * choose(all - marked, taken - k), choose(all, taken));
      const [low, high] = bounds(rounds, p);
      // Five more either way: four standard deviations are too few where hardly any is awaited.
      expect(seen.get(k) ?? 0, `${k}`).toBeGreaterThanOrEqual(Math.floor(low) - 5);
      expect(seen.get(k) ?? 0, `${k}`).toBeLessThanOrEqual(Math.ceil(high) + 5);
      if (p === 0) expect(seen.get(k)).toBeUndefined();
    }
  });

  test('in a large log mean and variance are those of the distribution', () => {
    const [all, marked, taken, rounds] = [100_000, 71_234, 830, 20_000];
    const [chance, logs] = [seededChance(8), logFactorials(all)];
    const drawn = Array.from({ length: rounds }, () => drawMarked(all, marked, taken, logs, chance));
    const mean = drawn.reduce((sum, k) => sum + k, 0) / rounds;
    const variance = drawn.reduce((sum, k) => sum + (k - mean) ** 2, 0) / (rounds - 1);
    const p = marked / all;
    const awaited = (taken * p * (1 - p) * (all - taken)) / (all - 1);
    expect(Math.abs(mean - taken * p)).toBeLessThan(4 * Math.sqrt(awaited / rounds));
    expect(variance / awaited).toBeGreaterThan(1 - 4 * Math.sqrt(2 / rounds));
    expect(variance / awaited).toBeLessThan(1 + 4 * Math.sqrt(2 / rounds));
  });

  test('it never falls out of what can be, whatever the chance', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 3000 }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true, maxExcluded: true }),
        (all, ofMarked, ofTaken, at) => {
          const [marked, taken] = [Math.round(all * ofMarked), Math.round(all * ofTaken)];
          const k = drawMarked(all, marked, taken, logFactorials(all), () => at);
          expect(Number.isInteger(k)).toBe(true);
          expect(k).toBeGreaterThanOrEqual(Math.max(0, taken - (all - marked)));
          expect(k).toBeLessThanOrEqual(Math.min(marked, taken));
        },
      ),
    );
  });
});
