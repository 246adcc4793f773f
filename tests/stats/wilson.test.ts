import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { wilson } from '../../lib/stats/wilson';

const counts = fc
  .integer({ min: 1, max: 5000 })
  .chain((trials) => fc.tuple(fc.integer({ min: 0, max: trials }), fc.constant(trials)));

describe('Wilson score interval', () => {
  test('holds the share, within 0 to 1', () => {
    fc.assert(
      fc.property(counts, ([k, n]) => {
        const { low, high } = wilson(k, n);
        expect(low).toBeGreaterThanOrEqual(0);
        expect(high).toBeLessThanOrEqual(1);
        expect(low).toBeLessThanOrEqual(k / n);
        expect(high).toBeGreaterThanOrEqual(k / n);
        expect(high).toBeGreaterThan(low);
      }),
    );
  });

  test('counting failures instead of successes mirrors it', () => {
    fc.assert(
      fc.property(counts, ([k, n]) => {
        const { low, high } = wilson(k, n);
        const failures = wilson(n - k, n);
        expect(failures.low).toBeCloseTo(1 - high, 12);
        expect(failures.high).toBeCloseTo(1 - low, 12);
      }),
    );
  });

  test('ten times as many of both is narrower; more confidence is wider', () => {
    fc.assert(
      fc.property(counts, ([k, n]) => {
        const width = ({ low, high }: { low: number; high: number }) => high - low;
        expect(width(wilson(10 * k, 10 * n))).toBeLessThan(width(wilson(k, n)));
        expect(width(wilson(k, n, 2.6))).toBeGreaterThan(width(wilson(k, n)));
      }),
    );
  });

  test.each([
    [1, 0],
    [-1, 5],
    [6, 5],
    [1.5, 5],
    [NaN, 5],
  ])('%f of %f is no proportion', (k, n) => {
    expect(() => wilson(k, n)).toThrow(RangeError);
  });
});
