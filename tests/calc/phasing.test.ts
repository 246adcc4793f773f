import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  changeForPhase,
  closureAfter,
  errorsAfterShims,
  isChange,
  nearestChange,
  nearestSize,
  nearestStep,
  nominalAngles,
  pairDifference,
  phaseError,
  screwTurns,
  wrapped,
} from '../../lib/calc/timing/phasing';
import { changeForLift, liftError, referenceLift } from '../../lib/calc/timing/timing';
import type { Adjuster } from '../../lib/calc/types';
import { sixElements } from './build';

const adjuster = fc.constantFrom<Adjuster>('barrel_shim', 'tappet_shim', 'tappet_screw');
const degrees = fc.double({ min: -720, max: 720, noNaN: true });

describe('reference lift', () => {
  test('a stated preload is taken off, one that is not stated is not', () => {
    expect(referenceLift(2.5, 0.5)).toBe(2);
    expect(referenceLift(2.5, NaN)).toBe(2.5);
    expect(referenceLift(NaN, 0.5)).toBeNaN();
  });

  test('a lift too great closes late: barrel shims come out, tappet shims go in', () => {
    const error = liftError(sixElements(), 2.1);
    expect(error).toBeCloseTo(0.1, 12);
    expect(changeForLift(error, 'barrel_shim')).toBeCloseTo(-0.1, 12);
    expect(changeForLift(error, 'tappet_shim')).toBeCloseTo(0.1, 12);
    expect(changeForLift(error, 'tappet_screw')).toBeCloseTo(0.1, 12);
  });

  test('no error asks for no change, without a minus sign', () => {
    expect(Object.is(changeForLift(0, 'barrel_shim'), 0)).toBe(true);
    expect(Object.is(changeForLift(-0, 'tappet_shim'), 0)).toBe(true);
  });
});

describe('nominal closures', () => {
  test('by place in the firing order, at even intervals', () => {
    expect([...nominalAngles(sixElements())]).toEqual([0, 240, 120, 300, 60, 180]);
  });

  test('as the specification lists them in firing order', () => {
    const vee = sixElements({ closure_angles_deg: [0, 30, 120, 150, 240, 270] });
    expect([...nominalAngles(vee)]).toEqual([0, 240, 120, 270, 30, 150]);
  });
});

describe('phase error', () => {
  test.each([
    [60, 0, 60, 0],
    [59.2, 0, 60, -0.8],
    [0.3, 359.9, 0, 0.4],
    [10, 310.5, 60, -0.5],
    [180, 0, 0, 180],
    [-180, 0, 0, 180],
  ])('closure at %f, reference at %f, nominal %f: error %f', (theta, reference, alpha, error) => {
    expect(phaseError(theta, reference, alpha)).toBeCloseTo(error, 10);
  });

  test('lies above -180 and up to 180, and is the angle itself but for whole turns', () => {
    fc.assert(
      fc.property(fc.double({ min: -1e4, max: 1e4, noNaN: true }), (deg) => {
        const within = wrapped(deg);
        expect(within > -180 && within <= 180).toBe(true);
        expect(Math.abs((deg - within) / 360 - Math.round((deg - within) / 360))).toBeLessThan(1e-9);
      }),
    );
  });

  test('does not change with the zero of the degree wheel', () => {
    fc.assert(
      fc.property(degrees, degrees, degrees, (theta, reference, shift) => {
        const difference = phaseError(theta + shift, reference + shift, 60) - phaseError(theta, reference, 60);
        expect(Math.abs(wrapped(difference))).toBeLessThan(1e-9);
      }),
    );
  });

  test('closure after the reference lies from 0 to below 360', () => {
    fc.assert(
      fc.property(degrees, degrees, (theta, reference) => {
        const after = closureAfter(theta, reference);
        expect(after >= 0 && after < 360).toBe(true);
      }),
    );
  });
});

describe('shim change', () => {
  test('with barrel shims early means add and late means remove; with tappet shims the other way round', () => {
    expect(changeForPhase(-1, 0.2, 'barrel_shim')).toBeCloseTo(0.2, 12);
    expect(changeForPhase(1, 0.2, 'barrel_shim')).toBeCloseTo(-0.2, 12);
    expect(changeForPhase(-1, 0.2, 'tappet_shim')).toBeCloseTo(-0.2, 12);
    expect(changeForPhase(1, 0.2, 'tappet_screw')).toBeCloseTo(0.2, 12);
  });

  test('making it takes the error away and leaves the others alone', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -5, max: 5, noNaN: true }), { minLength: 6, maxLength: 6 }),
        fc.double({ min: 0.05, max: 0.6, noNaN: true }),
        adjuster,
        fc.integer({ min: 1, max: 5 }),
        (list, v, kind, k) => {
          const errors = Float64Array.from([0, ...list.slice(1)]);
          const changes = new Float64Array(6);
          changes[k] = changeForPhase(errors[k] ?? NaN, v, kind);
          const after = errorsAfterShims(errors, changes, 1, v, kind);
          after.forEach((error, j) => {
            expect(error).toBeCloseTo(j === k ? 0 : (errors[j] ?? NaN), 10);
          });
        },
      ),
    );
  });

  test('the same shim everywhere leaves phasing alone', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -5, max: 5, noNaN: true }), { minLength: 1, maxLength: 12 }),
        fc.double({ min: -2, max: 2, noNaN: true }),
        fc.double({ min: 0.05, max: 0.6, noNaN: true }),
        adjuster,
        (list, shim, v, kind) => {
          const errors = Float64Array.from(list);
          const after = errorsAfterShims(errors, new Float64Array(list.length).fill(shim), list.length, v, kind);
          after.forEach((error, k) => {
            expect(error).toBeCloseTo(errors[k] ?? NaN, 12);
          });
        },
      ),
    );
  });

  test('a change at the reference moves all the others the other way', () => {
    const after = errorsAfterShims(Float64Array.of(0, 0, 0), Float64Array.of(0.1, 0, 0), 1, 0.2, 'barrel_shim');
    expect([...after]).toEqual([0, -0.5, -0.5]);
  });
});

