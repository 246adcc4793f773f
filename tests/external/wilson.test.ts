import { describe, expect, test } from 'vitest';
import { wilson, Z_95 } from '../../lib/stats/wilson';

// R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, table I, method 3 (from memory; computed with scipy 1.17.1 as well).
describe('Wilson score interval at 95 %', () => {
  test.each([
    [81, 263, 0.2553, 0.3662],
    [15, 148, 0.0624, 0.1605],
    [0, 20, 0, 0.1611],
    [1, 29, 0.0061, 0.1718],
  ])('%i of %i: %f to %f', (k, n, low, high) => {
    expect(wilson(k, n).low).toBeCloseTo(low, 4);
    expect(wilson(k, n).high).toBeCloseTo(high, 4);
  });

  // NIST/SEMATECH e-Handbook 7.2.4.1 (from memory; computed with scipy 1.17.1 as well).
  test('26 of 200: 0.0903 to 0.1837', () => {
    expect(wilson(26, 200).low).toBeCloseTo(0.0903, 4);
    expect(wilson(26, 200).high).toBeCloseTo(0.1837, 4);
  });

  // By definition: both ends solve (p - share)^2 = z^2 p (1 - p) / n.
  test('its ends are where the score test just rejects', () => {
    const { low, high } = wilson(7, 40);
    for (const p of [low, high]) expect((p - 7 / 40) ** 2).toBeCloseTo((Z_95 ** 2 * p * (1 - p)) / 40, 12);
  });

  // By definition of the quantile: the area under the normal density from -z to z, by Simpson's rule.
  test('95 % of the normal distribution lies within its factor', () => {
    const steps = 2000;
    const width = Z_95 / steps;
    const density = (x: number) => Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI);
    let area = density(0) + density(Z_95);
    for (let k = 1; k < steps; k++) area += (k % 2 === 1 ? 4 : 2) * density(k * width);
    expect((2 * area * width) / 3).toBeCloseTo(0.95, 12);
  });
});
