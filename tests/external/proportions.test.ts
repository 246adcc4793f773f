import { describe, expect, test } from 'vitest';
import { binomialTest } from '../../lib/stats/binomialTest';
import { clopperPearson } from '../../lib/stats/clopperPearson';
import { falseDiscovery } from '../../lib/stats/falseDiscovery';
import { fisher } from '../../lib/stats/fisher';
import { funnelLimits, overDispersion } from '../../lib/stats/funnel';
import { newcombe } from '../../lib/stats/newcombe';
import { eventRate, rateRatio } from '../../lib/stats/poisson';
import { quantileInterval } from '../../lib/stats/quantiles';
import python from './data/statistics.json';
import r from './data/survival.json';

// The data's first field names the program and its version; make_statistics.py and make_survival.R beside it wrote it.

describe('exact interval of a share', () => {
  // R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, table I, method 5 (from memory; computed as well).
  test.each([
    [81, 263, 0.2527, 0.3676],
    [15, 148, 0.0578, 0.1617],
    [0, 20, 0, 0.1684],
    [1, 29, 0.0009, 0.1776],
  ])('%i of %i: %f to %f', (k, n, low, high) => {
    expect(clopperPearson(k, n)?.low).toBeCloseTo(low, 4);
    expect(clopperPearson(k, n)?.high).toBeCloseTo(high, 4);
  });

  // Published example (read at the source).
  test('5 of 25: 0.068 to 0.407', () => {
    expect(clopperPearson(5, 25)?.low).toBeCloseTo(0.068, 3);
    expect(clopperPearson(5, 25)?.high).toBeCloseTo(0.407, 3);
  });

  // NIST/SEMATECH e-Handbook 7.2.4.1 (from memory; the upper end computed with scipy 1.17.1 is 0.401028, so one less in the last digit).
  test('4 of 20 at 90 %: 0.071354 to 0.40103', () => {
    expect(clopperPearson(4, 20, 0.9)?.low).toBeCloseTo(0.071354, 6);
    expect(clopperPearson(4, 20, 0.9)?.high).toBeCloseTo(0.401029, 5);
  });

  test.each(python.shares)('as statsmodels has it: $k of $n at $confidence', ({ k, n, confidence, low, high }) => {
    expect(clopperPearson(k, n, confidence)?.low).toBeCloseTo(low, 9);
    expect(clopperPearson(k, n, confidence)?.high).toBeCloseTo(high, 9);
  });
});

describe('difference of two shares', () => {
  // R. G. Newcombe, Statistics in Medicine 17 (1998) 873-890, table II, method 10 (from memory).
  test.each([
    [56, 70, 48, 80, 0.0524, 0.3339],
    [9, 10, 3, 10, 0.1705, 0.809],
    [10, 10, 0, 10, 0.6075, 1],
  ])('%i of %i against %i of %i: %f to %f', (k1, n1, k2, n2, low, high) => {
    const got = newcombe({ successes: k1, trials: n1 }, { successes: k2, trials: n2 });
    expect(got?.low).toBeCloseTo(low, 4);
    expect(got?.high).toBeCloseTo(high, 4);
  });

  test.each(python.differences)(
    'as statsmodels has it: $k1/$n1 − $k2/$n2',
    ({ k1, n1, k2, n2, confidence, low, high }) => {
      const got = newcombe({ successes: k1, trials: n1 }, { successes: k2, trials: n2 }, confidence);
      expect(got?.low).toBeCloseTo(low, 10);
      expect(got?.high).toBeCloseTo(high, 10);
    },
  );
});

describe('exact tests', () => {
  // R. A. Fisher, The Design of Experiments (1935), the tea: 3 of 4 named rightly; one-sided 17/70, two-sided 34/70 (from memory).
  test('the tea tasted: 34/70', () => {
    const got = fisher({ successes: 3, trials: 4 }, { successes: 1, trials: 4 });
    expect(got?.p).toBeCloseTo(34 / 70, 12);
    expect(got?.midP).toBeCloseTo(18 / 70, 12);
  });

  test.each(python.tables)(
    'as scipy and whole fractions have it: $k1/$n1 and $k2/$n2',
    ({ k1, n1, k2, n2, p, mid }) => {
      const got = fisher({ successes: k1, trials: n1 }, { successes: k2, trials: n2 });
      expect(got?.p).toBeCloseTo(p, 9);
      expect(got?.midP).toBeCloseTo(mid, 12);
    },
  );

  test.each(python.rates)('as scipy has it: $k of $n against $rate', ({ k, n, rate, p }) => {
    expect(binomialTest({ successes: k, trials: n }, rate)?.p).toBeCloseTo(p, 10);
  });
});

