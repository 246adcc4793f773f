import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { spread } from '../../lib/calc/delivery/spread';
import type { SpreadBasis } from '../../lib/calc/types';
import {
  changeUncertainty,
  combined,
  conformanceProbability,
  decide,
  deliveryUncertainty,
  meanUncertainty,
  normalShare,
  phaseUncertainty,
  pooledDeviation,
  readingUncertainty,
  repeatUncertainty,
  spreadUncertainty,
  weightedUncertainty,
} from '../../lib/calc/proof/uncertainty';
import { CANNOT_TELL, IN, judge, NOT_MEASURED, OUT } from '../../lib/calc/proof/verdict';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const reals = (list: readonly number[]) => Float64Array.from(list);
const bases: SpreadBasis[] = ['range_mm3', 'range_percent', 'deviation_mm3', 'deviation_percent'];
const unstated = [NaN, -0.01, Infinity];

describe('figures of one element', () => {
  test('a single reading carries its gauge', () => {
    expect(readingUncertainty(0.01)).toBe(0.01);
    expect(readingUncertainty(0)).toBe(0);
  });

  test('a phase error carries both readings, and the shim change as much at the lift rate', () => {
    expect(phaseUncertainty(0.1, 0.1)).toBeCloseTo(0.141421, 6);
    expect(phaseUncertainty(0.3, 0.4)).toBeCloseTo(0.5, 12);
    expect(changeUncertainty(0.5, 0.2)).toBeCloseTo(0.1, 12);
    expect(changeUncertainty(0.5, -0.2)).toBeCloseTo(0.1, 12);
  });

  // 60 cm3 in 1000 strokes: 0.3 cm3 are 0.3 mm3 a stroke; 10 strokes in 1000 are 1 % of 60, 0.6 mm3.
  test('a delivery carries the graduate and the counter', () => {
    expect(deliveryUncertainty(60, 1000, 0.3, 0)).toBeCloseTo(0.3, 12);
    expect(deliveryUncertainty(60, 1000, 0, 10)).toBeCloseTo(0.6, 12);
    expect(deliveryUncertainty(60, 1000, 0.3, 10)).toBeCloseTo(Math.sqrt(0.45), 12);
    expect(deliveryUncertainty(12, 200, 0.3, 0)).toBeCloseTo(1.5, 12);
  });

  test.each(unstated)('a gauge that states %f leaves each of them unstated', (gauge) => {
    expect(readingUncertainty(gauge)).toBeNaN();
    expect(phaseUncertainty(gauge, 0.1)).toBeNaN();
    expect(phaseUncertainty(0.1, gauge)).toBeNaN();
    expect(changeUncertainty(gauge, 0.2)).toBeNaN();
    expect(deliveryUncertainty(60, 1000, gauge, 0)).toBeNaN();
    expect(deliveryUncertainty(60, 1000, 0.3, gauge)).toBeNaN();
    expect(combined(gauge, 0.1)).toBeNaN();
    expect(combined(0.1, gauge)).toBeNaN();
  });

  test('without a lift rate or a draw there is none either', () => {
    expect(changeUncertainty(0.1, NaN)).toBeNaN();
    expect(deliveryUncertainty(NaN, 1000, 0.3, 0)).toBeNaN();
    expect(deliveryUncertainty(60, 0, 0.3, 0)).toBeNaN();
  });
});

describe('scatter of repeats', () => {
  // 59, 60, 61: 2 about 60. 62, 64: 2 about 63. Together 4 over 2 + 1 degrees of freedom.
  test('pooled over two elements', () => {
    expect(pooledDeviation(4, 3)).toBeCloseTo(Math.sqrt(4 / 3), 12);
  });

  test('one draw has none of its own', () => {
    expect(pooledDeviation(0, 0)).toBeNaN();
  });

  test('four repeats halve it, k is 2; not known, it adds nothing', () => {
    expect(repeatUncertainty(0.5, 1)).toBe(1);
    expect(repeatUncertainty(0.5, 4)).toBe(0.5);
    expect(repeatUncertainty(NaN, 1)).toBe(0);
    expect(repeatUncertainty(0.5, 0)).toBeNaN();
    expect(repeatUncertainty(NaN, NaN)).toBeNaN();
    expect(combined(0.3, 0.4)).toBeCloseTo(0.5, 12);
  });
});

