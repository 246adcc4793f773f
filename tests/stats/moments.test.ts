import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { fitLine } from '../../lib/stats/line';
import { moments } from '../../lib/stats/moments';

const reading = fc.integer({ min: -1000, max: 1000 }).map((k) => k / 8);

describe('mean and standard deviation', () => {
  test('of equal readings are exactly the reading and 0', () => {
    fc.assert(
      fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), fc.integer({ min: 2, max: 40 }), (value, n) => {
        const told = moments(new Float64Array(n).fill(value));
        expect(told.mean).toBeCloseTo(value, 12);
        expect(told.squares).toBe(0);
        expect(told.sd).toBe(0);
      }),
    );
  });

  test('a large level moves the mean and leaves the scatter', () => {
    fc.assert(
      fc.property(
        fc.array(reading, { minLength: 2, maxLength: 30 }),
        fc.integer({ min: -1e9, max: 1e9 }),
        (values, by) => {
          const plain = moments(values);
          const moved = moments(values.map((value) => value + by));
          expect(moved.mean).toBeCloseTo(plain.mean + by, 5);
          expect(moved.sd).toBeCloseTo(plain.sd, 6);
        },
      ),
    );
  });

  test('what was not read is left out', () => {
    expect(moments([NaN, 2, Infinity, 4])).toEqual({ n: 2, mean: 3, squares: 2, sd: Math.SQRT2 });
    expect(moments([NaN])).toEqual({ n: 0, mean: NaN, squares: NaN, sd: NaN });
    expect(moments([7])).toEqual({ n: 1, mean: 7, squares: 0, sd: NaN });
  });
});

describe('straight line', () => {
  test('points on a line give that line, whatever its level', () => {
    fc.assert(
      fc.property(fc.uniqueArray(reading, { minLength: 3, maxLength: 20 }), reading, reading, (x, a, b) => {
        const line = fitLine(
          x,
          x.map((at) => a + b * at),
        );
        expect(line?.slope).toBeCloseTo(b, 8);
        expect(line?.intercept).toBeCloseTo(a, 6);
        expect(line?.residualSd).toBeCloseTo(0, 6);
      }),
    );
  });

  test('no scatter of y is left that goes along with x', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(reading, reading), { minLength: 3, maxLength: 20 }), (pairs) => {
        const [x, y] = [pairs.map(([a]) => a), pairs.map(([, b]) => b)];
        const line = fitLine(x, y);
        fc.pre(line !== null);
        const rest = y.map((at, k) => at - line.intercept - line.slope * (x[k] ?? NaN));
        expect(fitLine(x, rest)?.slope).toBeCloseTo(0, 6);
        expect(moments(rest).mean).toBeCloseTo(0, 6);
      }),
    );
  });

  test('tells nothing for two pairs, or where x stays', () => {
    expect(fitLine([1, 2], [3, 5])).toBeNull();
    expect(fitLine([1, 2, NaN], [3, 5, 7])).toBeNull();
    expect(fitLine([4, 4, 4], [1, 2, 3])).toBeNull();
    expect(fitLine([1, 2, 3], [5, 5, 5])?.r2).toBeNaN();
  });
});
