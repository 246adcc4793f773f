import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { liftRate } from '../../lib/calc/timing/cam';
import { changeForPhase, errorsAfterShims, LEAST_CHANGE_MM, nearestStep } from '../../lib/calc/timing/phasing';
import { planStatuses, ShimPlanner } from '../../lib/calc/timing/shimplan';
import { changeForLift, liftError } from '../../lib/calc/timing/timing';
import { within } from '../../lib/calc/proof/verdict';
import { adjusters, answer, arraysOf, expectNear, planned, pump, real, stepped, weigh } from './planned';

describe('by hand, 0.2 mm a degree, shims by 0.1 mm, half a degree allowed', () => {
  test('all in already: nothing comes off', () => {
    const plan = planned(stepped(), { errors: [0, 0.5, -0.5, 0.3, 0, -0.2] });
    expect(plan).toMatchObject({ status: 'in already', inTolerance: true, barrels: 0, moved: 0, worstAfter: 0.5 });
    expect(plan.changes).toEqual([0, 0, 0, 0, 0, 0]);
    expect(plan.errorsAfter).toEqual([0, 0.5, -0.5, 0.3, 0, -0.2]);
  });

  test('one element 0.8 degrees early gets 0.1 mm; a tappet shim loses it', () => {
    const errors = [0, 0, -0.8, 0, 0, 0];
    const barrel = planned(stepped(), { errors });
    expect(barrel).toMatchObject({ status: 'possible', barrels: 1 });
    expectNear(barrel.changes, [0, 0, 0.1, 0, 0, 0]);
    expectNear(barrel.errorsAfter, [0, 0, -0.3, 0, 0, 0]);
    expectNear(planned(stepped({ adjuster: 'tappet_shim' }), { errors }).changes, [0, 0, -0.1, 0, 0, 0]);
  });

  test('five late by the same: the reference alone comes off, where its lift has room', () => {
    const plan = planned(stepped({ lift_plus_mm: 0.1 }), { errors: [0, 0.7, 0.7, 0.8, 0.7, 0.7] });
    expect(plan).toMatchObject({ status: 'possible', barrels: 1 });
    expectNear(plan.changes, [0.1, 0, 0, 0, 0, 0]);
    expectNear(plan.errorsAfter, [0, 0.2, 0.2, 0.3, 0.2, 0.2]);
    expect(plan.liftAfter).toBeCloseTo(2.1, 12);
    expect(plan.moved).toBeCloseTo(0.1, 12);
    expect(plan.worstAfter).toBeCloseTo(0.3, 12);
  });

  test('the same where it has none: the five come off', () => {
    const plan = planned(stepped({ lift_plus_mm: 0.05 }), { errors: [0, 0.7, 0.7, 0.8, 0.7, 0.7] });
    expect(plan.barrels).toBe(5);
    expectNear(plan.changes, [0, -0.1, -0.1, -0.1, -0.1, -0.1]);
  });

  test('a lift out of its band is put right, and those that this puts out follow it', () => {
    const plan = planned(stepped(), { lift: 2.25, errors: [0, 0, 0, -0.6, 0, 0] });
    expectNear(plan.changes, [-0.2, -0.1, -0.1, 0, -0.1, -0.1]);
    expectNear(plan.errorsAfter, [0, 0.5, 0.5, 0.4, 0.5, 0.5]);
  });

  test('with equal barrels and millimetres the largest error left decides', () => {
    // Element 2 is 0.1 degrees too late. 0.1 mm off it leaves 0.4 at element 3; 0.1 mm more at the reference leaves 0.1 at both.
    const plan = planned(stepped({ elements: 3, firing_order: [1, 2, 3] }), { errors: [0, 0.6, 0.4] });
    expectNear(plan.changes, [0.1, 0, 0]);
    expectNear(plan.errorsAfter, [0, 0.1, -0.1]);
  });

  test('and with that equal too, the lift nearest to nominal', () => {
    const spec = stepped({ elements: 2, firing_order: [1, 2], lift_minus_mm: 0.2 });
    expectNear(planned(spec, { lift: 1.9, errors: [0, 0.6] }).changes, [0.1, 0]);
    expectNear(planned(spec, { lift: 2, errors: [0, 0.6] }).changes, [0, -0.1]);
  });

  test('nobody can be put right where the step jumps over the tolerance: what comes closest', () => {
    const spec = stepped({ elements: 2, firing_order: [1, 2], lift_plus_mm: 0 });
    const plan = planned(spec, { errors: [0, 0.23], tolerance: 0.2 });
    // 0.23 is 0.03 too much; 0.1 mm off leaves -0.27, which is 0.07 too much.
    expect(plan).toMatchObject({ status: 'closest', inTolerance: false, barrels: 0 });
    expect(plan.worstAfter).toBeCloseTo(0.23, 12);
  });

  test('a stack that is too thin comes as close as it can, the lift sharing what is too much', () => {
    const spec = stepped({ elements: 2, firing_order: [1, 2], lift_plus_mm: 0 });
    const plan = planned(spec, { errors: [0, 2.4], before: [1, 0.25] });
    // 0.2 mm is all it can lose and leaves 1.4 degrees: 0.18 mm too much. With 0.1 mm more at the reference its lift is 0.1 mm
    // too much and the element, at 0.9 degrees, 0.08.
    expect(plan.status).toBe('closest');
    expectNear(plan.changes, [0.1, -0.2]);
    expectNear(plan.errorsAfter, [0, 0.9]);
  });

  test('closest brings in what can be brought in, whatever the one that can not', () => {
    const plan = planned(stepped({ shim_sizes_mm: [1, 1.1] }), {
      errors: [0, 3, -0.8, 0, 0, 0],
      before: [1, NaN, 1, 1, 1, 1],
    });
    expect(plan.status).toBe('closest');
    // Element 2 can't be helped; element 3 closes 0.8 deg early, and 0.1 mm more leaves 0.3.
    expectNear([plan.changes[1] ?? NaN, plan.changes[2] ?? NaN], [0, 0.1]);
  });

  test('each element goes by the cam where it closes', () => {
    // 1 mm in 5 degrees up to 2 mm; above it 1 mm in 2.5. Straight on both sides, so that the angles can be told by head.
    const cam_lift = { deg: Float64Array.of(0, 5, 10, 12.5, 15), mm: Float64Array.of(0, 1, 2, 3, 4) };
    const spec = pump(3, { cam_lift, lift_mm: 1, lift_minus_mm: 0, lift_plus_mm: 0 });
    // 0.7 deg late of the reference at 1 mm: 0.1 mm off is half a degree there. 6.5 deg late stands at 2.6 mm: 1.6 mm off is 6.5 deg.
    const plan = planned(spec, { lift: 1, errors: [0.7, 6.5, 0], tolerance: 0.3 });
    expect(plan.status).toBe('possible');
    expect(plan.errorsAfter[0]).toBeCloseTo(0.2, 1);
    expectNear(plan.changes.slice(2), [0]);
    expect(plan.changes[0]).toBeCloseTo(-0.1, 9);
    expect(plan.changes[1]).toBeLessThan(-1.4);
    expect(plan.changes[1]).toBeGreaterThan(-1.75);
  });

  test('where the table does not reach an element, one rate serves, that at the new reference lift', () => {
    // 0.1 mm a degree up to 2 mm, 0.4 above it; the second element stands before its start.
    const cam_lift = { deg: Float64Array.of(18, 20, 40), mm: Float64Array.of(1.8, 2, 10) };
    const spec = pump(3, { cam_lift, lift_mm: 2.1, lift_minus_mm: 0.01, lift_plus_mm: 0.01 });
    const plan = planned(spec, { lift: 2, errors: [0.6, -3, 0] });
    expect(plan.liftAfter).toBeCloseTo(2.1, 12);
    expect(plan.errorsAfter[0]).toBeCloseTo(0.6 - 0.1 / liftRate(spec, 2.1).rate, 9);
  });
});

