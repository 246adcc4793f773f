import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { concordance } from '../../lib/stats/kendall';
import { mannKendall } from '../../lib/stats/mannKendall';
import { MOST_POINTS, theilSen } from '../../lib/stats/theilSen';

const points = fc.array(fc.record({ x: fc.integer({ min: 0, max: 30 }), y: fc.integer({ min: -50, max: 50 }) }), {
  minLength: 4,
  maxLength: 40,
});

/** Every order of the values; equal ones count as different. */
const orders = (values: readonly number[]): number[][] =>
  values.length === 0
    ? [[]]
    : values.flatMap((first, k) => orders(values.toSpliced(k, 1)).map((rest) => [first, ...rest]));

describe("Kendall's S", () => {
  test('has the variance that all orders of y give, with equal values in x and in y', () => {
    const [x, y] = [Float64Array.of(1, 1, 1, 2, 3, 3), [5, 6, 6, 6, 7, 7]];
    const all = orders(y).map((order) => concordance(x, Float64Array.from(order)).s);
    const { variance, tied } = concordance(x, Float64Array.from(y));
    expect(tied).toBe(true);
    expect(variance).toBeCloseTo(all.reduce((sum, s) => sum + s * s, 0) / all.length, 9);
  });
});

describe('robust line', () => {
  test('moves, turns and scales with the points', () => {
    fc.assert(
      fc.property(
        points,
        fc.integer({ min: -5, max: 5 }),
        fc.integer({ min: -90, max: 90 }),
        fc.integer({ min: 1, max: 9 }),
        (drawn, tilt, lift, scale) => {
          const x = drawn.map((point) => point.x);
          const line = theilSen(
            x,
            drawn.map(({ y }) => y),
          );
          const moved = theilSen(
            x,
            drawn.map((point) => scale * point.y + tilt * point.x + lift),
          );
          expect(moved === null).toBe(line === null);
          if (line === null || moved === null) return;
          expect(moved.slope).toBeCloseTo(scale * line.slope + tilt, 9);
          expect(moved.intercept).toBeCloseTo(scale * line.intercept + lift, 9);
          expect(line.low).toBeLessThanOrEqual(line.slope);
          expect(line.high).toBeGreaterThanOrEqual(line.slope);
        },
      ),
    );
  });

  test('upside down it has the opposite slope and interval', () => {
    fc.assert(
      fc.property(points, (drawn) => {
        const x = drawn.map((point) => point.x);
        const up = theilSen(
          x,
          drawn.map(({ y }) => y),
        );
        const down = theilSen(
          x,
          drawn.map(({ y }) => 0 - y),
        );
        if (up === null || down === null) return;
        expect(down.slope).toBeCloseTo(-up.slope, 12);
        expect(down.low).toBe(0 - up.high);
        expect(down.high).toBe(0 - up.low);
      }),
    );
  });

  test('a third of wild points does not bend it', () => {
    const x = Array.from({ length: 30 }, (_, k) => k);
    const y = x.map((at) => (at % 4 === 1 ? 1e6 : 2 * at + 1));
    expect(theilSen(x, y)?.slope).toBeCloseTo(2, 9);
  });

  test('narrows with points and widens with confidence', () => {
    const line = (n: number, confidence: number) => {
      const x = Array.from({ length: n }, (_, k) => k);
      const got = theilSen(
        x,
        x.map((at) => at / 2 + ((at * 7) % 5)),
        confidence,
      );
      return (got?.high ?? NaN) - (got?.low ?? NaN);
    };
    expect(line(80, 0.95)).toBeLessThan(line(20, 0.95));
    expect(line(20, 0.99)).toBeGreaterThan(line(20, 0.8));
  });

  test('states what it cannot tell', () => {
    expect(theilSen([], [])).toBeNull();
    expect(theilSen([1, 2], [1])).toBeNull();
    expect(theilSen([3, 3, 3], [1, 2, 3])).toBeNull();
    expect(theilSen([1, 2, 3], [1, 2, 3], 1)).toBeNull();
    expect(
      theilSen(
        new Float64Array(MOST_POINTS + 1).map((_, k) => k),
        new Float64Array(MOST_POINTS + 1),
      ),
    ).toBeNull();
    expect(theilSen([1, 2, NaN, 4], [5, 7, 0, Infinity])).toMatchObject({ slope: 2, intercept: 3, n: 2 });
    expect(theilSen([1, 2], [5, 7])).toMatchObject({ low: -Infinity, high: Infinity });
  });
});

describe('test for a trend', () => {
  const series = fc.array(fc.integer({ min: 0, max: 60 }), { minLength: 3, maxLength: 50 });

  test('looks at the order of the values alone; backwards it has the opposite sign', () => {
    fc.assert(
      fc.property(series, (values) => {
        const got = mannKendall(values);
        const bent = mannKendall(values.map((value) => Math.exp(value / 9)));
        const back = mannKendall(values.toReversed());
        expect(bent).toEqual(got);
        expect(back?.s).toBe(0 - (got?.s ?? NaN));
        expect(back?.p).toBeCloseTo(got?.p ?? NaN, 12);
        expect(got?.p).toBeLessThanOrEqual(1);
        expect(got?.p).toBeGreaterThan(0);
      }),
    );
  });

  test('counted out over all orders of five and six', () => {
    for (const values of [
      [1, 2, 3, 4, 5],
      [1, 2, 3, 4, 5, 6],
    ]) {
      const all = orders(values).map((order) => mannKendall(order));
      const mean = all.reduce((sum, got) => sum + (got?.s ?? NaN) ** 2, 0) / all.length;
      expect(all[0]?.variance).toBeCloseTo(mean, 9);
      for (const got of all.slice(0, 40)) {
        const asFar = all.filter((other) => Math.abs(other?.s ?? NaN) >= Math.abs(got?.s ?? NaN)).length;
        expect(got?.p).toBeCloseTo(asFar / all.length, 9);
      }
    }
  });

  test('the normal p meets the exact one where they change over', () => {
    const values = (n: number) => Array.from({ length: n }, (_, k) => ((k * 17) % 41) + k / 2);
    const [exact, normal] = [mannKendall(values(40)), mannKendall(values(41))];
    expect([exact?.by, normal?.by]).toEqual(['exact', 'normal']);
    expect(Math.abs((exact?.p ?? NaN) - (normal?.p ?? NaN))).toBeLessThan(0.1);
  });

  test('states what it cannot tell', () => {
    expect(mannKendall([1, 2])).toBeNull();
    expect(mannKendall([1, NaN, 2, Infinity])).toBeNull();
    expect(mannKendall([1, NaN, 2, 3])?.n).toBe(3);
    expect(mannKendall([4, 4, 4, 4])).toEqual({ n: 4, s: 0, variance: 0, z: 0, p: 1, by: 'normal' });
  });
});
