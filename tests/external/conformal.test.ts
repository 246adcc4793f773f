import { describe, expect, test } from 'vitest';
import { binomialQuantile } from '../../lib/stats/binomialQuantile';
import { conformalInterval, conformalUpper } from '../../lib/stats/conformal';
import { CrossMoments } from '../../lib/stats/crossMoments';
import { meanInterval } from '../../lib/stats/meanInterval';
import { seededChance } from '../../lib/stats/shuffle';
import { WeightedSample } from '../../lib/stats/weightedSample';
import { dataRows } from './csv';
import independent from './data/quote.json';

const risingTo = (n: number): number[] => Array.from({ length: n }, (_, k) => k + 1);

// The distribution-free prediction interval for one more reading: the interval from the h-th to the k-th of n holds it with (k - h)/(n + 1).
describe('places of a distribution-free prediction interval', () => {
  // A textbook's exercise on order statistics, read second hand (R2): a sample of 100, 90 %: the 5th to the 96th.
  test('a sample of 100 at 90 %', () => {
    const interval = conformalInterval(risingTo(100), 0.9);
    expect([interval?.low, interval?.high]).toEqual([5, 96]);
  });

  // The range from smallest to largest holds the next with (n - 1)/(n + 1): Am. Stat. 41 (1987) 11-15, abstract read at an index (R2).
  test.each([
    [0.5, 3],
    [0.8, 9],
    [0.95, 39],
  ])('%d takes %d readings, then from the smallest to the largest; one fewer is not enough', (coverage, n) => {
    expect((n - 1) / (n + 1)).toBeGreaterThanOrEqual(coverage);
    const all = conformalInterval(risingTo(n), coverage);
    expect([all?.low, all?.high, all?.enough]).toEqual([1, n, true]);
    const fewer = conformalInterval(risingTo(n - 1), coverage);
    expect([fewer?.low, fewer?.high, fewer?.enough]).toEqual([-Infinity, Infinity, false]);
  });

  // NIST/SEMATECH e-Handbook 7.2.6.2 (from memory): the 90th percentile of these 12 lies at place 0.9 (12 + 1) = 11.7 and is 95.1981; a
  // bound that is to hold goes up to the next place.
  test('twelve readings of a gauge, 90th percentile', () => {
    const readings = [
      95.1772, 95.1567, 95.1937, 95.1959, 95.1442, 95.061, 95.1591, 95.1195, 95.1065, 95.0925, 95.199, 95.1682,
    ];
    expect(conformalUpper(readings, 0.9)).toBe(95.199);
    expect(conformalUpper(readings, 11 / 13)).toBe(95.1959);
    expect(conformalUpper(readings, 0.93)).toBe(Infinity);
  });
});

// By definition, in exact fractions (C): make_quote.py.
test('weighted intervals, medians and means of the middle half are those told in fractions', () => {
  for (const { values, weights, coverage, low, high, median, midmean } of independent.intervals) {
    const interval = conformalInterval(values, coverage, weights);
    expect(interval?.low).toBe(low ?? -Infinity);
    expect(interval?.high).toBe(high ?? Infinity);
    const sample = new WeightedSample();
    values.forEach((value, k) => {
      sample.add(value, weights[k] ?? NaN);
    });
    expect(sample.quantile(0.5)).toBeCloseTo(median, 12);
    expect(sample.midmean()).toBeCloseTo(midmean, 9);
  }
});

// scipy's trim_mean with a quarter cut off at each end (C).
test.each(independent.trimmed)('mean of the middle half of $values.length', ({ values, mean }) => {
  const sample = new WeightedSample();
  for (const value of values) sample.add(value, 3);
  expect(sample.midmean()).toBeCloseTo(mean, 12);
});

