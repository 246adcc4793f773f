import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  angleAtLift,
  ASSUMED_LIFT_RATE,
  liftAt,
  liftRate,
  liftRateAtAngle,
  liftRateAtLift,
} from '../../lib/calc/timing/cam';
import { codes, type codes as Codes } from '../../lib/calc/layout';
import { tangentLift, tangentRateAtLift } from '../../lib/calc/timing/tangentcam';
import type { LiftTable } from '../../lib/calc/types';
import { sixElements } from './build';

const table = (deg: number[], mm: number[]): LiftTable => ({ deg: Float64Array.from(deg), mm: Float64Array.from(mm) });
const basisName = (basis: number): (typeof Codes.lift_rate_basis)[number] | undefined => codes.lift_rate_basis[basis];

/** Tables whose lift never falls, with steps that are not too unlike for binary arithmetic. */
const risingTable = fc
  .array(
    fc.record({
      width: fc.double({ min: 0.5, max: 5, noNaN: true }),
      rise: fc.oneof(fc.constant(0), fc.double({ min: 0.001, max: 2, noNaN: true })),
    }),
    { minLength: 1, maxLength: 20 },
  )
  .map((steps) => {
    const deg = [0];
    const mm = [0];
    for (const { width, rise } of steps) {
      deg.push((deg.at(-1) ?? 0) + width);
      mm.push((mm.at(-1) ?? 0) + rise);
    }
    return table(deg, mm);
  });
/** Tables that rise and fall as they like. */
const anyTable = fc
  .array(fc.record({ width: fc.double({ min: 0.5, max: 5, noNaN: true }), lift: fc.integer({ min: 0, max: 12 }) }), {
    minLength: 2,
    maxLength: 20,
  })
  .map((knots) => {
    let deg = 0;
    return table(
      knots.map(({ width }) => (deg += width)),
      knots.map(({ lift }) => lift / 2),
    );
  });
const share = fc.double({ min: 0, max: 1, noNaN: true });
const angleOf = (cam: LiftTable, at: number) => (cam.deg.at(-1) ?? 0) * at;

describe('interpolating a lift table', () => {
  test('goes through every point of the table', () => {
    fc.assert(
      fc.property(risingTable, (cam) => {
        cam.deg.forEach((deg, k) => {
          expect(liftAt(cam, deg)).toBeCloseTo(cam.mm[k] ?? NaN, 10);
        });
      }),
    );
  });

  test('never falls where the table does not', () => {
    fc.assert(
      fc.property(risingTable, share, share, (cam, a, b) => {
        const [first, second] = a < b ? [a, b] : [b, a];
        expect(liftAt(cam, angleOf(cam, second)) - liftAt(cam, angleOf(cam, first))).toBeGreaterThan(-1e-12);
        expect(liftRateAtAngle(cam, angleOf(cam, a))).toBeGreaterThan(-1e-12);
      }),
    );
  });

  test('stays between the lifts of the two points around it', () => {
    fc.assert(
      fc.property(risingTable, share, (cam, at) => {
        const deg = angleOf(cam, at);
        const k = cam.deg.findLastIndex((knot) => knot <= deg);
        const lift = liftAt(cam, deg);
        expect(lift).toBeGreaterThanOrEqual((cam.mm[k] ?? NaN) - 1e-12);
        expect(lift).toBeLessThanOrEqual((cam.mm[Math.min(k + 1, cam.mm.length - 1)] ?? NaN) + 1e-12);
      }),
    );
  });

  test('between two points it only rises or only falls, as they do', () => {
    fc.assert(
      fc.property(anyTable, fc.nat(), share, share, (cam, which, a, b) => {
        const k = which % (cam.deg.length - 1);
        const [from = NaN, to = NaN] = cam.deg.slice(k, k + 2);
        const [low = NaN, high = NaN] = cam.mm.slice(k, k + 2);
        const [first, second] = a < b ? [a, b] : [b, a];
        const rise = liftAt(cam, from + second * (to - from)) - liftAt(cam, from + first * (to - from));
        expect(rise * Math.sign(high - low)).toBeGreaterThan(-1e-9);
        if (low === high) expect(rise).toBeCloseTo(0, 9);
      }),
    );
  });

  test('is a straight line through points on a straight line', () => {
    const line = table([0, 1, 4, 6], [0.5, 0.7, 1.3, 1.7]);
    expect(liftAt(line, 2.5)).toBeCloseTo(1, 12);
    expect(liftRateAtAngle(line, 5.1)).toBeCloseTo(0.2, 12);
    expect(liftAt(table([0, 10], [0, 3]), 4)).toBeCloseTo(1.2, 12);
  });

  test('knows nothing outside the table', () => {
    const cam = table([10, 20, 30], [0, 1, 3]);
    expect([liftAt(cam, 9.99), liftAt(cam, 30.01), liftAt(cam, NaN)]).toEqual([NaN, NaN, NaN]);
    expect(angleAtLift(cam, 3.01)).toBeNaN();
    expect(liftRateAtLift(cam, -0.01)).toBeNaN();
  });

  test('finds the angle at a lift, so that the lift at that angle is the lift again', () => {
    fc.assert(
      fc.property(risingTable, share, (cam, at) => {
        const lift = (cam.mm.at(-1) ?? 0) * at;
        fc.pre((cam.mm.at(-1) ?? 0) > 0);
        expect(liftAt(cam, angleAtLift(cam, lift))).toBeCloseTo(lift, 9);
      }),
    );
  });

  test('takes the rising side of a whole cam', () => {
    const cam = table([0, 20, 40, 60, 80], [0, 2, 4, 2, 0]);
    expect(angleAtLift(cam, 2)).toBe(20);
    expect(liftRateAtLift(cam, 3)).toBeGreaterThan(0);
  });

  test('the rate at a lift is the difference quotient of the lift', () => {
    const cam = table([0, 5, 12, 20, 30], [0, 0.3, 1.4, 3.9, 6]);
    for (const lift of [0.1, 0.9, 2, 3.5, 5.5]) {
      const at = angleAtLift(cam, lift);
      const quotient = (liftAt(cam, at + 1e-5) - liftAt(cam, at - 1e-5)) / 2e-5;
      expect(liftRateAtLift(cam, lift)).toBeCloseTo(quotient, 7);
    }
  });
});

