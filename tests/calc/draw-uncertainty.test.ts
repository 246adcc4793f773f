import { describe, expect, test } from 'vitest';
import { calibrate } from '../../lib/calc/batch';
import { code } from '../../lib/calc/layout';
import type { Gauge } from '../../lib/calc/types';
import { type Draw, readings, rows, sixElements, specsOf, testPoint } from './build';

const CANNOT_TELL = code('verdict', 'cannot tell');
const IN = code('verdict', 'in');

/** A graduate good for 0.3 cm3, calibrated from day 0 on. */
const graduate: Gauge = { gauge: 0, calibrated_day: [0], due_day: [400], uncertainty: [0.3], unit: ['cm3'] };
const gauges = new Map([[0, graduate]]);
const two = sixElements({ elements: 2, firing_order: [1, 2], test_points: [testPoint()] });

/** Draws over 500 strokes of one element, by volume [cm3]. */
const drawn = (element: number, ...volumes: readonly number[]): Draw[] =>
  volumes.map((cm3, k) => ({ element, repeat: k + 1, cm3, strokes: 500, gauge: 0 }));

const calibrated = (...draws: readonly Draw[]) => calibrate(specsOf(two), readings({ draws: [...draws] }), gauges);

describe('uncertainty of deliveries, from the draws to the result', () => {
  test('the graduate alone where nothing was drawn twice: 0.3 cm3 over 500 strokes is 0.6 mm3', () => {
    const { deliveries } = calibrated(...drawn(1, 30), ...drawn(2, 30));
    expect(rows(deliveries).map((row) => row.uncertainty_mm3)).toEqual([
      expect.closeTo(0.6, 9),
      expect.closeTo(0.6, 9),
    ]);
  });

  test('repeats add their scatter, pooled over the elements', () => {
    // Element 1: 59, 60 and 61 mm3, 2 about its mean; element 2: 62 and 64, 2 about its mean. s^2 = 4 / 3 over 3 degrees.
    const { deliveries } = calibrated(...drawn(1, 29.5, 30, 30.5), ...drawn(2, 31, 32));
    const scatter = (repeats: number) => (2 * Math.sqrt(4 / 3)) / Math.sqrt(repeats);
    expect(rows(deliveries).map((row) => row.uncertainty_mm3)).toEqual([
      expect.closeTo(Math.hypot(0.6, scatter(3)), 9),
      expect.closeTo(Math.hypot(0.6, scatter(2)), 9),
    ]);
  });

  test('a mean nearer to its limit than that is in by comparison, and can not be decided', () => {
    // The band ends at 62; the mean's own uncertainty is that of the graduate, 0.6 mm3.
    const { points } = calibrated(...drawn(1, 30.85), ...drawn(2, 30.85));
    expect(rows(points)[0]).toMatchObject({ verdict: IN, decision: CANNOT_TELL });
    expect(rows(points)[0]?.mean_uncertainty_mm3).toBeCloseTo(0.6, 9);
  });
});
