import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { liftRate } from '../../lib/calc/cam';
import { changeForPhase, errorsAfterShims, LEAST_CHANGE_MM, nearestStep } from '../../lib/calc/phasing';
import { ASSUMED_STEP_MM, type PlanArrays, planStatuses, planStep, ShimPlanner } from '../../lib/calc/shimplan';
import { changeForLift, highestLift, liftError, liftPerAdjuster, lowestLift } from '../../lib/calc/timing';
import type { Adjuster, Spec } from '../../lib/calc/types';
import { within } from '../../lib/calc/verdict';
import { sixElements } from './build';

const adjusters: Adjuster[] = ['barrel_shim', 'tappet_shim', 'tappet_screw'];
const real = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const stepped = (differs: Partial<Spec> = {}) =>
  sixElements({ shim_step_mm: 0.1, lift_rate_mm_per_deg: 0.2, ...differs });

/** A pump of `n` elements, the last of them the reference, so that place and number of an element differ. */
const pump = (n: number, differs: Partial<Spec> = {}) =>
  stepped({ elements: n, firing_order: Array.from({ length: n }, (_, k) => n - k), ...differs });

interface Measured {
  readonly lift?: number;
  readonly errors: readonly number[];
  readonly before?: readonly number[];
  readonly tolerance?: number;
}

function arraysOf(errors: readonly number[], before: readonly number[]): PlanArrays {
  return {
    errors: Float64Array.from(errors),
    before: Float64Array.from(errors, (_, k) => before[k] ?? NaN),
    changes: new Float64Array(errors.length).fill(7),
    errorsAfter: new Float64Array(errors.length).fill(7),
  };
}

/** What a planner answered last: its figures, and the arrays as lists. */
function answer(planner: ShimPlanner, { changes, errorsAfter }: PlanArrays) {
  const { inTolerance, barrels, moved, liftAfter, worstAfter } = planner;
  const figures = { inTolerance, barrels, moved, liftAfter, worstAfter };
  return { status: planStatuses[planner.status], ...figures, changes: [...changes], errorsAfter: [...errorsAfter] };
}

function planned(spec: Spec, { lift = spec.lift_mm, errors, before = [], tolerance = 0.5 }: Measured) {
  const planner = new ShimPlanner(spec, tolerance);
  const arrays = arraysOf(errors, before);
  planner.plan(lift, arrays);
  return answer(planner, arrays);
}