describe('figures over the elements', () => {
  const none = reals([0, 0, 0, 0]);

  test('the mean keeps what graduates share, and averages what repeats scatter', () => {
    expect(meanUncertainty(reals([0.4, 0.4, 0.4, 0.4]), none, 4)).toBeCloseTo(0.4, 12);
    expect(meanUncertainty(none, reals([0.4, 0.4, 0.4, 0.4]), 4)).toBeCloseTo(0.2, 12);
    expect(meanUncertainty(reals([0.3, 0.5]), reals([0.6, 0.8]), 2)).toBeCloseTo(Math.sqrt(0.4 ** 2 + 0.5 ** 2), 12);
  });

  const sets = fc.array(fc.tuple(between(10, 200), between(0, 2), between(0, 2)), { minLength: 1, maxLength: 12 });

  test('the mean is the weighted figure of even weights', () => {
    fc.assert(
      fc.property(sets, (set) => {
        const typeB = reals(set.map(([, b]) => b));
        const typeA = reals(set.map(([, , a]) => a));
        const even = reals(set.map(() => 1 / set.length));
        expect(meanUncertainty(typeB, typeA, set.length)).toBeCloseTo(
          weightedUncertainty(even, typeB, typeA, set.length),
          10,
        );
      }),
    );
  });

  test('no share of error that graduates have in common is worse than what is told', () => {
    const weighted = fc.array(fc.tuple(between(-2, 2), between(0, 2), between(0, 2)), { minLength: 1, maxLength: 12 });
    fc.assert(
      fc.property(weighted, between(0, 1), (set, common) => {
        let own = 0;
        let shared = 0;
        for (const [c, b] of set) {
          own += (c * b) ** 2 * (1 - common);
          shared += c * b;
        }
        const at = (place: 0 | 1 | 2) => reals(set.map((figures) => figures[place]));
        const told = weightedUncertainty(at(0), at(1), at(2).fill(0), set.length);
        expect(told).toBeGreaterThanOrEqual(Math.sqrt(own + common * shared ** 2) - 1e-9);
      }),
    );
  });

  const of = (values: readonly number[], typeB: number, typeA: number, basis: SpreadBasis) => {
    const same = (amount: number) => reals(values.map(() => amount));
    return spreadUncertainty(reals(values), same(typeB), same(typeA), values.length, basis, same(7));
  };

  // Mean 60. The range has two elements in it; 63 deviates by 3/4 of its own error and 1/4 of each of the others'.
  test.each<[SpreadBasis, number]>([
    ['range_mm3', 0.4 * Math.SQRT2],
    ['deviation_mm3', 0.4 * Math.sqrt(0.75)],
    ['range_percent', ((100 * 0.4) / 60) * Math.sqrt(2 + (5 / 60) ** 2 / 4)],
    ['deviation_percent', ((100 * 0.4) / 60) * Math.sqrt(0.75 + (3 / 60) ** 2 / 4)],
  ])('graduates that each read to 0.4 mm3 leave the %s open', (basis, expected) => {
    expect(of([63, 58, 59, 60], 0.4, 0, basis)).toBeCloseTo(expected, 10);
    expect(of([63, 58, 59, 60], 0, 0.4, basis)).toBeCloseTo(expected, 10);
  });

  test('elements that read alike leave their spread as open as others', () => {
    expect(of([60, 60, 60], 0.4, 0, 'range_mm3')).toBeCloseTo(0.4 * Math.SQRT2, 12);
    expect(of([60, 60, 60], 0.4, 0, 'deviation_mm3')).toBeCloseTo(0.4 * Math.sqrt(2 / 3), 12);
  });

  test('one element does not spread', () => {
    for (const basis of bases) expect(of([60], 0.4, 0.2, basis)).toBeCloseTo(0, 12);
  });

  test('without every delivery, every uncertainty, an element, or a mean to take percent of, none is told', () => {
    for (const basis of bases) {
      expect(of([60, NaN, 62], 0.4, 0, basis)).toBeNaN();
      expect(of([60, 61], NaN, 0, basis)).toBeNaN();
      expect(of([60, 61], 0.4, NaN, basis)).toBeNaN();
      expect(of([], 0.4, 0, basis)).toBeNaN();
    }
    expect(of([0, 0], 0.4, 0, 'range_percent')).toBeNaN();
    expect(of([0, 0], 0.4, 0, 'range_mm3')).toBeCloseTo(0.4 * Math.SQRT2, 12);
    expect(meanUncertainty(none, none, 0)).toBeNaN();
    expect(meanUncertainty(reals([0.1, NaN]), none, 2)).toBeNaN();
    expect(meanUncertainty(none, reals([0.1, NaN]), 2)).toBeNaN();
  });

  test('weights are how far the spread itself moves', () => {
    const clear = fc.constantFrom([63, 58, 59.5, 60], [71, 62, 60, 61, 68], [40, 52, 51]);
    fc.assert(
      fc.property(clear, fc.nat(), fc.constantFrom(...bases), (values, pick, basis) => {
        const moved = pick % values.length;
        const zeros = reals(values.map(() => 0));
        const single = zeros.map((_, k) => (k === moved ? 1 : 0));
        const told = spreadUncertainty(reals(values), zeros, single, values.length, basis, reals(values));
        const step = 1e-5;
        const at = (by: number) => {
          const list = reals(values.map((q, k) => (k === moved ? q + by : q)));
          return spread(list, list.length, basis);
        };
        expect(told).toBeCloseTo(Math.abs(at(step) - at(-step)) / (2 * step), 5);
      }),
    );
  });
});

