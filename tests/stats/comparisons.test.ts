import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { falseDiscovery } from '../../lib/stats/falseDiscovery';
import { quantileInterval } from '../../lib/stats/quantiles';

describe('false discovery rate', () => {
  const chances = fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { maxLength: 40 });

  test('at least the raw p, at most 1, in the order of the raw ones', () => {
    fc.assert(
      fc.property(chances, (p) => {
        const q = falseDiscovery(p);
        p.forEach((raw, k) => {
          expect(q[k]).toBeGreaterThanOrEqual(raw);
          expect(q[k]).toBeLessThanOrEqual(1);
          p.forEach((other, j) => {
            if (raw < other) expect(q[k]).toBeLessThanOrEqual(q[j] ?? NaN);
          });
        });
      }),
    );
  });

  test('what is at or below the level is what the step-up rule picks', () => {
    fc.assert(
      fc.property(chances, fc.double({ min: 0.01, max: 0.5, noNaN: true }), (p, level) => {
        const rising = p.toSorted((a, b) => a - b);
        const last = rising.findLastIndex((raw, k) => raw <= ((k + 1) * level) / p.length);
        const called = [...falseDiscovery(p)].filter((q) => q <= level * (1 + 1e-12)).length;
        expect(called).toBe(last + 1);
      }),
    );
  });

  test('does not count what was not tested, and keeps its place', () => {
    expect([...falseDiscovery([NaN, 0.04, 2, 0.01, -1])]).toEqual([NaN, 0.04, NaN, 0.02, NaN]);
    expect(falseDiscovery([])).toHaveLength(0);
  });
});

describe('quantile with an interval between values', () => {
  const series = fc.array(fc.double({ min: -1e3, max: 1e3, noNaN: true }), { minLength: 1, maxLength: 200 });
  const shares = fc.double({ min: 0.02, max: 0.98, noNaN: true });

  test('its ends are values of the series around the quantile, and its coverage is what was asked for', () => {
    fc.assert(
      fc.property(series, shares, (values, share) => {
        const got = quantileInterval(values, share);
        expect(got).not.toBeNull();
        if (got === null) return;
        expect(got.low).toBeLessThanOrEqual(got.quantile + 1e-9);
        expect(got.high).toBeGreaterThanOrEqual(got.quantile - 1e-9);
        expect(got.coverage).toBeGreaterThanOrEqual(0.95 - 1e-12);
        if (got.low !== -Infinity) expect(values).toContain(got.low);
        if (got.high !== Infinity) expect(values).toContain(got.high);
      }),
    );
  });

  test('turned upside down it is turned upside down', () => {
    fc.assert(
      fc.property(series, shares, (values, share) => {
        const up = quantileInterval(values, share);
        const down = quantileInterval(
          values.map((value) => -value),
          1 - share,
        );
        expect(down?.low).toBe(up === null ? null : 0 - up.high);
        expect(down?.high).toBe(up === null ? null : 0 - up.low);
        expect(down?.coverage).toBeCloseTo(up?.coverage ?? NaN, 9);
      }),
    );
  });

  test('five values do not bound a median at 95 %, six do', () => {
    const five = quantileInterval([5, 3, 1, 4, 2], 0.5);
    expect(five).toEqual({
      quantile: 3,
      low: -Infinity,
      high: Infinity,
      lowPlace: NaN,
      highPlace: NaN,
      coverage: 1,
      n: 5,
    });
    const six = quantileInterval([5, 3, 1, 4, 2, 6], 0.5);
    expect(six).toMatchObject({ low: 1, high: 6 });
    expect(six?.coverage).toBeCloseTo(1 - 2 / 64, 12);
  });

  test('states what it cannot tell', () => {
    expect(quantileInterval([], 0.5)).toBeNull();
    expect(quantileInterval([NaN, Infinity], 0.5)).toBeNull();
    expect(quantileInterval([1, NaN, 3], 0.5)?.n).toBe(2);
    for (const share of [0, 1, NaN]) expect(quantileInterval([1, 2, 3], share)).toBeNull();
    expect(quantileInterval([1, 2, 3], 0.5, 1)).toBeNull();
  });
});