describe('least squares on several columns', () => {
  // numpy's lstsq (C).
  test.each(independent.planes)('as numpy, weighted: $slopes.length columns', ({ x, y, w, slopes }) => {
    const moments = new CrossMoments(slopes.length);
    x.forEach((row, k) => {
      moments.add(row, y[k] ?? NaN, w[k] ?? NaN);
    });
    const own = moments.slopes();
    expect(own).toHaveLength(slopes.length);
    slopes.forEach((slope, k) => {
      expect(own?.[k]).toBeCloseTo(slope, 8);
    });
  });

  // NIST StRD, linear regression, Norris (R): the slope is certified.
  test('Norris to ten digits', () => {
    const moments = new CrossMoments(1);
    for (const row of dataRows('norris.csv')) moments.add([Number(row.x)], Number(row.y));
    expect((moments.slopes()?.[0] ?? NaN) / 1.00211681802045).toBeCloseTo(1, 10);
  });

  // NIST StRD, linear regression, Longley, higher difficulty (data and certified values from memory).
  test('Longley to seven digits', () => {
    const moments = new CrossMoments(6);
    for (const row of dataRows('longley.csv')) {
      moments.add([row.x1, row.x2, row.x3, row.x4, row.x5, row.x6].map(Number), Number(row.y));
    }
    const certified = [
      15.0618722713733, -0.035819179292591, -2.02022980381683, -1.03322686717359, -0.0511041056535807, 1829.15146461355,
    ];
    certified.forEach((slope, k) => {
      expect((moments.slopes()?.[k] ?? NaN) / slope).toBeCloseTo(1, 7);
    });
  });

  test('columns that make each other up have no slopes of their own', () => {
    const moments = new CrossMoments(2);
    for (const x of [1, 2, 4, 7, 11]) moments.add([x, 3 * x - 2], x * x);
    expect(moments.slopes()).toBeNull();
  });
});

// NIST/SEMATECH e-Handbook 1.3.5.2 (from memory): 195 readings, mean 9.261460, sd 0.02278881: 9.258242 to 9.264679.
test("Student's interval of a mean", () => {
  // Half the readings below and half above, one in the middle, so that mean and sd are those of the example.
  const [n, mean, sd] = [195, 9.26146, 0.02278881];
  const readings = risingTo(n).map((k) => (k === n ? mean : mean + (k % 2 === 0 ? sd : -sd)));
  const interval = meanInterval(readings);
  expect(interval?.low).toBeCloseTo(9.258242, 5);
  expect(interval?.high).toBeCloseTo(9.264679, 5);
});

// The promise itself (V. Vovk and others): over cases that could have come in any order the next lies within with a chance of at least the
// coverage, and of at most 2/(n + 1) more where no two are alike. Counted over seeded draws, within the binomial bounds of such a count.
describe('coverage over exchangeable cases', () => {
  const trials = 4000;
  const skewed = (chance: () => number) =>
    Math.exp(1.2 * Math.sqrt(-2 * Math.log(1 - chance())) * Math.cos(2 * Math.PI * chance()));
  test.each([
    [0.5, 3],
    [0.5, 20],
    [0.8, 9],
    [0.8, 50],
    [0.95, 39],
    [0.95, 120],
  ])('%d with %d past cases', (coverage, n) => {
    const chance = seededChance(1000 * coverage + n);
    let held = 0;
    for (let trial = 0; trial < trials; trial += 1) {
      const interval = conformalInterval(
        Array.from({ length: n }, () => skewed(chance)),
        coverage,
      );
      const next = skewed(chance);
      if (interval !== null && interval.low <= next && next <= interval.high) held += 1;
    }
    expect(held).toBeGreaterThanOrEqual(binomialQuantile(0.0005, trials, coverage));
    expect(held).toBeLessThanOrEqual(binomialQuantile(0.9995, trials, Math.min(1, coverage + 2 / (n + 1))));
  });

  // R. F. Barber and others (2023): weights that have nothing to do with the cases cost no coverage.
  test('recency weights on cases that do not change keep the coverage', () => {
    const chance = seededChance(77);
    const weights = Array.from({ length: 80 }, (_, k) => 2 ** (-k / 30));
    let held = 0;
    for (let trial = 0; trial < trials; trial += 1) {
      const interval = conformalInterval(
        weights.map(() => skewed(chance)),
        0.8,
        weights,
      );
      const next = skewed(chance);
      if (interval !== null && interval.low <= next && next <= interval.high) held += 1;
    }
    expect(held).toBeGreaterThanOrEqual(binomialQuantile(0.0005, trials, 0.8));
    expect(held).toBeLessThanOrEqual(binomialQuantile(0.9995, trials, 0.88));
  });
});
