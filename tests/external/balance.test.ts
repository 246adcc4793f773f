import { describe, expect, test } from 'vitest';
import { BalancePlanner, type BalanceLimits } from '../../lib/calc/delivery/balance';
import { gainFromGeometry, perDegreeFromRack } from '../../lib/calc/delivery/gain';

function planFor(deliveries: readonly number[], limits: BalanceLimits) {
  const rotation = new Float64Array(deliveries.length);
  const after = new Float64Array(deliveries.length);
  const gains = { perDegree: 2, perRackMm: NaN };
  const plan = new BalancePlanner(rotation, after).plan(
    Float64Array.from(deliveries),
    deliveries.length,
    limits,
    gains,
  );
  return { ...plan, after: [...after] };
}

// TM 9-2815-237-34 (R): no element may differ from the mean of all by more than 6 mm3 a stroke. The manual's rule for a
// rotary pump, here as arithmetic; the deliveries are ours.
describe('no element further than 6 mm3 from the mean of all', () => {
  const rule = { low_mm3: NaN, high_mm3: NaN, spread: 6, spread_basis: 'deviation_mm3' } as const;

  test('54 and 66 about 60 may stay', () => {
    expect(planFor([54, 60, 60, 60, 60, 66], rule)).toMatchObject({ status: 'in already', turned: 0 });
  });

  test.each([
    [[53.9, 60.1, 60, 60, 60, 66], 1],
    [[60, 60, 60, 60, 60, 68], 1],
    [[50, 60, 60, 60, 60, 70], 2],
  ])('deliveries %j: %i turned', (deliveries, turned) => {
    const plan = planFor(deliveries, rule);
    expect(plan.turned).toBe(turned);
    const centre = plan.after.reduce((sum, delivery) => sum + delivery, 0) / plan.after.length;
    for (const delivery of plan.after) expect(Math.abs(delivery - centre)).toBeLessThanOrEqual(6 + 1e-9);
  });
});

// TM 5-3805-260-24 (R): every reading 0 +/- 0.050 mm, and no two of them further apart than 0.050 mm. Deliveries are not below
// 0, so the readings are set about 1 here.
describe('a setting rule of two parts', () => {
  const about1 = (readings: readonly number[]) => readings.map((reading) => 1 + reading);
  const band = { low_mm3: 0.95, high_mm3: 1.05 } as const;
  const each = { ...band, spread: NaN, spread_basis: 'range_mm3' } as const;
  const together = { ...band, spread: 0.05, spread_basis: 'range_mm3' } as const;

  test.each([
    [[0, 0.05, 0.02], 0, 0],
    [[-0.03, 0.03, 0], 0, 1],
    [[0.03, 0.06, 0.05], 1, 0],
    [[-0.06, 0.06, 0], 2, 2],
  ])(
    'readings %j: %i set anew for the first part, %i for the second with the mean in the band',
    (readings, one, two) => {
      expect(planFor(about1(readings), each).turned).toBe(one);
      expect(planFor(about1(readings), together).turned).toBe(two);
    },
  );
});

// Derivation (C): a helix that rises by its lead P in one turn moves port opening by P along the stroke when the plunger is turned
// once round, and the plunger sweeps a cylinder A P more. The lead is pi d tan(helix): unrolled, one turn is pi d long.
describe('gain from the volume of a helix', () => {
  test('at 45 deg the lead is the circumference: pi^2 d^3 / 4 a turn, 2467.401 mm3 at 10 mm, 6.853892 a degree', () => {
    expect(gainFromGeometry(10, 45)).toBeCloseTo(6.853892, 6);
  });

  test('a lead of 20 mm on 8 mm: 320 pi mm3 a turn, 2.792527 a degree', () => {
    const helix = (Math.atan(20 / (8 * Math.PI)) * 180) / Math.PI;
    expect(gainFromGeometry(8, helix)).toBeCloseTo(2.792527, 6);
  });

  // 360 deg of a sleeve of 10 mm radius are 62.83185 mm of rack; 39.26991 mm3 per mm times that is 2467.401 a turn as above.
  test('a turn of the sleeve is its circumference of rack', () => {
    expect(perDegreeFromRack(39.26991, 10)).toBeCloseTo(gainFromGeometry(10, 45), 5);
  });
});