describe('what is not known', () => {
  test('nothing read: nothing planned', () => {
    const plan = planned(stepped(), { lift: NaN, errors: [NaN, NaN, NaN, NaN, NaN, NaN] });
    expect(plan).toMatchObject({ status: 'not measured', inTolerance: false, barrels: 0 });
    expect([plan.moved, plan.liftAfter, plan.worstAfter]).toEqual([NaN, NaN, NaN]);
    expect([...plan.changes, ...plan.errorsAfter]).toEqual(new Array(12).fill(NaN));
  });

  test('lift not read: the reference stays, though moving it would be less work', () => {
    const plan = planned(stepped(), { lift: NaN, errors: [0, 0.7, 0.7, 0.7, 0.7, 0.7] });
    expect(plan).toMatchObject({ status: 'lift not read', inTolerance: true, barrels: 5, liftAfter: NaN });
    expect(plan.changes[0]).toBe(0);
  });

  test('a lift band that is not stated is treated alike', () => {
    const plan = planned(stepped({ lift_plus_mm: NaN }), { errors: [0, 0.7, 0.7, 0.7, 0.7, 0.7] });
    expect(plan).toMatchObject({ status: 'lift not read', barrels: 5, liftAfter: 2 });
  });

  test('an element not measured is left out, the others are planned', () => {
    const plan = planned(stepped(), { errors: [0, NaN, -0.8, 0, 0, 0] });
    expect(plan).toMatchObject({ status: 'incomplete', inTolerance: true, barrels: 1 });
    expectNear(plan.changes, [0, NaN, 0.1, 0, 0, 0]);
    expect(plan.errorsAfter[1]).toBeNaN();
  });

  test('only the lift read: the reference is planned', () => {
    const plan = planned(stepped(), { lift: 2.25, errors: [0, NaN, NaN, NaN, NaN, NaN] });
    expect(plan).toMatchObject({ status: 'incomplete', barrels: 1, worstAfter: NaN });
    expect(plan.liftAfter).toBeCloseTo(2.05, 12);
  });

  test('a pump of one element has its lift alone', () => {
    const one = stepped({ elements: 1, firing_order: [1] });
    expect(planned(one, { errors: [0] })).toMatchObject({ status: 'in already', worstAfter: 0 });
    expectNear(planned(one, { lift: 2.3, errors: [0] }).changes, [-0.2]);
    expect(planned(one, { lift: NaN, errors: [0] }).status).toBe('not measured');
  });

  test('by sizes on hand, an element whose stack is not known stays', () => {
    const spec = stepped({ shim_sizes_mm: [0.9, 1, 1.1], lift_plus_mm: 0 });
    const plan = planned(spec, { errors: [0, -0.8, -0.8, 0, 0, 0], before: [1, 1, NaN, 1, 1, 1] });
    expect(plan.status).toBe('closest');
    expect(plan.changes[2]).toBe(0);
  });

  test('no size on hand: nothing can move', () => {
    const plan = planned(stepped({ shim_sizes_mm: [] }), { errors: [0, -2, 0, 0, 0, 0], before: [1, 1, 1, 1, 1, 1] });
    expect(plan).toMatchObject({ status: 'closest', barrels: 0, moved: 0 });
  });
});

