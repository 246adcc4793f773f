import { describe, expect, test } from 'vitest';
import { tailOfShare, tailOverRest } from '../../lib/find/shares';

/** Chance of exactly k of n. */
function exactly(n: number, k: number, share: number): number {
  let log = 0;
  for (let i = 1; i <= k; i += 1) log += Math.log((n - k + i) / i);
  return Math.exp(log + (k > 0 ? k * Math.log(share) : 0) + (n > k ? (n - k) * Math.log(1 - share) : 0));
}

describe('tail of a known share', () => {
  test.each([
    [3, 10, 0.2],
    [0, 10, 0.2],
    [10, 10, 0.7],
    [7, 40, 0.05],
  ])('%s of %s at %s is the sum of the binomial terms, the first counted half', (seen, trials, share) => {
    let sum = exactly(trials, seen, share) / 2;
    for (let k = seen + 1; k <= trials; k += 1) sum += exactly(trials, k, share);
    expect(tailOfShare(seen, trials, share)).toBeCloseTo(sum, 10);
  });

  test('runs evenly between whole counts, to the last', () => {
    const tails = Array.from({ length: 41 }, (_, i) => tailOfShare(9 + i / 40, 10, 0.6));
    for (let i = 1; i < tails.length; i += 1) {
      expect(tails[i]).toBeLessThan(tails[i - 1] ?? 0);
      expect((tails[i - 1] ?? 0) - (tails[i] ?? 0)).toBeLessThan(0.01);
    }
  });
});

/** Mid-p of Fisher's exact test, one-sided: by hypergeometric terms. */
function fisher(a: number, n: number, b: number, m: number): number {
  const choose = (from: number, k: number): number => {
    let log = 0;
    for (let i = 1; i <= k; i += 1) log += Math.log((from - k + i) / i);
    return log;
  };
  const term = (k: number): number => Math.exp(choose(n, k) + choose(m, a + b - k) - choose(n + m, a + b));
  let p = term(a) / 2;
  for (let k = a + 1; k <= Math.min(n, a + b); k += 1) p += term(k);
  return p;
}

describe('tail over what the rest may be', () => {
  test.each([
    [8, 15, 2, 40],
    [12, 60, 10, 200],
    [5, 50, 3, 235],
    [30, 100, 20, 150],
  ])('without a margin %s of %s against %s of %s is within twice or half the mid-p of the exact test', (a, n, b, m) => {
    const [ours, theirs] = [tailOverRest(a, n, b, m, 0), fisher(a, n, b, m)];
    expect(ours / theirs).toBeGreaterThan(0.5);
    expect(ours / theirs).toBeLessThan(2);
  });

  test('a large rest is as good as a known share', () => {
    expect(tailOverRest(9, 30, 1e6, 1e7, 0.05)).toBeCloseTo(tailOfShare(9, 30, 0.15), 4);
  });

  // All tables of two groups: how much of the time p is at or below a level where the group truly has the rest's share and the margin.
  test.each([
    [12, 14, 0.05],
    [100, 25, 0.1],
    [40, 40, 0.01],
    [15, 60, 0.05],
  ])('%s jobs against %s: false calls stay near their level', (n, m, margin) => {
    for (const level of [0.01, 0.001]) {
      for (const share of [0.01, 0.05, 0.2, 0.5]) {
        let called = 0;
        for (let b = 0; b <= m; b += 1) {
          const rest = exactly(m, b, share);
          if (rest < 1e-9) continue;
          for (let a = 0; a <= n; a += 1) {
            const weight = rest * exactly(n, a, share + margin);
            if (weight > 1e-9 && a / n > b / m + margin && tailOverRest(a, n, b, m, margin) <= level) called += weight;
          }
        }
        expect(called).toBeLessThan(1.75 * level);
      }
    }
  });
});