describe('shims on hand', () => {
  test.each([
    [0.12, 0.05, 0.1],
    [0.13, 0.05, 0.15],
    [-0.13, 0.05, -0.15],
    [0.15, 0.1, 0.2],
    [-0.15, 0.1, -0.2],
    [0.02, 0.05, 0],
  ])('%f mm in steps of %f is %f', (change, step, nearest) => {
    expect(nearestStep(change, step)).toBeCloseTo(nearest, 12);
  });

  test('turned round, the nearest step is turned round', () => {
    fc.assert(
      fc.property(fc.double({ min: -3, max: 3, noNaN: true }), fc.constantFrom(0.05, 0.1, 0.03), (change, step) => {
        expect(nearestStep(-change, step)).toBe(0 - nearestStep(change, step));
        expect(Math.abs(nearestStep(change, step) - change)).toBeLessThanOrEqual(step / 2 + 1e-12);
      }),
    );
  });

  test('of sizes on hand, the new stack nearest to what is wanted', () => {
    expect(nearestSize(0.23, 1, [0.9, 1, 1.15, 1.3])).toBeCloseTo(0.3, 12);
    expect(nearestSize(-5, 1, [0.9, 1, 1.15, 1.3])).toBeCloseTo(-0.1, 12);
  });

  test('of two sizes as near, the one that changes less', () => {
    expect(nearestSize(0.05, 1, [1, 1.1])).toBe(0);
    expect(nearestSize(-0.05, 1.1, [1, 1.1])).toBe(0);
  });

  test('no other size comes nearer', () => {
    const sizes = [0.6, 0.65, 0.7, 0.8, 0.95, 1.2];
    fc.assert(
      fc.property(fc.double({ min: -1, max: 1, noNaN: true }), fc.constantFrom(...sizes), (change, before) => {
        const after = before + nearestSize(change, before, sizes);
        const off = (size: number) => Math.abs(size - (before + change));
        expect(Math.min(...sizes.map(off))).toBeCloseTo(off(after), 9);
      }),
    );
  });

  test('only the exact change where a list is given but not the stack, where nothing is, and for a screw', () => {
    const listed = sixElements({ shim_sizes_mm: [1, 1.1], shim_step_mm: 0.05 });
    expect(nearestChange(listed, 0.1, NaN)).toBeNaN();
    const stepped = { ...sixElements(), shim_sizes_mm: null, shim_step_mm: 0.05 };
    // A stack of 0.20 mm can give up 0.15, not all of itself.
    expect(nearestChange(stepped, -0.16, 0.2)).toBeCloseTo(-0.15, 12);
    expect(nearestChange(stepped, -0.21, 0.2)).toBeNaN();
    expect(nearestChange(stepped, -0.21, NaN)).toBeCloseTo(-0.2, 12);
    expect(nearestChange(listed, 0.1, 1)).toBeCloseTo(0.1, 12);
    expect(nearestChange(sixElements(), 0.1, 1)).toBeNaN();
    expect(nearestChange(sixElements({ adjuster: 'tappet_screw', shim_step_mm: 0.05 }), 0.1, 1)).toBeNaN();
    expect(nearestChange(listed, NaN, 1)).toBeNaN();
  });

  test('turns of the screw, where closure is set by one', () => {
    const screw = sixElements({ adjuster: 'tappet_screw', screw_mm_per_turn: 0.75 });
    expect(screwTurns(screw, -0.15)).toBeCloseTo(-0.2, 12);
    expect(screwTurns(sixElements({ screw_mm_per_turn: 0.75 }), 0.15)).toBeNaN();
    expect(screwTurns({ ...screw, screw_mm_per_turn: NaN }, 0.15)).toBeNaN();
  });

  test('the halves of a pair, and what counts as a change', () => {
    expect(pairDifference(1, 1.02)).toBeCloseTo(0.02, 12);
    expect(pairDifference(1, NaN)).toBeNaN();
    expect([isChange(0.05), isChange(-0.05), isChange(0.0005), isChange(NaN)]).toEqual([true, true, false, false]);
  });
});
