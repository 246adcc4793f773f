import normalCdf from '@stdlib/stats-base-dists-normal-cdf';
import { describe, expect, test } from 'vitest';
import { binomialQuantile } from '../../lib/stats/binomialQuantile';
import { chiSquareBelow } from '../../lib/stats/chiSquareBelow';
import { moments } from '../../lib/stats/moments';
import { seededChance } from '../../lib/stats/shuffle';
import {
  howeFactor,
  natrellaFactor,
  shareCovered,
  toleranceFactor,
  tolerancePlaces,
} from '../../lib/stats/toleranceInterval';
import { dataRows } from './csv';
import independent from './data/tolerance.json';

// NIST/SEMATECH e-Handbook 7.2.6.3 (read at the source): 43 readings, 90 % of all at 99 %.
describe('factors of the handbook, 43 readings, 90 % at 99 %', () => {
  test('two-sided, as the handbook works it out: 2.2173', () => {
    expect(howeFactor(43, 0.9, 0.99)).toBeCloseTo(2.2173, 4);
  });
  test('one-sided, as the handbook works it out: 1.8752', () => {
    expect(natrellaFactor(43, 0.9, 0.99)).toBeCloseTo(1.8752, 4);
  });
  // By the noncentral t distribution (C).
  test('one-sided and exact: 1.8740', () => {
    expect(toleranceFactor(43, 0.9, 0.99, 'upper')).toBeCloseTo(1.874, 4);
  });
});

// G. J. Hahn's table of 1970, read in a copy: 90, 95 and 99 % of all at 95 %. The misprint of that copy, at fifteen readings, is in its column
// of the mean (mean-factors.csv); the factors here are in step with their neighbours and with the definition.
test.each(dataRows('tolerance-factors.csv'))(
  'of $n readings: $k_tol_p90_95, $k_tol_p95_95 and $k_tol_p99_95 standard deviations',
  (row) => {
    for (const [share, column] of [
      [0.9, 'k_tol_p90_95'],
      [0.95, 'k_tol_p95_95'],
      [0.99, 'k_tol_p99_95'],
    ] as const) {
      expect(toleranceFactor(Number(row.n), share, 0.95, 'two')?.toFixed(2)).toBe(row[column]);
    }
  },
);

// scipy's noncentral t, and its noncentral chi-square under an adaptive integral (C): make_tolerance.py.
test.each(independent.factors)('$n readings, $share at $confidence as by scipy', ({ n, share, confidence, ...k }) => {
  expect((toleranceFactor(n, share, confidence, 'upper') ?? NaN) / k.upper).toBeCloseTo(1, 5);
  expect((toleranceFactor(n, share, confidence, 'two') ?? NaN) / k.two).toBeCloseTo(1, 5);
});

// scipy (C): near the middle and in either tail, below and beyond the degrees of freedom from which on it is approximated.
test.each(independent.chi)(
  'chi-square below $x with $freedom degrees of freedom as by scipy',
  ({ x, freedom, below }) => {
    expect(chiSquareBelow(x, freedom)).toBeCloseTo(below, freedom > 1500 ? 5 : 10);
  },
);

describe('between order statistics', () => {
  // S. S. Wilks (1941): the fewest readings whose smallest and largest hold 95 % or 99 % at 95 %, and whose largest is above 95 % or 99 % (from
  // memory).
  test.each([
    ['two', 0.95, 93],
    ['two', 0.99, 473],
    ['upper', 0.95, 59],
    ['upper', 0.99, 299],
  ] as const)('%s, %d of all: %d readings are the fewest', (sides, share, fewest) => {
    expect(tolerancePlaces(fewest, share, 0.95, sides)).toEqual({ low: sides === 'two' ? 1 : 0, high: fewest });
    expect(tolerancePlaces(fewest - 1, share, 0.95, sides)).toBeNull();
    expect(shareCovered(fewest, 0.95, sides)).toBeGreaterThanOrEqual(share);
    expect(shareCovered(fewest - 1, 0.95, sides)).toBeLessThan(share);
  });

  // By definition (Wilks): of the share p between the extremes, n p^(n-1) - (n-1) p^n is the chance to lie below it.
  test.each([3, 10, 93])('the share between the extremes of %d solves its equation', (n) => {
    const p = shareCovered(n, 0.95, 'two');
    expect(n * p ** (n - 1) - (n - 1) * p ** n).toBeCloseTo(0.05, 9);
    expect(shareCovered(n, 0.95, 'upper') ** n).toBeCloseTo(0.05, 9);
  });

  // scipy's beta quantiles (C).
  test.each(independent.covered)('$n readings at $confidence as by scipy', ({ n, confidence, two, upper }) => {
    expect(shareCovered(n, confidence, 'two')).toBeCloseTo(two, 9);
    expect(shareCovered(n, confidence, 'upper')).toBeCloseTo(upper, 9);
  });
});

