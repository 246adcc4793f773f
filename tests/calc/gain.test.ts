import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  chooseGains,
  fitRack,
  gainBases,
  gainFromGeometry,
  perDegreeFromRack,
  perRackFromDegree,
} from '../../lib/calc/delivery/gain';

const fit = (points: readonly (readonly [speed: number, rack: number, delivery: number])[]) =>
  fitRack(
    Float64Array.from(points, ([speed]) => speed),
    Float64Array.from(points, ([, rack]) => rack),
    Float64Array.from(points, ([, , delivery]) => delivery),
    points.length,
  );
const positive = (max: number) => fc.double({ min: 0.1, max, noNaN: true });

describe('gain from geometry', () => {
  test.each([
    [0, 45],
    [-9, 45],
    [NaN, 45],
    [9, 0],
    [9, -30],
    [9, 90],
    [9, 135],
    [9, NaN],
  ])('a plunger of %d mm with a helix of %d deg tells none', (plunger, helix) => {
    expect(gainFromGeometry(plunger, helix)).toBeNaN();
  });

  test('twice the diameter delivers eight times as much per degree', () => {
    expect(gainFromGeometry(12, 40) / gainFromGeometry(6, 40)).toBeCloseTo(8, 10);
  });
});

describe('a degree and a millimetre of rack', () => {
  test('on a sleeve of 180/pi mm radius they are the same', () => {
    expect(perDegreeFromRack(14, 180 / Math.PI)).toBeCloseTo(14, 12);
    expect(perRackFromDegree(14, 180 / Math.PI)).toBeCloseTo(14, 12);
  });

  test('one is the inverse of the other', () => {
    fc.assert(
      fc.property(positive(50), positive(30), (gain, radius) => {
        expect(perRackFromDegree(perDegreeFromRack(gain, radius), radius) / gain).toBeCloseTo(1, 12);
      }),
    );
  });

  test.each([0, -5, NaN])('a sleeve of %d mm tells nothing', (radius) => {
    expect(perDegreeFromRack(14, radius)).toBeNaN();
    expect(perRackFromDegree(2, radius)).toBeNaN();
  });
});

describe("gain from the job's own draws", () => {
  // By hand: racks 8, 10, 12 about 10; deliveries 30, 61, 89; (2 x 59) / 8 = 14.75.
  test('least squares over the test points of one speed', () => {
    const { slope, n } = fit([
      [1000, 8, 30],
      [1000, 10, 61],
      [1000, 12, 89],
    ]);
    expect(slope).toBeCloseTo(14.75, 12);
    expect(n).toBe(3);
  });

  test('points on a line give the line back, in whatever order they stand', () => {
    const racks = fc.uniqueArray(fc.integer({ min: 40, max: 150 }), { minLength: 2, maxLength: 8 });
    fc.assert(
      fc.property(racks, positive(30), (tenths, gain) => {
        const points = tenths.map((rack) => [800, rack / 10, 5 + gain * (rack / 10)] as const);
        expect(fit(points).slope / gain).toBeCloseTo(1, 8);
        expect(fit(points.toReversed()).slope / gain).toBeCloseTo(1, 8);
        expect(fit(points).n).toBe(tenths.length);
      }),
    );
  });

  test('speeds within 1 per cent of one another are one, others are not', () => {
    const at = (speed: number) =>
      fit([
        [1000, 8, 30],
        [speed, 10, 60],
      ]);
    expect(at(1010).slope).toBeCloseTo(15, 12);
    expect(at(990.1).slope).toBeCloseTo(15, 12);
    expect(at(1010.1)).toEqual({ slope: NaN, n: 0 });
  });

  test('a chain of near speeds does not become one speed', () => {
    const { n } = fit([
      [1000, 8, 30],
      [1008, 9, 45],
      [1016, 10, 60],
    ]);
    expect(n).toBe(2);
  });

  test('racks that are one tell no slope', () => {
    const at = (rack: number) =>
      fit([
        [1000, 10, 60],
        [1000, rack, 62],
      ]).n;
    expect(at(10.05)).toBe(0);
    expect(at(10.06)).toBe(2);
  });

  test('most points go first, then the higher speed', () => {
    const slow = [
      [300, 8, 20],
      [300, 10, 40],
    ] as const;
    const fast = [
      [1200, 8, 20],
      [1200, 10, 50],
    ] as const;
    expect(fit([...slow, ...fast]).slope).toBeCloseTo(15, 12);
    expect(fit([...fast, ...slow]).slope).toBeCloseTo(15, 12);
    expect(fit([...fast, ...slow, [300, 12, 60]])).toEqual({ slope: 10, n: 3 });
  });

  test('more points at one rack do not stand before fewer at two', () => {
    const { slope } = fit([
      [1200, 8, 20],
      [1200, 8, 21],
      [1200, 8, 22],
      [300, 8, 20],
      [300, 10, 40],
    ]);
    expect(slope).toBeCloseTo(10, 12);
  });

  test('a point that lacks a figure, or delivers nothing, is left out', () => {
    const whole = [
      [1000, 8, 30],
      [1000, 10, 60],
    ] as const;
    for (const extra of [
      [NaN, 12, 99],
      [1000, NaN, 99],
      [1000, 12, NaN],
      [1000, 12, Infinity],
      [1000, 2, 0],
      [0, 12, 99],
    ] as const) {
      expect(fit([extra, ...whole])).toEqual({ slope: 15, n: 2 });
    }
  });

  test('no points, no gain', () => {
    expect(fit([])).toEqual({ slope: NaN, n: 0 });
    expect(fit([[1000, 10, 60]])).toEqual({ slope: NaN, n: 0 });
  });

  test('only the first points count', () => {
    const two = fitRack(Float64Array.of(900, 900, 900), Float64Array.of(8, 10, 12), Float64Array.of(20, 40, 400), 2);
    expect(two).toEqual({ slope: 10, n: 2 });
  });
});

