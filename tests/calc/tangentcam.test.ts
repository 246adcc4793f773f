import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  camAngleAtLift,
  camLift,
  camRate,
  camRateAtLift,
  tangentCam,
  type TangentCam,
  tangentLift,
  tangentRateAtLift,
} from '../../lib/calc/timing/tangentcam';

const RAD = Math.PI / 180;
const real = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const share = real(0, 1);

interface Sheet {
  readonly base: number;
  readonly roller: number;
  readonly lift: number;
  readonly ascent: number;
}

function made({ base, roller, lift, ascent }: Sheet): TangentCam {
  const cam = tangentCam(base, roller, lift, ascent);
  if (cam === null) throw new Error(`No such cam: ${base} ${roller} ${lift} ${ascent}`);
  return cam;
}

/** Cams that can be made: with less lift than would leave nothing for the nose. Past 90 deg the nose is the larger circle. */
const sheets = fc
  .record({ base: real(5, 50), roller: real(3, 30), ascent: real(25, 130), part: real(0.05, 0.95) })
  .map(({ base, roller, ascent, part }): Sheet => {
    const cosine = Math.cos(ascent * RAD);
    const most = cosine > 0 ? Math.min(base, (base * (1 - cosine)) / cosine) : base;
    return { base, roller, ascent, lift: part * most };
  });

/**
 * Distance [mm] of a point, `radius` from the cam's centre at `beta` [rad] from the nose, to the cam's outline. The outline is the
 * hull of the two circles, which is every circle between them.
 */
function distanceToOutline(sheet: Sheet, cam: TangentCam, radius: number, beta: number): number {
  const gap = (t: number) => {
    const x = radius * Math.cos(beta) - t * cam.noseDistance;
    return Math.hypot(x, radius * Math.sin(beta)) - (sheet.base * (1 - t) + cam.noseRadius * t);
  };
  let [from, to] = [0, 1];
  for (let n = 0; n < 80; n++) {
    const third = (to - from) / 3;
    if (gap(from + third) < gap(to - third)) to -= third;
    else from += third;
  }
  return gap((from + to) / 2);
}