function expectNear(found: readonly number[], expected: readonly number[]): void {
  expect(found).toHaveLength(expected.length);
  expected.forEach((value, k) => {
    if (Number.isNaN(value)) expect(found[k]).toBeNaN();
    else expect(found[k]).toBeCloseTo(value, 9);
  });
}

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

  test('at the new reference lift the rate is that of the cam there', () => {
    // 0.1 mm a degree up to 2 mm, 0.4 above it: 0.1 mm is 0.25 degrees once the reference stands at 2.1.
    const cam_lift = { deg: Float64Array.of(0, 20, 40), mm: Float64Array.of(0, 2, 10) };
    const spec = pump(3, { cam_lift, lift_mm: 2.1, lift_minus_mm: 0.01, lift_plus_mm: 0.01 });
    const plan = planned(spec, { lift: 2, errors: [0.6, 0.2, 0] });
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

describe('the step', () => {
  const screw = { adjuster: 'tappet_screw', shim_step_mm: NaN } as const;
  test.each<[string, Partial<Spec>, number, boolean]>([
    ['stated', { shim_step_mm: 0.1 }, 0.1, false],
    ['sizes before a step', { shim_step_mm: 0.1, shim_sizes_mm: [1] }, NaN, false],
    ['neither: 0.05 mm (common practice, no source)', { shim_step_mm: NaN }, 0.05, true],
    ['a screw: 1/12 of a turn (common practice, no source)', { ...screw, screw_mm_per_turn: 0.9 }, 0.075, true],
    ['a screw with a step', { ...screw, screw_mm_per_turn: 1, shim_step_mm: 0.02 }, 0.02, false],
    ['a screw has no sizes', { ...screw, screw_mm_per_turn: 1.2, shim_sizes_mm: [1] }, 0.1, true],
    ['a screw of unknown pitch', screw, ASSUMED_STEP_MM, true],
    ['a step below what can be told', { shim_step_mm: 0.0005 }, ASSUMED_STEP_MM, true],
  ])('%s', (_, differs, step, assumed) => {
    const found = planStep(stepped(differs));
    expectNear([found.step], [step]);
    expect(found.assumed).toBe(assumed);
  });
});

/** What every plan is weighed by, in this order. */
type Weights = readonly [excess: number, all: number, barrels: number, moved: number, worst: number];

/** Weighs changes [mm] by the definitions of the plan alone. */
function weigh(spec: Spec, m: Required<Omit<Measured, 'before'>>, changes: readonly number[]): Weights {
  const reference = spec.firing_order[0] ?? NaN;
  const sign = liftPerAdjuster(spec.adjuster);
  const lift = m.lift + sign * (changes[reference - 1] ?? NaN);
  const { rate } = liftRate(spec, lift);
  const after = errorsAfterShims(
    Float64Array.from(m.errors),
    Float64Array.from(changes),
    reference,
    rate,
    spec.adjuster,
  );
  const past = (e: number) => (within(e, -m.tolerance, m.tolerance) ? 0 : (Math.abs(e) - m.tolerance) * rate);
  const outside = within(lift, lowestLift(spec), highestLift(spec))
    ? 0
    : Math.max(lowestLift(spec) - lift, lift - highestLift(spec));
  return [
    Math.max(outside, ...Array.from(after, past)),
    Array.from(after, past).reduce((sum, excess) => sum + excess, outside),
    changes.filter((x) => x !== 0).length,
    changes.reduce((sum, x) => sum + Math.abs(x), 0),
    Math.max(...Array.from(after, Math.abs)),
  ];
}

/** The least weights of all combinations of `choices`: the least first weight, of those the least second, and so on. */
function lightest(choices: readonly (readonly number[])[], weights: (changes: readonly number[]) => Weights): Weights {
  let all: Weights[] = [];
  const walk = (chosen: number[]) => {
    const next = choices[chosen.length];
    if (next === undefined) all.push(weights(chosen));
    else for (const x of next) walk([...chosen, x]);
  };
  walk([]);
  for (const k of [0, 1, 2, 3, 4] as const) {
    const least = all.reduce((lowest, w) => Math.min(lowest, w[k]), Infinity);
    all = all.filter((w) => w[k] <= least + 1e-9);
  }
  return all[0] ?? [NaN, NaN, NaN, NaN, NaN];
}

const small = fc.record({
  n: fc.integer({ min: 1, max: 4 }),
  adjuster: fc.constantFrom(...adjusters),
  step: fc.constantFrom(0.05, 0.1),
  tolerance: fc.constantFrom(0.1, 0.3, 0.5),
  room: fc.constantFrom(0, 0.04, 0.12),
  lift: real(1.85, 2.15),
  errors: fc.array(real(-1.2, 1.2), { minLength: 4, maxLength: 4 }),
  before: fc.array(fc.constantFrom(NaN, 0.1, 0.2, 1), { minLength: 4, maxLength: 4 }),
  curved: fc.boolean(),
});

/** Lift table around 2 mm whose rate goes from 0.1 to 0.4 mm a degree. */
const curve = { deg: Float64Array.of(0, 5, 9, 12, 14), mm: Float64Array.of(1.2, 1.7, 2.0, 2.4, 3.2) };

describe('against every combination there is', () => {
  const reach = 8;

  test('by steps, with stacks and without', () => {
    fc.assert(
      fc.property(small, ({ n, adjuster, step, tolerance, room, lift, errors: all, before, curved }) => {
        const spec = pump(n, {
          adjuster,
          shim_step_mm: step,
          lift_minus_mm: room,
          lift_plus_mm: room,
          cam_lift: curved ? curve : null,
        });
        const errors = [...all.slice(0, n - 1), 0];
        const choices = errors.map((_, k) =>
          Array.from({ length: 2 * reach + 1 }, (__, j) => (j - reach) * step).filter(
            (x) =>
              x === 0 ||
              adjuster === 'tappet_screw' ||
              Number.isNaN(before[k] ?? NaN) ||
              (before[k] ?? NaN) + x > LEAST_CHANGE_MM,
          ),
        );
        const weights = (changes: readonly number[]) => weigh(spec, { lift, errors, tolerance }, changes);
        const plan = planned(spec, { lift, errors, before, tolerance });
        // Beyond this reach it can be no worse than within it, but the comparison would prove less.
        fc.pre(plan.changes.every((x) => Math.abs(x) <= (reach + 0.5) * step));
        const found = weights(plan.changes);
        expectNear(found, lightest(choices, weights));
        expect(plan.changes.every((x, k) => choices[k]?.some((choice) => Math.abs(choice - x) < 1e-12))).toBe(true);
        expectNear([plan.barrels, plan.moved], found.slice(2, 4));
        expect(plan.inTolerance).toBe(found[0] === 0);
      }),
      { numRuns: 60 },
    );
  });

  test('by sizes on hand', () => {
    const sizes = [0.8, 0.9, 0.95, 1, 1.02, 1.15, 1.3, 1.6];
    fc.assert(
      fc.property(small, fc.boolean(), ({ n, tolerance, room, lift, errors: all, curved }, barrel) => {
        const spec = pump(n, {
          adjuster: barrel ? 'barrel_shim' : 'tappet_shim',
          shim_sizes_mm: sizes,
          lift_minus_mm: room,
          lift_plus_mm: room,
          cam_lift: curved ? curve : null,
        });
        const errors = [...all.slice(0, n - 1), 0];
        const before = [1, 1.15, NaN, 0.97];
        const choices = errors.map((_, k) => {
          const stack = before[k] ?? NaN;
          return Number.isNaN(stack) ? [0] : [0, ...sizes.filter((size) => size !== stack).map((size) => size - stack)];
        });
        const weights = (changes: readonly number[]) => weigh(spec, { lift, errors, tolerance }, changes);
        const plan = planned(spec, { lift, errors, before, tolerance });
        expectNear(weights(plan.changes), lightest(choices, weights));
        expect(plan.changes.every((x, k) => choices[k]?.some((choice) => Math.abs(choice - x) < 1e-12))).toBe(true);
      }),
      { numRuns: 60 },
    );
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