describe('the gains to plan with', () => {
  const geometry = gainFromGeometry(9, 40);

  test('own draws before geometry, and how far the two agree', () => {
    const own = perRackFromDegree(1.1 * geometry, 12);
    const gains = chooseGains(own, 9, 40, 12);
    expect(gains).toMatchObject({ perDegreeBasis: 'own draws', perRackBasis: 'own draws', perRackMm: own });
    expect(gains.perDegree / geometry).toBeCloseTo(1.1, 12);
    expect(gains.ratio).toBeCloseTo(1.1, 12);
  });

  test('geometry where no draws tell it, for the rack as well', () => {
    const gains = chooseGains(NaN, 9, 40, 12);
    expect(gains).toMatchObject({
      perDegree: geometry,
      perDegreeBasis: 'geometry',
      perRackBasis: 'geometry',
      ratio: NaN,
    });
    expect(perDegreeFromRack(gains.perRackMm, 12)).toBeCloseTo(geometry, 12);
  });

  test('without the radius of the sleeve draws tell the rack, geometry the barrel', () => {
    expect(chooseGains(15, 9, 40, NaN)).toEqual({
      perDegree: geometry,
      perDegreeBasis: 'geometry',
      perRackMm: 15,
      perRackBasis: 'own draws',
      ratio: NaN,
    });
  });

  test.each([0, -3, NaN, Infinity])('a gain of %d from draws is not used', (own) => {
    expect(chooseGains(own, 9, 40, 12)).toMatchObject({ perDegree: geometry, perDegreeBasis: 'geometry', ratio: NaN });
    expect(chooseGains(own, NaN, NaN, 12)).toEqual({
      perDegree: NaN,
      perDegreeBasis: 'unknown',
      perRackMm: NaN,
      perRackBasis: 'unknown',
      ratio: NaN,
    });
  });

  test('whatever is stated, a gain is above 0 or unknown', () => {
    const any = fc.oneof(fc.constant(NaN), fc.double({ min: -200, max: 200 }));
    fc.assert(
      fc.property(any, any, any, any, (own, plunger, helix, radius) => {
        const gains = chooseGains(own, plunger, helix, radius);
        for (const [gain, basis] of [
          [gains.perDegree, gains.perDegreeBasis],
          [gains.perRackMm, gains.perRackBasis],
        ] as const) {
          expect(gainBases).toContain(basis);
          if (basis === 'unknown') expect(gain).toBeNaN();
          else expect(gain).toBeGreaterThan(0);
        }
      }),
    );
  });
});