describe('decision', () => {
  // Band 1.8 to 2.2, U 0.05: certain from 1.85 to 2.15, out below 1.75 and above 2.25.
  test.each([
    [2, IN],
    [1.85, IN],
    [2.15, IN],
    [1.84, CANNOT_TELL],
    [2.16, CANNOT_TELL],
    [1.75, CANNOT_TELL],
    [2.25, CANNOT_TELL],
    [1.74, OUT],
    [2.26, OUT],
    [NaN, NOT_MEASURED],
  ])('%f in the band from 1.8 to 2.2 with U 0.05', (value, verdict) => {
    expect(decide(value, 1.8, 2.2, 0.05)).toBe(verdict);
  });

  test('a band without an end is nothing to hold a value against', () => {
    expect([decide(2, NaN, NaN, 0.05), decide(2, NaN, NaN, NaN)]).toEqual([NOT_MEASURED, NOT_MEASURED]);
  });

  test('one open end has one limit to keep', () => {
    expect(decide(1e6, 1.8, NaN, 0.05)).toBe(IN);
    expect(decide(1.8, 1.8, NaN, 0.05)).toBe(CANNOT_TELL);
    expect(decide(2.3, NaN, 2.2, 0.05)).toBe(OUT);
  });

  test('a band narrower than 2 U is kept for certain by nothing', () => {
    fc.assert(
      fc.property(between(-100, 100), between(0, 1), between(-3, 3), (low, width, away) => {
        const verdict = decide(low + away, low, low + width, width / 2 + 1e-3);
        expect([CANNOT_TELL, OUT]).toContain(verdict);
      }),
    );
    expect(decide(2, 1.95, 2.05, 0.05)).toBe(IN);
  });

  const limit = fc.oneof(between(-100, 100), fc.constant(NaN));
  const figure = fc.oneof(between(-120, 120), fc.constant(NaN));

  test('without an uncertainty, or with one of 0, it is the plain comparison', () => {
    fc.assert(
      fc.property(figure, limit, limit, fc.constantFrom(0, ...unstated), (value, low, high, expanded) => {
        expect(decide(value, low, high, expanded)).toBe(judge(value, low, high));
      }),
    );
  });

  test('a verdict that is certain stays so with a better gauge, and is the plain one', () => {
    fc.assert(
      fc.property(figure, limit, limit, between(0, 30), between(0, 1), (value, low, high, expanded, share) => {
        const verdict = decide(value, low, high, expanded);
        fc.pre(verdict === IN || verdict === OUT);
        expect(decide(value, low, high, share * expanded)).toBe(verdict);
        expect(judge(value, low, high)).toBe(verdict);
      }),
    );
  });
});

describe('probability that the band is kept', () => {
  test('shares below and above add up to 1, and grow with z', () => {
    fc.assert(
      fc.property(between(-8, 8), between(0.01, 2), (z, more) => {
        expect(normalShare(z) + normalShare(-z)).toBeCloseTo(1, 6);
        expect(normalShare(z + more)).toBeGreaterThanOrEqual(normalShare(z) - 1.5e-7);
      }),
    );
    expect(normalShare(NaN)).toBeNaN();
    expect(normalShare(Infinity)).toBe(1);
    expect(normalShare(-Infinity)).toBe(0);
  });

  test('on a limit half, in the middle of a band of 2 U about 95 %, of a wide one all', () => {
    expect(conformanceProbability(2.2, NaN, 2.2, 0.05)).toBeCloseTo(0.5, 6);
    expect(conformanceProbability(2, 1.95, 2.05, 0.05)).toBeCloseTo(0.9545, 4);
    expect(conformanceProbability(2, 1, 3, 0.05)).toBeCloseTo(1, 6);
    expect(conformanceProbability(2, NaN, NaN, 0.05)).toBe(1);
  });

  test('an exact reading is in or out; one not made, or without U, has none', () => {
    expect(conformanceProbability(2, 1.8, 2.2, 0)).toBe(1);
    expect(conformanceProbability(2.3, 1.8, 2.2, 0)).toBe(0);
    expect(conformanceProbability(NaN, 1.8, 2.2, 0.05)).toBeNaN();
    for (const expanded of unstated) expect(conformanceProbability(2, 1.8, 2.2, expanded)).toBeNaN();
  });

  test('is at least 95 % where the verdict is in, at most 5 % where it is out', () => {
    fc.assert(
      fc.property(between(-120, 120), between(-100, 100), between(0, 50), between(1e-3, 30), (value, low, width, U) => {
        const verdict = decide(value, low, low + width, U);
        const share = conformanceProbability(value, low, low + width, U);
        if (verdict === IN) expect(share).toBeGreaterThan(0.95);
        if (verdict === OUT) expect(share).toBeLessThan(0.05);
        expect(share).toBeGreaterThanOrEqual(0);
        expect(share).toBeLessThanOrEqual(1);
      }),
    );
  });
});