/** Drawn samples whose interval holds the share, of so many. */
function heldIn(
  trials: number,
  seed: number,
  draw: (chance: () => number) => number,
  n: number,
  holds: (values: readonly number[]) => boolean,
): number {
  const chance = seededChance(seed);
  let held = 0;
  for (let trial = 0; trial < trials; trial += 1) if (holds(Array.from({ length: n }, () => draw(chance)))) held += 1;
  return held;
}
const normal = (chance: () => number): number =>
  Math.sqrt(-2 * Math.log(1 - chance())) * Math.cos(2 * Math.PI * chance());
const exponential = (chance: () => number): number => -Math.log(1 - chance());

// The promise itself, counted over seeded draws, within the binomial bounds of such a count.
describe('a share is held as often as the confidence says', () => {
  const trials = 4000;
  const [few, many] = [binomialQuantile(0.0005, trials, 0.95), binomialQuantile(0.9995, trials, 0.95)];

  test.each([5, 25, 100])('normal readings, %d of them, exactly so often', (n) => {
    const [two, upper] = [toleranceFactor(n, 0.95, 0.95, 'two'), toleranceFactor(n, 0.95, 0.95, 'upper')];
    const between = heldIn(trials, n, normal, n, (values) => {
      const { mean, sd } = moments(values);
      const reach = (two ?? NaN) * sd;
      return normalCdf(mean + reach, 0, 1) - normalCdf(mean - reach, 0, 1) >= 0.95;
    });
    expect(between).toBeGreaterThanOrEqual(few);
    expect(between).toBeLessThanOrEqual(many);
    const below = heldIn(trials, 7 * n, normal, n, (values) => {
      const { mean, sd } = moments(values);
      return normalCdf(mean + (upper ?? NaN) * sd, 0, 1) >= 0.95;
    });
    expect(below).toBeGreaterThanOrEqual(few);
    expect(below).toBeLessThanOrEqual(many);
  });

  test.each([
    [93, 'two'],
    [300, 'two'],
    [59, 'upper'],
    [300, 'upper'],
  ] as const)('skewed readings by their places, %d of them, %s, at least so often', (n, sides) => {
    const places = tolerancePlaces(n, 0.95, 0.95, sides);
    const held = heldIn(trials, n, exponential, n, (values) => {
      const rising = values.toSorted((a, b) => a - b);
      const [low, high] = [rising[(places?.low ?? NaN) - 1] ?? 0, rising[(places?.high ?? NaN) - 1] ?? NaN];
      return Math.exp(-low) - Math.exp(-high) >= 0.95;
    });
    expect(held).toBeGreaterThanOrEqual(few);
  });

  test('skewed readings by the normal factor, much less often: why both stand on the page', () => {
    const k = toleranceFactor(100, 0.95, 0.95, 'two') ?? NaN;
    const held = heldIn(trials, 11, exponential, 100, (values) => {
      const { mean, sd } = moments(values);
      return Math.exp(-Math.max(0, mean - k * sd)) - Math.exp(-(mean + k * sd)) >= 0.95;
    });
    expect(held).toBeLessThan(few);
  });
});

test('what can not be asked has no answer', () => {
  for (const [n, share, confidence] of [
    [1, 0.95, 0.95],
    [10.5, 0.95, 0.95],
    [10, 0.5, 0.95],
    [10, 1, 0.95],
    [10, 0.95, 1],
    [NaN, 0.95, 0.95],
  ] as const) {
    expect(toleranceFactor(n, share, confidence, 'two')).toBeNull();
    expect(toleranceFactor(n, share, confidence, 'upper')).toBeNull();
  }
  expect(natrellaFactor(2, 0.95, 0.95)).toBeNull();
  expect(toleranceFactor(2, 0.95, 0.95, 'upper')).toBeGreaterThan(20);
  expect(tolerancePlaces(0, 0.95, 0.95, 'two')).toBeNull();
  expect(shareCovered(1, 0.95, 'two')).toBe(0);
});
