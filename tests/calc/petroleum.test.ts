import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { volumeAtReference, volumeCorrection } from '../../lib/calc/delivery/petroleum';

/** Densities [kg/m3] inside one group of constants each: gasolines, those between, jet fuels, fuel oils. */
const groups = [
  [653, 770],
  [770.001, 787.499],
  [787.5, 838.5],
  [838.501, 1075],
] as const;
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const density = between(653, 1075);
/** In the table for every density. */
const temperature = between(-18, 90);

describe('volume correction factor', () => {
  test('is 1 at 15 deg C', () => {
    fc.assert(
      fc.property(density, (rho) => {
        expect(volumeCorrection(rho, 15)).toBe(1);
      }),
    );
  });

  test('falls as the fluid warms: a warm volume is smaller at 15 deg C', () => {
    fc.assert(
      fc.property(density, temperature, between(0.1, 20), (rho, cold, more) => {
        fc.pre(cold + more <= 90);
        expect(volumeCorrection(rho, cold + more)).toBeLessThan(volumeCorrection(rho, cold));
      }),
    );
  });

  test.each(groups)('between %f and %f kg/m3 a lighter fluid expands more', (least, most) => {
    fc.assert(
      fc.property(between(least, most), between(least, most), (one, other) => {
        fc.pre(Math.abs(one - other) > 0.01);
        const light = Math.min(one, other);
        const heavy = Math.max(one, other);
        expect(volumeCorrection(light, 40)).toBeLessThan(volumeCorrection(heavy, 40));
      }),
    );
  });

  // The groups were fitted apart; the standard promises no more than its four decimals.
  test.each([770, 787.5, 838.5])('jumps by less than 1e-4 at %f kg/m3 on a bench', (rho) => {
    for (const at of [-10, 0, 25, 40]) {
      const step = volumeCorrection(rho + 1e-6, at) - volumeCorrection(rho - 1e-6, at);
      expect(Math.abs(step)).toBeLessThan(1e-4);
    }
  });

  test.each([
    [652.9, 20],
    [1075.1, 20],
    [825, -18.1],
    [825, 150.1],
    [820, 120.1],
    [770, 90.1],
    [NaN, 20],
    [825, NaN],
  ])('is not told for %f kg/m3 at %f deg C', (rho, at) => {
    expect(volumeCorrection(rho, at)).toBeNaN();
  });

  test.each([
    [653, -18],
    [1075, 150],
    [823.9, 120],
    [824, 150],
    [778.4, 90],
    [778.5, 120],
  ])('is told at the corner %f kg/m3, %f deg C', (rho, at) => {
    expect(volumeCorrection(rho, at)).toBeGreaterThan(0);
  });
});

describe('volume at the reference temperature', () => {
  const volume = between(0.1, 500);

  test('there and back is the volume', () => {
    fc.assert(
      fc.property(volume, density, temperature, temperature, (amount, rho, at, reference) => {
        const there = volumeAtReference(amount, rho, at, reference);
        expect(volumeAtReference(there, rho, reference, at) / amount).toBeCloseTo(1, 12);
      }),
    );
  });

  test('by way of a third temperature makes no difference', () => {
    fc.assert(
      fc.property(density, temperature, temperature, temperature, (rho, first, second, third) => {
        const detour = volumeAtReference(volumeAtReference(60, rho, first, second), rho, second, third);
        expect(detour).toBeCloseTo(volumeAtReference(60, rho, first, third), 10);
      }),
    );
  });

  test('a draw colder than the reference would fill more there', () => {
    expect(volumeAtReference(60, 825, 30, 40)).toBeGreaterThan(60);
    expect(volumeAtReference(60, 825, 50, 40)).toBeLessThan(60);
    expect(volumeAtReference(60, 825, 40, 40)).toBe(60);
  });

  test('is not told without a temperature, a density or a volume', () => {
    expect(volumeAtReference(60, 825, NaN, 40)).toBeNaN();
    expect(volumeAtReference(60, 825, 40, NaN)).toBeNaN();
    expect(volumeAtReference(60, NaN, 40, 40)).toBeNaN();
    expect(volumeAtReference(NaN, 825, 40, 40)).toBeNaN();
  });
});
