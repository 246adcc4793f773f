import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { LEAST_CHANGE_MM } from '../../lib/calc/timing/phasing';
import { adjusters, expectNear, planned, pump, real, weigh, type Weights } from './planned';

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
  cam: fc.constantFrom('one rate', 'table', 'flank'),
});

/** Lift table around 2 mm whose rate goes from 0.1 to 0.4 mm a degree. */
const curve = { deg: Float64Array.of(0, 5, 9, 12, 14), mm: Float64Array.of(1.2, 1.7, 2.0, 2.4, 3.2) };

/** What the sheet says of the cam: one rate for all, a table, or the radii of a tangent cam, whose flank is curved in lift over angle. */
const cams = {
  'one rate': {},
  table: { cam_lift: curve },
  flank: { base_radius_mm: 14, roller_radius_mm: 8, lift_rate_mm_per_deg: NaN },
} as const;

describe('against every combination there is', () => {
  const reach = 8;

  test('by steps, with stacks and without', () => {
    fc.assert(
      fc.property(small, ({ n, adjuster, step, tolerance, room, lift, errors: all, before, cam }) => {
        const spec = pump(n, {
          adjuster,
          shim_step_mm: step,
          lift_minus_mm: room,
          lift_plus_mm: room,
          ...cams[cam],
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
      { numRuns: 90 },
    );
  });

  test('by sizes on hand', () => {
    const sizes = [0.8, 0.9, 0.95, 1, 1.02, 1.15, 1.3, 1.6];
    fc.assert(
      fc.property(small, fc.boolean(), ({ n, tolerance, room, lift, errors: all, cam }, barrel) => {
        const spec = pump(n, {
          adjuster: barrel ? 'barrel_shim' : 'tappet_shim',
          shim_sizes_mm: sizes,
          lift_minus_mm: room,
          lift_plus_mm: room,
          ...cams[cam],
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
      { numRuns: 90 },
    );
  });
});
