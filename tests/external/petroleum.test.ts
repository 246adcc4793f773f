import { describe, expect, test } from 'vitest';
import { volumeAtReference, volumeCorrection } from '../../lib/calc/delivery/petroleum';

// Published worked sheet of table 54B (R, read): 992.0 kg/m3 at 36 deg C.
test('992.0 kg/m3 at 36 deg C: 0.9857', () => {
  expect(volumeCorrection(992, 36).toFixed(4)).toBe('0.9857');
});

// Calibration fluid, computed from the formula by another program (C).
test.each([
  [20, 0.99563],
  [25, 0.99124],
  [30, 0.98685],
  [40, 0.97803],
])('825 kg/m3 at %i deg C: %f', (at, expected) => {
  expect(Math.abs(volumeCorrection(825, at) - expected)).toBeLessThan(6e-6);
});

/** Expansion at 15 deg C [1/K], got back from a factor: a dT solves 0.8 x^2 + x + ln VCF = 0. */
function expansionFrom(rho: number, at: number): number {
  const rise = (Math.sqrt(1 - 3.2 * Math.log(volumeCorrection(rho, at))) - 1) / 1.6;
  return rise / (at - 15);
}

// Constants of ASTM D1250-80 / API MPMS 11.1, table 54B, as in public code (R2, a second-hand copy); the expansions in 1e-4 / K
// computed from them by another program (C).
describe('constants of the groups of densities', () => {
  test.each([
    [720, 12.77698302, '346.4228 and 0.4388'],
    [780, 10.42403669, 'between: -0.00336312 + 2680.3206 / rho^2'],
    [770, 11.54155507, '346.4228 and 0.4388'],
    [771, 11.45856669, 'between'],
    [787, 9.64382022, 'between'],
    [788, 9.57480546, '594.5418'],
    [838, 8.4663137, '594.5418'],
    [839, 8.4508719, '186.9696 and 0.48618'],
    [815, 8.95090971, '594.5418'],
    [830, 8.63030629, '594.5418'],
    [850, 8.30757924, '186.9696 and 0.48618'],
    [992, 6.80098205, '186.9696 and 0.48618'],
  ])('%f kg/m3 expands by %f e-4 / K (%s)', (rho, expected) => {
    for (const at of [-5, 25, 40, 80]) expect(1e4 * expansionFrom(rho, at)).toBeCloseTo(expected, 7);
  });

  test.each([
    [780, 40, 0.973747],
    [780, 5, 1.010391],
    [720, 40, 0.967772],
    [850, 30, 0.987493],
  ])('%f kg/m3 at %f deg C: %f', (rho, at, expected) => {
    expect(volumeCorrection(rho, at)).toBeCloseTo(expected, 6);
  });
});

// ISO 4113 (KS R ISO 4113:2012, table 1; R2, a second-hand copy): density at 15 deg C from 820 to 830 kg/m3. A sheet that names the
// fluid alone thus leaves the correction open by no more than this; the factors computed by another program (C).
test('densities that calibration fluid may have, and what they leave open', () => {
  expect(volumeCorrection(820, 40)).toBeCloseTo(0.977755, 6);
  expect(volumeCorrection(830, 40)).toBeCloseTo(0.978291, 6);
  const light = volumeAtReference(60, 820, 30, 40);
  const heavy = volumeAtReference(60, 830, 30, 40);
  expect((light - heavy) / heavy).toBeCloseTo((0.986686 / 0.977755) * (0.978291 / 0.987006) - 1, 5);
  expect(Math.abs(light - heavy) / heavy).toBeLessThan(3e-4);
});
