import { describe, expect, test } from 'vitest';
import { angleAtLift, liftAt, liftRate, liftRateAtAngle, liftRateAtLift } from '../../lib/calc/timing/cam';
import {
  camLift,
  camRate,
  camRateAtLift,
  tangentCam,
  type TangentCam,
  tangentLift,
  tangentRateAtLift,
} from '../../lib/calc/timing/tangentcam';
import { sixElements } from '../calc/build';
import { dataRows } from './csv';

const RAD = Math.PI / 180;

function made(base: number, roller: number, lift: number, ascent: number): TangentCam {
  const cam = tangentCam(base, roller, lift, ascent);
  if (cam === null) throw new Error('The textbook cam cannot be made');
  return cam;
}

/** Acceleration of the follower [m/s2] at the start of lift, from the lifts on the flank alone, at `rpm` of the cam. */
function startAcceleration(cam: TangentCam, rpm: number): number {
  const omega = (2 * Math.PI * rpm) / 60;
  const step = 0.05;
  // The flank goes on as it began on the other side of its start, so the lift there is the lift here.
  const second = (2 * camLift(cam, step)) / (step * RAD) ** 2;
  return (omega * omega * second) / 1000;
}

// Tangent cam with a roller follower, an exercise of textbooks in the theory of machines (read): base circle 30 mm, roller
// 17.5 mm, ascent 75 deg, lift 17.5 mm, 600 rpm; w2 (r1 + r2) = 187.6 m/s2 at the start of lift. A second one of the kind (from
// memory, arithmetic done again): 40 mm, 20 mm, 75 deg, lift 20 mm, 300 rpm; nose radius 33 mm, flank ends at 23.5 deg, 59.2 m/s2.
describe('tangent cam with a roller', () => {
  const first = made(30, 17.5, 17.5, 75);
  const second = made(40, 20, 20, 75);

  test('acceleration at the start of lift: 187.6 m/s2 (read), 59.2 m/s2 (from memory)', () => {
    expect(startAcceleration(first, 600)).toBeGreaterThan(187.5);
    expect(startAcceleration(first, 600)).toBeLessThan(187.7);
    expect(startAcceleration(second, 300)).toBeGreaterThan(59.1);
    expect(startAcceleration(second, 300)).toBeLessThan(59.3);
  });

  // Computed for the same cam by another program.
  test('first cam: nose radius 23.889 mm at 23.611 mm, flank ends at 25.647 deg with a lift of 5.1914 mm', () => {
    expect(first.noseRadius).toBeCloseTo(23.889, 3);
    expect(first.noseDistance).toBeCloseTo(23.611, 3);
    expect(first.flankEnd).toBeCloseTo(25.647, 3);
    expect(first.flankLift).toBeCloseTo(5.1914, 4);
    expect(camLift(first, 25.647)).toBeCloseTo(5.1914, 3);
  });

  test('second cam: nose radius 33 mm, flank ends at 23.5 deg (from memory, to the figures given)', () => {
    expect(Math.round(second.noseRadius)).toBe(33);
    expect(Math.abs(second.flankEnd - 23.5)).toBeLessThan(0.05);
  });

  // The nose is a circle: its radius (first cam computed by another program, second from memory) and the roller's make the way.
  test('on the nose the roller centre lies nose and roller radius from the nose centre', () => {
    for (const [cam, reach] of [
      [first, 23.889 + 17.5],
      [second, 33 + 20],
    ] as const) {
      for (const deg of [30, 45, 60, 75, 100]) {
        const radius = cam.startRadius + camLift(cam, deg);
        const beta = (deg - 75) * RAD;
        const distance = Math.hypot(radius * Math.cos(beta) - cam.noseDistance, radius * Math.sin(beta));
        expect(Math.abs(distance - reach)).toBeLessThan(0.02);
      }
    }
  });

  test('rate over flank and nose against the difference quotient of the lift', () => {
    for (const cam of [first, second]) {
      for (const deg of [2, 10, 20, 30, 50, 70, 80, 110, 140]) {
        const quotient = (camLift(cam, deg + 1e-4) - camLift(cam, deg - 1e-4)) / 2e-4;
        expect(camRate(cam, deg)).toBeCloseTo(quotient, 7);
      }
    }
  });

  test('the lift rate of a specification with this cam is that of its flank, and of its nose', () => {
    const cam = { base_radius_mm: 30, roller_radius_mm: 17.5, full_lift_mm: 17.5, ascent_deg: 75 };
    const spec = sixElements(cam);
    expect(liftRate(spec, 5.19).rate).toBeCloseTo(tangentRateAtLift(30, 17.5, 5.19), 9);
    expect(liftRate(spec, 12).rate).toBe(camRateAtLift(first, 12));
    expect(liftRate(spec, 12).rate).toBeLessThan(tangentRateAtLift(30, 17.5, 12));
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
