import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { GaugeBook } from '../../lib/calc/proof/gauges';
import type { Gauge } from '../../lib/calc/types';

/** Calibrated on day 100 and 200, and on 400 after some weeks out of date. */
const graduate: Gauge = {
  gauge: 3,
  calibrated_day: [100, 200, 400],
  due_day: [300, 350, 500],
  uncertainty: [0.3, 0.2, NaN],
  unit: ['cm3', 'cm3', 'cm3'],
};
const book = new GaugeBook(new Map([[3, graduate]]));

describe('the calibration in force', () => {
  test.each([
    [99, 'without calibration'],
    [100, 'in date'],
    [299, 'in date'],
    // The second calibration replaced the first, so its date is the one that counts.
    [300, 'in date'],
    [349, 'in date'],
    [350, 'past its date'],
    [399, 'past its date'],
    [400, 'in date'],
    [500, 'past its date'],
  ])('on day %i it is %s', (day, state) => {
    expect(book.state(3, day)).toBe(state);
  });

  test('is the latest on or before the day, whose uncertainty counts', () => {
    expect([99, 100, 199, 200, 399].map((day) => book.uncertainty(3, day, 'cm3'))).toEqual([NaN, 0.3, 0.3, 0.2, 0.2]);
  });

  test('that states no uncertainty leaves none of an older one', () => {
    expect(book.uncertainty(3, 450, 'cm3')).toBeNaN();
  });

  test('in another unit than the reading tells nothing of it', () => {
    expect(book.uncertainty(3, 250, 'cam_deg')).toBeNaN();
    expect(book.uncertainty(3, 250, 'mm')).toBeNaN();
  });

  test('without a due day never runs out', () => {
    const open = new GaugeBook(new Map([[0, { ...graduate, due_day: [NaN, NaN, NaN] }]]));
    expect(open.state(0, 9999)).toBe('in date');
  });

  test('agrees with a search through all calibrations', () => {
    const calibrations = fc.uniqueArray(fc.integer({ min: 0, max: 60 }), { minLength: 0, maxLength: 6 });
    fc.assert(
      fc.property(calibrations, fc.integer({ min: 0, max: 70 }), fc.integer({ min: 1, max: 30 }), (days, day, term) => {
        const calibrated = days.toSorted((a, b) => a - b);
        const one: Gauge = {
          gauge: 0,
          calibrated_day: calibrated,
          due_day: calibrated.map((start) => start + term),
          uncertainty: calibrated,
          unit: calibrated.map(() => 'mm'),
        };
        const asked = new GaugeBook(new Map([[0, one]]));
        const latest = Math.max(...days.filter((start) => start <= day));
        expect(asked.uncertainty(0, day, 'mm')).toBe(latest === -Infinity ? NaN : latest);
        const expected = day >= latest + term ? 'past its date' : 'in date';
        expect(asked.state(0, day)).toBe(latest === -Infinity ? 'without calibration' : expected);
      }),
    );
  });
});

test('a gauge that the log does not list tells nothing, and nothing is held against it', () => {
  expect(book.state(-1, 250)).toBe('not told');
  expect(book.uncertainty(7, 250, 'cm3')).toBeNaN();
});