describe('false discovery rate', () => {
  // Y. Benjamini and Y. Hochberg, J. Roy. Stat. Soc. B 57 (1995) 289-300, section 3.2: 15 tests, the first four stand at 0.05 (from memory).
  test('the four of fifteen that stand at 0.05', () => {
    const p = [
      0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.324, 0.4262, 0.5719, 0.6528, 0.759, 1,
    ];
    expect([...falseDiscovery(p)].filter((q) => q <= 0.05)).toHaveLength(4);
  });

  test.each(python.comparisons)('as statsmodels has it', ({ p, adjusted }) => {
    const got = falseDiscovery(p);
    expect(got).toHaveLength(adjusted.length);
    adjusted.forEach((q, k) => {
      expect(got[k]).toBeCloseTo(q, 12);
    });
  });
});

describe('rates of events', () => {
  test.each(python.events)('as scipy has it: $events at $confidence', ({ events, exposure, confidence, low, high }) => {
    const got = eventRate({ events, exposure }, confidence);
    expect((got?.low ?? NaN) * exposure).toBeCloseTo(low * exposure, 7);
    expect((got?.high ?? NaN) * exposure).toBeCloseTo(high * exposure, 7);
  });

  // F. Garwood, Biometrika 28 (1936) 437-442, table: 0, 1 and 10 events at 95 % (from memory).
  test.each([
    [0, 0, 3.69],
    [1, 0.0253, 5.57],
    [10, 4.8, 18.39],
  ])('%i events: %f to %f', (events, low, high) => {
    const got = eventRate({ events, exposure: 1 });
    expect(got?.low).toBeCloseTo(low, low === 0.0253 ? 4 : 2);
    expect(got?.high).toBeCloseTo(high, 2);
  });

  test.each(r.ratios)('ratio as R has it: $a in $ta against $b in $tb', ({ a, ta, b, tb, ratio, low, high }) => {
    const got = rateRatio({ events: a, exposure: ta }, { events: b, exposure: tb });
    for (const [own, theirs] of [
      [got?.ratio, ratio],
      [got?.low, low],
      [got?.high, high],
    ]) {
      const figure = Number(theirs);
      if (Number.isFinite(figure))
        expect(Number(own) / (figure === 0 ? 1 : figure)).toBeCloseTo(figure === 0 ? 0 : 1, 8);
      else expect(own).toBe(figure);
    }
  });
});

describe('quantiles', () => {
  // W. J. Conover, Practical Nonparametric Statistics: of 10 values, the 2nd to the 9th hold the median at 97.9 % (from memory).
  test('median of ten', () => {
    const got = quantileInterval([1, 2, 3, 4, 5, 6, 7, 8, 9, 10], 0.5);
    expect(got).toMatchObject({ low: 2, high: 9, lowPlace: 2, highPlace: 9, quantile: 5.5 });
    expect(got?.coverage).toBeCloseTo(0.979, 3);
  });

  test.each(python.quantiles)('as scipy and numpy have it: $share at $confidence', (theirs) => {
    const got = quantileInterval(theirs.values, theirs.share, theirs.confidence);
    const rising = theirs.values.toSorted((a, b) => a - b);
    expect(got?.quantile).toBeCloseTo(theirs.quantile, 12);
    expect(got?.coverage).toBeCloseTo(theirs.coverage, 10);
    expect(got?.low).toBe(rising[theirs.low - 1] ?? -Infinity);
    expect(got?.high).toBe(rising[theirs.high - 1] ?? Infinity);
  });
});

describe('funnel', () => {
  test.each(python.funnels)(
    'as scipy has it: about $rate at $confidence',
    ({ groups, rate, confidence, ...theirs }) => {
      const counts = groups.map(([successes = NaN, trials = NaN]) => ({ successes, trials }));
      const limits = funnelLimits(counts[0]?.trials ?? NaN, rate, confidence);
      expect(limits?.low).toBeCloseTo(theirs.low, 9);
      expect(limits?.high).toBeCloseTo(theirs.high, 9);
      expect(overDispersion(counts, rate)?.measured).toBeCloseTo(theirs.measured, 9);
    },
  );
});
