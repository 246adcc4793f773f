import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { mean, spread } from '../../lib/calc/delivery/spread';
import type { SpreadBasis } from '../../lib/calc/types';

const bases: SpreadBasis[] = ['range_mm3', 'range_percent', 'deviation_mm3', 'deviation_percent'];
const deliveries = fc.array(fc.double({ min: 1, max: 500, noNaN: true }), { minLength: 1, maxLength: 12 });
const of = (list: readonly number[], basis: SpreadBasis) => spread(Float64Array.from(list), list.length, basis);

describe('spread over the elements', () => {
  // Mean 60; 63 is 3 above it, 58 is 2 below it.
  test.each<[SpreadBasis, number]>([
    ['range_mm3', 5],
    ['range_percent', (100 * 5) / 60],
    ['deviation_mm3', 3],
    ['deviation_percent', 5],
  ])('on the basis %s', (basis, expected) => {
    expect(of([63, 58, 59, 60], basis)).toBeCloseTo(expected, 12);
  });

  test('only the first values count', () => {
    expect(spread(Float64Array.of(60, 62, 999), 2, 'range_mm3')).toBe(2);
    expect(mean(Float64Array.of(60, 62, 999), 2)).toBe(61);
  });

  test('nothing delivered by any element is no spread, nothing measured is none told', () => {
    for (const basis of bases) {
      expect(of([0, 0, 0], basis)).toBe(0);
      expect(of([], basis)).toBeNaN();
    }
  });

  test('the largest deviation lies between half the range and the range', () => {
    fc.assert(
      fc.property(deliveries, (list) => {
        const range = of(list, 'range_mm3');
        const deviation = of(list, 'deviation_mm3');
        expect(deviation).toBeGreaterThanOrEqual(range / 2 - 1e-9);
        expect(deviation).toBeLessThanOrEqual(range + 1e-9);
      }),
    );
  });

  test('in mm3 it does not change when every element delivers more, in percent when every one delivers as much more', () => {
    fc.assert(
      fc.property(deliveries, fc.double({ min: 1, max: 3, noNaN: true }), (list, more) => {
        for (const basis of ['range_mm3', 'deviation_mm3'] as const) {
          expect(
            of(
              list.map((q) => q + more),
              basis,
            ),
          ).toBeCloseTo(of(list, basis), 8);
        }
        for (const basis of ['range_percent', 'deviation_percent'] as const) {
          expect(
            of(
              list.map((q) => q * more),
              basis,
            ),
          ).toBeCloseTo(of(list, basis), 8);
        }
      }),
    );
  });

  test('does not care which element is which', () => {
    fc.assert(
      fc.property(deliveries, fc.constantFrom(...bases), (list, basis) => {
        expect(of(list.toReversed(), basis)).toBeCloseTo(of(list, basis), 9);
      }),
    );
  });
});
