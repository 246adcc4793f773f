import { describe, expect, test } from 'vitest';
import {
  angleAtLift,
  liftAt,
  liftRateAtAngle,
  liftRateAtLift,
  tangentLift,
  tangentRateAtLift,
} from '../../lib/calc/cam';
import { dataRows } from './csv';

const RAD = Math.PI / 180;

/** Largest lift at which the roller is still on the flank: the flank ends where the line of centres meets the nose's. */
function flankEnd(noseCentre: number, ascent: number, baseRadius: number, rollerRadius: number): number {
  return Math.atan((noseCentre * Math.sin(ascent * RAD)) / (baseRadius + rollerRadius)) / RAD;
}

// Tangent cam with a roller follower, a textbook exercise in the theory of machines (read): base circle 30 mm, roller 17.5 mm,
// ascent 75 deg, lift 17.5 mm, 600 rpm; 187.6 m/s2 at the start of lift. A second one of the kind (from memory, arithmetic done
// again): 40 mm, 20 mm, 300 rpm; 59.2 m/s2.
describe('tangent cam with a roller', () => {
  test.each([
    [30, 17.5, 600, 187.6],
    [40, 20, 300, 59.2],
  ])('base %f, roller %f mm at %i rpm: acceleration at the start of lift %f m/s2', (base, roller, rpm, published) => {
    const omega = (2 * Math.PI * rpm) / 60;
    const step = 0.05;
    const second =
      (tangentLift(base, roller, step) - 2 * tangentLift(base, roller, 0) + tangentLift(base, roller, -step)) /
      (step * RAD) ** 2;
    expect(Math.abs((omega * omega * second) / 1000 - published)).toBeLessThan(0.1);
  });

  // Computed for the same cam by another program: nose centre 23.611 mm from the cam's, flank ends at 25.647 deg, lift 5.1914 mm.
  test('lift at the end of the flank', () => {
    const end = flankEnd(23.611, 75, 30, 17.5);
    expect(end).toBeCloseTo(25.647, 2);
    expect(tangentLift(30, 17.5, 25.647)).toBeCloseTo(5.1914, 3);
  });

  test('rate at a lift against the difference quotient of the textbook formula', () => {
    const lift = (phi: number) => (30 + 17.5) * (1 / Math.cos(phi * RAD) - 1);
    for (const phi of [2, 8, 15, 25]) {
      const quotient = (lift(phi + 1e-4) - lift(phi - 1e-4)) / 2e-4;
      expect(tangentRateAtLift(30, 17.5, lift(phi))).toBeCloseTo(quotient, 7);
    }
  });

  test('a lift table taken off the same cam gives the same rate', () => {
    const deg = Float64Array.from({ length: 26 }, (_, k) => k);
    const table = { deg, mm: deg.map((phi) => tangentLift(30, 17.5, phi)) };
    for (const lift of [0.8, 2, 3.3, 4.5]) {
      expect(liftRateAtLift(table, lift) / tangentRateAtLift(30, 17.5, lift)).toBeCloseTo(1, 2);
    }
  });
});

// Computed with scipy's PchipInterpolator (tests/external/data/pchip.py; versions in the file).
describe('monotone cubic against another program', () => {
  const tables = {
    cam: {
      deg: Float64Array.of(0, 4, 9, 13, 20, 24, 31, 40, 47, 55),
      mm: Float64Array.of(0, 0.12, 0.71, 1.52, 3.4, 4.43, 5.9, 7.2, 7.2, 6.1),
    },
    // Turns so sharply next to its ends that the slopes there must be cut back.
    steep: { deg: Float64Array.of(0, 2, 3, 5), mm: Float64Array.of(6, 7, 2, 2.5) },
  };
  const expected = (name: string) =>
    dataRows('pchip.csv')
      .filter(({ table }) => table === name)
      .map((row) => [row.deg, row.mm, row.mm_per_deg].map(Number));

  test.each(['cam', 'steep'] as const)('lift and rate at 45 angles of the table %s', (name) => {
    expect(expected(name)).toHaveLength(45);
    for (const [deg = NaN, mm = NaN, rate = NaN] of expected(name)) {
      expect(liftAt(tables[name], deg)).toBeCloseTo(mm, 12);
      expect(liftRateAtAngle(tables[name], deg)).toBeCloseTo(rate, 11);
    }
  });

  test('angle at a lift on the rising side', () => {
    for (const [deg = NaN, mm = NaN] of expected('cam').filter(([at = NaN]) => at > 0 && at < 40)) {
      expect(angleAtLift(tables.cam, mm)).toBeCloseTo(deg, 8);
    }
  });
});