const sixErrors = fc
  .array(real(-3, 3), { minLength: 5, maxLength: 5 })
  .map((others): readonly number[] => [0, ...others]);
const anyLift = real(1.7, 2.3);

describe('whatever was measured', () => {
  test('errors after the plan are those of its changes, within tolerance where it says so', () => {
    fc.assert(
      fc.property(sixErrors, anyLift, fc.constantFrom(...adjusters), (errors, lift, adjuster) => {
        const spec = stepped({ adjuster });
        const plan = planned(spec, { lift, errors });
        const list = Float64Array.from(errors);
        expectNear(plan.errorsAfter, [...errorsAfterShims(list, Float64Array.from(plan.changes), 1, 0.2, adjuster)]);
        const ends = plan.errorsAfter.every((e) => within(e, -0.5, 0.5)) && within(plan.liftAfter, 1.95, 2.1);
        expect(plan.inTolerance).toBe(ends);
        // The step is half the width allowed, so that one of its multiples always serves.
        expect(plan.inTolerance).toBe(true);
      }),
    );
  });

  test('never more barrels off, nor as many and more millimetres, than going to the nearest step one by one', () => {
    fc.assert(
      fc.property(sixErrors, anyLift, fc.constantFrom(...adjusters), (errors, lift, adjuster) => {
        const spec = stepped({ adjuster });
        const first = nearestStep(changeForLift(liftError(spec, lift), adjuster), 0.1);
        const changes = errors.map((e, k) =>
          k === 0 ? first : nearestStep(changeForPhase(e, 0.2, adjuster) + first, 0.1),
        );
        const [excess, , barrels, moved] = weigh(spec, { lift, errors, tolerance: 0.5 }, changes);
        fc.pre(excess === 0);
        const plan = planned(spec, { lift, errors });
        expect(plan.barrels).toBeLessThanOrEqual(barrels);
        if (plan.barrels === barrels) expect(plan.moved).toBeLessThanOrEqual(moved + 1e-9);
      }),
    );
  });

  test('does not care how the elements are numbered', () => {
    const order = fc.shuffledSubarray([0, 1, 2, 3, 4, 5], { minLength: 6, maxLength: 6 });
    fc.assert(
      fc.property(sixErrors, anyLift, order, (errors, lift, places) => {
        const plan = planned(stepped(), { lift, errors });
        const firing_order = [places.indexOf(0) + 1, ...[1, 2, 3, 4, 5].map((k) => places.indexOf(k) + 1)];
        const other = planned(stepped({ firing_order }), { lift, errors: places.map((k) => errors[k] ?? NaN) });
        expectNear(
          other.changes,
          places.map((k) => plan.changes[k] ?? NaN),
        );
        expect(other.status).toBe(plan.status);
      }),
    );
  });

  test('an adjuster that works the other way gets the same changes the other way', () => {
    fc.assert(
      fc.property(sixErrors, anyLift, real(0.02, 0.6), (errors, lift, tolerance) => {
        const barrel = planned(stepped(), { lift, errors, tolerance });
        const tappet = planned(stepped({ adjuster: 'tappet_shim' }), { lift, errors, tolerance });
        expect(tappet).toEqual({ ...barrel, changes: barrel.changes.map((x) => 0 - x) });
      }),
    );
  });

  test('any numbers at all: a stated answer, no stack used up', () => {
    const wild = fc.oneof(fc.double(), fc.constantFrom(NaN, Infinity, -Infinity, 0, 180, -0.001, 1), real(-2, 3));
    const six = fc.array(wild, { minLength: 6, maxLength: 6 });
    const sizes = fc.option(fc.array(real(0, 2), { maxLength: 5 }).map((list) => list.toSorted((a, b) => a - b)));
    fc.assert(
      fc.property(
        six,
        six,
        six,
        sizes,
        fc.constantFrom(...adjusters),
        (errors, before, other, sizesOnHand, adjuster) => {
          const [lift = NaN, tolerance = NaN, lift_mm = NaN, lift_plus_mm = NaN, shim_step_mm = NaN] = other;
          const spec = stepped({ adjuster, lift_mm, lift_plus_mm, shim_step_mm, shim_sizes_mm: sizesOnHand });
          const plan = planned(spec, { lift, errors, before, tolerance });
          expect(planStatuses).toContain(plan.status);
          if (plan.status === 'not measured') return;
          expect(plan.changes[0]).not.toBeNaN();
          expect(plan.barrels).toBe(plan.changes.filter((x) => x !== 0 && !Number.isNaN(x)).length);
          plan.changes.forEach((x, k) => {
            const stack = before[k] ?? NaN;
            const left = stack + x;
            if (x < 0 && stack >= 0 && adjuster !== 'tappet_screw') expect(left).toBeGreaterThan(LEAST_CHANGE_MM);
            expect(Number.isNaN(plan.errorsAfter[k] ?? NaN)).toBe(
              k === 0 ? Number.isNaN(errors[0] ?? NaN) : Number.isNaN(x),
            );
          });
        },
      ),
    );
  });

  test('a second plan of the same planner owes nothing to the first', () => {
    fc.assert(
      fc.property(sixErrors, sixErrors, anyLift, real(0.02, 0.6), (earlier, errors, lift, tolerance) => {
        const planner = new ShimPlanner(stepped(), tolerance);
        const before = [0.3, 0.3, 0.3, 0.3, 0.3, 0.3];
        const arrays = arraysOf(earlier, before);
        planner.plan(1.4, arrays);
        arrays.errors.set(errors);
        planner.plan(lift, arrays);
        expect(answer(planner, arrays)).toEqual(planned(stepped(), { lift, errors, tolerance, before }));
      }),
    );
  });
});