describe('a whole tangent cam', () => {
  test('the roller touches the outline of base circle, flanks and nose at every angle', () => {
    fc.assert(
      fc.property(sheets, real(-180, 180), (sheet, beta) => {
        const cam = made(sheet);
        const radius = cam.startRadius + camLift(cam, cam.ascent + beta);
        expect(distanceToOutline(sheet, cam, radius, beta * RAD)).toBeCloseTo(sheet.roller, 6);
      }),
    );
  });

  test('lifts nothing on the base circle, by the formula on the flank, and all of it at the top', () => {
    fc.assert(
      fc.property(sheets, share, (sheet, at) => {
        const cam = made(sheet);
        const onFlank = at * cam.flankEnd;
        const onBase = 2 * sheet.ascent + at * (360 - 2 * sheet.ascent);
        expect(camLift(cam, onFlank)).toBeCloseTo(tangentLift(sheet.base, sheet.roller, onFlank), 9);
        expect(camLift(cam, onBase)).toBeCloseTo(0, 9);
        expect(camRate(cam, onBase)).toBeCloseTo(0, 9);
        expect(camLift(cam, sheet.ascent)).toBeCloseTo(sheet.lift, 9);
      }),
    );
  });

  test('neither lift nor rate jumps where one part of the cam runs into the next', () => {
    fc.assert(
      fc.property(sheets, (sheet) => {
        const cam = made(sheet);
        const { ascent } = sheet;
        for (const deg of [0, cam.flankEnd, ascent, 2 * ascent - cam.flankEnd, 2 * ascent]) {
          expect(Math.abs(camLift(cam, deg + 1e-8) - camLift(cam, deg - 1e-8))).toBeLessThan(1e-6);
          expect(Math.abs(camRate(cam, deg + 1e-8) - camRate(cam, deg - 1e-8))).toBeLessThan(1e-6);
        }
        expect(camLift(cam, cam.flankEnd)).toBeCloseTo(cam.flankLift, 9);
      }),
    );
  });

  test('the rate is the difference quotient of the lift all the way round', () => {
    fc.assert(
      fc.property(sheets, real(-360, 720), (sheet, deg) => {
        const cam = made(sheet);
        const quotient = (camLift(cam, deg + 1e-4) - camLift(cam, deg - 1e-4)) / 2e-4;
        expect(Math.abs(camRate(cam, deg) - quotient)).toBeLessThan(1e-5);
      }),
    );
  });

  test('falls as it rose, and is the same a turn later', () => {
    fc.assert(
      fc.property(sheets, real(-180, 180), fc.integer({ min: -3, max: 3 }), (sheet, beta, turns) => {
        const cam = made(sheet);
        const before = sheet.ascent - beta;
        const after = sheet.ascent + beta + 360 * turns;
        expect(camLift(cam, after)).toBeCloseTo(camLift(cam, before), 8);
        expect(camRate(cam, after)).toBeCloseTo(-camRate(cam, before), 8);
      }),
    );
  });

  test('rises all the way to full lift', () => {
    fc.assert(
      fc.property(sheets, share, share, (sheet, a, b) => {
        const cam = made(sheet);
        const [first, second] = [Math.min(a, b) * sheet.ascent, Math.max(a, b) * sheet.ascent];
        expect(camLift(cam, second) - camLift(cam, first)).toBeGreaterThan(-1e-9);
        expect(camRate(cam, first)).toBeGreaterThanOrEqual(0);
      }),
    );
  });

  test('finds the angle at a lift on the rising side, and the rate there', () => {
    fc.assert(
      fc.property(sheets, share, real(0.8, 1.2), (sheet, part, aroundFlankEnd) => {
        const cam = made(sheet);
        for (const lift of [part * sheet.lift, Math.min(aroundFlankEnd * cam.flankLift, sheet.lift)]) {
          const deg = camAngleAtLift(cam, lift);
          expect(deg).toBeGreaterThanOrEqual(0);
          expect(deg).toBeLessThanOrEqual(sheet.ascent);
          expect(camLift(cam, deg)).toBeCloseTo(lift, 8);
          expect(camRateAtLift(cam, lift)).toBeCloseTo(camRate(cam, deg), 5);
        }
      }),
    );
  });

  test('stands still at no lift and at full lift, and knows no angle beyond them', () => {
    const cam = made({ base: 14, roller: 8, lift: 8, ascent: 60 });
    expect([camAngleAtLift(cam, 0), camAngleAtLift(cam, 8)]).toEqual([0, 60]);
    expect([camRateAtLift(cam, 0), camRateAtLift(cam, 8)]).toEqual([0, 0]);
    for (const lift of [-0.01, 8.01, NaN]) {
      expect(camAngleAtLift(cam, lift)).toBeNaN();
      expect(camRateAtLift(cam, lift)).toBeNaN();
    }
    expect([camLift(cam, NaN), camRate(cam, NaN)]).toEqual([NaN, NaN]);
  });

  // Base 10 mm, ascent 60 deg, so the nose's centre lies twice the lift out: 8 mm leaves 10 + 8 - 16 = 2 mm, 10 mm leaves nothing.
  test('cannot be made where nothing is left for the nose, or a figure is missing', () => {
    expect(made({ base: 10, roller: 8, lift: 8, ascent: 60 }).noseRadius).toBeCloseTo(2, 12);
    expect(tangentCam(10, 8, 10, 60)).toBeNull();
    expect(tangentCam(10, 8, 12, 60)).toBeNull();
    expect(tangentCam(10, 8, 8, 180)).toBeNull();
    expect([tangentCam(0, 8, 8, 60), tangentCam(10, 0, 8, 60), tangentCam(10, 8, 0, 60)]).toEqual([null, null, null]);
    expect([tangentCam(NaN, 8, 8, 60), tangentCam(10, 8, NaN, 60), tangentCam(10, 8, 8, NaN)]).toEqual([
      null,
      null,
      null,
    ]);
    expect(tangentCam(10, 8, Infinity, 60)).toBeNull();
  });
});

describe('the flank by itself', () => {
  test('its rate at a lift is the difference quotient of its lift', () => {
    fc.assert(
      fc.property(real(5, 50), real(3, 30), real(1, 40), (base, roller, phi) => {
        const quotient = (tangentLift(base, roller, phi + 1e-4) - tangentLift(base, roller, phi - 1e-4)) / 2e-4;
        expect(tangentRateAtLift(base, roller, tangentLift(base, roller, phi))).toBeCloseTo(quotient, 6);
      }),
    );
  });

  test('a lift below 0 or a radius not stated has no rate', () => {
    expect(tangentRateAtLift(14, 8, 0)).toBe(0);
    expect(tangentRateAtLift(14, 8, -0.01)).toBeNaN();
    expect(tangentRateAtLift(NaN, 8, 2)).toBeNaN();
  });
});