describe('the lift rate comes from the best source there is', () => {
  const cam = table([0, 10, 20, 30], [0, 1, 3, 4]);
  const all = sixElements({ cam_lift: cam, base_radius_mm: 14, roller_radius_mm: 8, lift_rate_mm_per_deg: 0.31 });

  test('the lift table first', () => {
    expect(basisName(liftRate(all, 2).basis)).toBe('cam lift table');
    expect(liftRate(all, 2).rate).toBe(liftRateAtLift(cam, 2));
  });

  test('a lift off the table, or at its flat top, passes on to the geometry', () => {
    for (const lift of [4.5, 4]) {
      const flat = { ...all, cam_lift: table([0, 10, 20, 30, 40], [0, 1, 3, 4, 4]) };
      expect(basisName(liftRate(flat, lift).basis)).toBe('cam geometry');
      expect(liftRate(flat, lift).rate).toBe(tangentRateAtLift(14, 8, lift));
    }
  });

  describe('of a whole cam', () => {
    const geometry = { cam_lift: null, base_radius_mm: 14, roller_radius_mm: 8, full_lift_mm: 8, ascent_deg: 55 };
    const whole = { ...all, ...geometry };

    test('on the flank it is the formula of the flank', () => {
      expect(basisName(liftRate(whole, 1).basis)).toBe('cam geometry');
      expect(liftRate(whole, 1).rate).toBeCloseTo(tangentRateAtLift(14, 8, 1), 12);
    });

    test('on the nose it dies away, while the flank would rise ever faster', () => {
      const nearTop = liftRate(whole, 7.99);
      expect(basisName(nearTop.basis)).toBe('cam geometry');
      expect(nearTop.rate).toBeLessThan(0.05);
      expect(tangentRateAtLift(14, 8, 7.99)).toBeGreaterThan(0.4);
    });

    test('full lift, where it stands still, and beyond pass on to the stated rate', () => {
      expect(basisName(liftRate(whole, 8).basis)).toBe('stated lift rate');
      expect(basisName(liftRate(whole, 9).basis)).toBe('stated lift rate');
    });

    test('figures that leave nothing for the nose pass on, since one of them is wrong', () => {
      expect(basisName(liftRate({ ...whole, full_lift_mm: 40 }, 2).basis)).toBe('stated lift rate');
    });

    test('with one of the two figures missing it is the formula of the flank at any lift', () => {
      for (const missing of [{ full_lift_mm: NaN }, { ascent_deg: NaN }]) {
        expect(liftRate({ ...whole, ...missing }, 7.99).rate).toBe(tangentRateAtLift(14, 8, 7.99));
      }
    });

    test('a lift table taken off the cam gives the same rate', () => {
      const deg = Float64Array.from({ length: 21 }, (_, k) => k);
      const tabled = { ...whole, cam_lift: { deg, mm: deg.map((phi) => tangentLift(14, 8, phi)) } };
      expect(liftRate(tabled, 1.2).rate / liftRate(whole, 1.2).rate).toBeCloseTo(1, 2);
    });
  });

  test('no roller radius passes on to the stated rate', () => {
    expect(liftRate({ ...all, cam_lift: null, roller_radius_mm: NaN }, 2)).toEqual({ rate: 0.31, basis: 2 });
  });

  test('a lift of 0, where a tangent cam does not lift yet, passes on as well', () => {
    expect(basisName(liftRate({ ...all, cam_lift: null }, 0).basis)).toBe('stated lift rate');
  });

  test('nothing at all is 0.2 mm a degree, assumed (common practice, no source)', () => {
    expect(liftRate(sixElements(), 2)).toEqual({ rate: 0.2, basis: 3 });
    expect(ASSUMED_LIFT_RATE).toBe(0.2);
    expect(codes.lift_rate_basis[3]).toBe('assumed');
  });

  test('a lift that was not read is taken as nominal', () => {
    expect(liftRate(all, NaN)).toEqual(liftRate(all, all.lift_mm));
  });

  test('the rate is above 0 whatever the specification and the lift', () => {
    const anyNumber = fc.oneof(fc.double(), fc.constant(NaN), fc.double({ min: -1, max: 10 }));
    fc.assert(
      fc.property(
        fc.option(risingTable),
        fc.array(anyNumber, { minLength: 6, maxLength: 6 }),
        (cam_lift, [base = NaN, roller = NaN, stated = NaN, full_lift_mm = NaN, ascent_deg = NaN, lift = NaN]) => {
          const geometry = { base_radius_mm: base, roller_radius_mm: roller, full_lift_mm, ascent_deg };
          const spec = sixElements({ cam_lift, ...geometry, lift_rate_mm_per_deg: stated });
          expect(liftRate(spec, lift).rate).toBeGreaterThan(0);
        },
      ),
    );
  });
});
