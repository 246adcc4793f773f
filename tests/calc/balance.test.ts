import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  BalancePlanner,
  runsPastSlot,
  slotLeft,
  type BalanceLimits,
  type BalancePlan,
} from '../../lib/calc/delivery/balance';
import { mean, spread } from '../../lib/calc/delivery/spread';
import type { SpreadBasis } from '../../lib/calc/types';
import { within } from '../../lib/calc/proof/verdict';

const bases: SpreadBasis[] = ['range_mm3', 'range_percent', 'deviation_mm3', 'deviation_percent'];
const GAINS = { perDegree: 2.5, perRackMm: 15 };

const asked = (low: number, high: number, limit: number, basis: SpreadBasis = 'range_mm3'): BalanceLimits => ({
  low_mm3: low,
  high_mm3: high,
  spread: limit,
  spread_basis: basis,
});

type Told = BalancePlan & Record<'rotation' | 'after', readonly number[]>;

function planFor(deliveries: readonly number[], limits: BalanceLimits, gains = GAINS): Told {
  const rotation = new Float64Array(deliveries.length).fill(777);
  const after = new Float64Array(deliveries.length).fill(777);
  const planner = new BalancePlanner(rotation, after);
  const plan = planner.plan(Float64Array.from(deliveries), deliveries.length, limits, gains);
  return { ...plan, rotation: [...rotation], after: [...after] };
}

const shiftedBy = (deliveries: readonly number[], shift: number) => deliveries.map((delivery) => delivery + shift);
const turnedOf = (plan: Told) => plan.rotation.filter((deg) => deg !== 0).length;

/** Whether deliveries meet the limits, the band widened by `more` mm3, the spread by twice that, in mm3 or percent. */
function meets(deliveries: readonly number[], limits: BalanceLimits, more = 0): boolean {
  const values = Float64Array.from(deliveries);
  const low = limits.low_mm3 - more;
  const high = limits.high_mm3 + more;
  if (Number.isNaN(limits.spread)) return deliveries.every((delivery) => within(delivery, low, high));
  const amount = spread(values, values.length, limits.spread_basis);
  return within(mean(values, values.length), low, high) && within(amount, NaN, limits.spread + 2 * more);
}

/** Whether `ok` holds for some setting of the elements in `turned`, each for itself, on the grid. */
function someSetting(
  deliveries: readonly number[],
  turned: readonly number[],
  grid: readonly number[],
  ok: (set: readonly number[]) => boolean,
): boolean {
  const set = [...deliveries];
  const from = (place: number): boolean => {
    const element = turned[place];
    if (element === undefined) return ok(set);
    return grid.some((value) => {
      set[element] = value;
      return from(place + 1);
    });
  };
  return from(0);
}

/** Fewest elements turned, by trying every choice and every setting on the grid; all of them where nothing less does. */
function fewestByTrial(
  deliveries: readonly number[],
  grid: readonly number[],
  ok: (set: readonly number[]) => boolean,
) {
  const choices = Array.from({ length: 2 ** deliveries.length - 1 }, (_, mask) =>
    deliveries.map((_, element) => element).filter((element) => (mask >> element) % 2 === 1),
  );
  const works = choices.filter((turned) => someSetting(deliveries, turned, grid, ok)).map((turned) => turned.length);
  return Math.min(deliveries.length, ...works);
}

const STEP = 0.5;
// No target that the limits below can ask for lies outside it.
const grid = Array.from({ length: 57 }, (_, k) => 46 + k * STEP);
const half = (min: number, max: number) => fc.integer({ min: 2 * min, max: 2 * max }).map((halves) => halves / 2);
const few = (maxLength: number) => fc.array(half(54, 66), { minLength: 1, maxLength });
const limit = fc.oneof(fc.constant(NaN), half(0, 6));
const bands = fc.tuple(half(56, 62), half(0, 3)).map(([low, width]) => [low, low + width] as const);

describe('the fewest elements turned', () => {
  // A grid can miss a setting, never invent one; with every limit a step wider it misses none. Every element is tried on its
  // own value, so that one common target is put to the test as well.
  test('agrees with trying every setting of every choice', () => {
    fc.assert(
      fc.property(few(4), bands, limit, fc.constantFrom(...bases), (deliveries, [low, high], allowed, basis) => {
        const limits = asked(low, high, allowed, basis);
        const { turned } = planFor(deliveries, limits);
        expect(turned).toBeLessThanOrEqual(fewestByTrial(deliveries, grid, (set) => meets(set, limits)));
        const wider = (set: readonly number[]) => meets(set, limits, STEP);
        expect(turned).toBeGreaterThanOrEqual(fewestByTrial(deliveries, grid, wider));
      }),
      { numRuns: 60 },
    );
  });

  test('with the rack free it agrees with trying every shift, where the limit is in mm3', () => {
    const shifts = Array.from({ length: 49 }, (_, k) => (k - 24) * STEP);
    const inMm3 = fc.constantFrom<SpreadBasis>('range_mm3', 'deviation_mm3');
    fc.assert(
      fc.property(few(3), bands, limit, inMm3, (deliveries, [low, high], allowed, basis) => {
        const limits = asked(low, high, allowed, basis);
        const { turnedWithRack } = planFor(deliveries, limits);
        const shifted = (more: number) => (set: readonly number[]) =>
          shifts.some((shift) => meets(shiftedBy(set, shift), limits, more));
        expect(turnedWithRack).toBeLessThanOrEqual(fewestByTrial(deliveries, grid, shifted(0)));
        expect(turnedWithRack).toBeGreaterThanOrEqual(fewestByTrial(deliveries, grid, shifted(STEP)));
      }),
      { numRuns: 40 },
    );
  });

  test('with the rack free and a limit in percent it agrees with trying every setting about the middle of the band', () => {
    const inPercent = fc.constantFrom<SpreadBasis>('range_percent', 'deviation_percent');
    fc.assert(
      fc.property(few(4), bands, half(0, 8), inPercent, (deliveries, [low, high], allowed, basis) => {
        const limits = asked(low, high, allowed, basis);
        const plan = planFor(deliveries, limits);
        const centred = (more: number) => (set: readonly number[]) => {
          const shift = (low + high) / 2 - set.reduce((sum, delivery) => sum + delivery, 0) / set.length;
          return meets(shiftedBy(set, shift), limits, more);
        };
        const least = (more: number) => Math.min(plan.turned, fewestByTrial(deliveries, grid, centred(more)));
        expect(plan.turnedWithRack).toBeLessThanOrEqual(least(0));
        expect(plan.turnedWithRack).toBeGreaterThanOrEqual(least(STEP));
      }),
      { numRuns: 40 },
    );
  });
});

describe('the plan', () => {
  const many = fc.array(fc.double({ min: 0, max: 150, noNaN: true }), { minLength: 1, maxLength: 8 });
  const end = fc.double({ min: 1, max: 100, noNaN: true });
  const allowed = fc.oneof(fc.constant(NaN), fc.double({ min: 0, max: 20, noNaN: true }));
  const basis = fc.constantFrom(...bases);

  test('brings the mean into its band and the spread within its limit, on every basis', () => {
    fc.assert(
      fc.property(many, end, end, allowed, basis, (deliveries, one, other, most, on) => {
        const limits = asked(Math.min(one, other), Math.max(one, other), most, on);
        const plan = planFor(deliveries, limits);
        expect(meets(plan.after, limits)).toBe(true);
        expect(plan.meanAfter).toBe(mean(Float64Array.from(plan.after), plan.after.length));
        expect(plan.spreadAfter).toBe(spread(Float64Array.from(plan.after), plan.after.length, on));
      }),
      { numRuns: 500 },
    );
  });

  test('the rack and the rotations together make the deliveries it tells', () => {
    fc.assert(
      fc.property(many, end, end, allowed, basis, (deliveries, one, other, most, on) => {
        const limits = asked(Math.min(one, other), Math.max(one, other), most, on);
        const plan = planFor(deliveries, limits);
        deliveries.forEach((delivery, k) => {
          const made = delivery + plan.rackMove_mm * GAINS.perRackMm + (plan.rotation[k] ?? NaN) * GAINS.perDegree;
          expect(made).toBeCloseTo(plan.after[k] ?? NaN, 8);
        });
        expect(turnedOf(plan)).toBeLessThanOrEqual(Math.min(plan.turned, plan.turnedWithRack));
        expect(plan.status === 'move the rack').toBe(plan.turnedWithRack < plan.turned);
        expect(plan.turnedWithRack).toBeLessThan(deliveries.length);
      }),
      { numRuns: 500 },
    );
  });

  test('does not care which element is which', () => {
    const shuffled = few(8).chain((list) =>
      fc.tuple(fc.constant(list), fc.shuffledSubarray(list, { minLength: list.length })),
    );
    fc.assert(
      fc.property(shuffled, bands, limit, basis, ([deliveries, mixed], [low, high], most, on) => {
        const limits = asked(low, high, most, on);
        const { rotation, after, ...figures } = planFor(deliveries, limits);
        const { rotation: rotationMixed, after: afterMixed, ...figuresMixed } = planFor(mixed, limits);
        const sorted = (list: readonly number[]) => list.toSorted((a, b) => a - b);
        expect(sorted(rotationMixed)).toEqual(sorted(rotation));
        expect(sorted(afterMixed)).toEqual(sorted(after));
        expect(figuresMixed.meanAfter).toBeCloseTo(figures.meanAfter, 10);
        expect(figuresMixed.spreadAfter).toBeCloseTo(figures.spreadAfter, 10);
        expect({ ...figuresMixed, meanAfter: 0, spreadAfter: 0 }).toEqual({ ...figures, meanAfter: 0, spreadAfter: 0 });
      }),
    );
  });

  test('does not depend on the plan made before it', () => {
    const rotation = new Float64Array(12);
    const after = new Float64Array(12);
    const planner = new BalancePlanner(rotation, after);
    fc.assert(
      fc.property(many, end, end, allowed, basis, (deliveries, one, other, most, on) => {
        const limits = asked(one, other, most, on);
        const n = deliveries.length;
        const again = planner.plan(Float64Array.from(deliveries), n, limits, GAINS);
        const alone = planFor(deliveries, limits);
        expect({ ...again, rotation: [...rotation.subarray(0, n)], after: [...after.subarray(0, n)] }).toEqual(alone);
      }),
    );
  });
});

describe('plans reckoned by hand', () => {
  test('one element off is the one turned, to the middle of the others', () => {
    const plan = planFor([60, 61, 60, 59, 66, 60], asked(58, 62, 3));
    expect(plan).toMatchObject({
      status: 'turn',
      turned: 1,
      turnedWithRack: 1,
      target: 60,
      rackMove_mm: 0,
      meanAfter: 60,
    });
    expect(plan.rotation).toEqual([0, 0, 0, 0, (60 - 66) / GAINS.perDegree, 0]);
    expect(plan.spreadAfter).toBe(2);
  });

  // 57 and 63 are as far from the middle as one another; the lower one goes up.
  test('of choices as good, the lower delivery', () => {
    expect(planFor([63, 57, 60], asked(NaN, NaN, 3)).rotation).toEqual([0, (61.5 - 57) / GAINS.perDegree, 0]);
  });

  // With the rack still 59, 59, 59, 63 would do, mean 60.
  test('an element would be turned away from the rest to bring the mean in; the rack need not', () => {
    expect(planFor([59, 59, 59, 59], asked(60, 62, 4), { ...GAINS, perRackMm: NaN })).toMatchObject({
      status: 'move the rack',
      turned: 1,
      turnedWithRack: 0,
      shift: 2,
      rackMove_mm: NaN,
    });
  });

  test('all low together: the rack, not the barrels', () => {
    const plan = planFor([51, 50, 49, 50], asked(59, 61, 3));
    expect(plan).toMatchObject({ status: 'move the rack', turned: 4, turnedWithRack: 0, target: NaN, shift: 10 });
    expect(plan.rackMove_mm).toBeCloseTo(10 / GAINS.perRackMm, 12);
    expect(plan.rotation).toEqual([0, 0, 0, 0]);
    expect(plan.after).toEqual([61, 60, 59, 60]);
  });

  // The three left alone shift with the rack; mean 60 needs (50 + 50 + 50 + t) / 4 + shift = 60 with t = 50.
  test('all low and one off besides: the rack, and one barrel', () => {
    const plan = planFor([50, 50, 50, 56], asked(59, 61, 3));
    expect(plan).toMatchObject({ status: 'move the rack', turnedWithRack: 1, target: 60, shift: 10 });
    expect(plan.rotation).toEqual([0, 0, 0, (50 - 56) / GAINS.perDegree]);
  });

  // No window of 1 mm3 about the mean of a band this narrow holds any of them.
  test('all must be turned where each is off on its own: to the middle of the band', () => {
    const plan = planFor([40, 50, 70, 80], asked(59.9, 60.1, 1));
    expect(plan.turned).toBe(4);
    expect(plan).toMatchObject({ status: 'move the rack', turnedWithRack: 3, target: 60 });
  });

  test('in percent the mean counts: 3 percent of 60 is 1.8', () => {
    expect(planFor([60, 61, 59.2, 60], asked(58, 62, 3, 'range_percent')).status).toBe('in already');
    expect(planFor([60, 61, 59.1, 60], asked(58, 62, 3, 'range_percent')).turned).toBe(1);
    // 5 percent are 3 at the middle of the band, where the rack aims; 3.5 at its top would spare both.
    expect(planFor([40, 43.2], asked(50, 70, 5, 'range_percent'))).toMatchObject({ turned: 2, turnedWithRack: 1 });
  });

  test('without a spread limit every element must lie in the band', () => {
    const plan = planFor([60, 61.5, 57, 64], asked(59, 62, NaN));
    expect(plan).toMatchObject({ status: 'turn', turned: 2, target: 60.75, turnedWithRack: 2 });
  });

  // 58 to 61 fit in 59 to 62 only with a shift of exactly 1, though the mean then lies above the middle.
  test('without a spread limit the rack goes only as far as every element stays in the band', () => {
    expect(planFor([58, 61, 61, 61], asked(59, 62, NaN))).toMatchObject({
      status: 'move the rack',
      turned: 1,
      turnedWithRack: 0,
      shift: 1,
      meanAfter: 61.25,
    });
  });

  test('nothing is set or shifted below 0', () => {
    // One at -20 would bring the mean to 5; a shift by -70/3 would bring 20 to -10/3.
    expect(planFor([30, 30], asked(3, 5, 60)).turned).toBe(2);
    expect(planFor([20, 28, 28], asked(1, 3, 10)).turnedWithRack).toBe(1);
  });

  // Four lie within 6 of one another. Leaving 68 to 74 turns the others by 64 in all, to 71. Leaving 70 to 76 turns them by 63,
  // to 71.5, with the mean at the top of its band; leaving 66 to 72 does as well, but turns more of the higher ones.
  test('twelve elements: of eight that must be turned, those that turn least', () => {
    const deliveries = Array.from({ length: 12 }, (_, k) => 60 + 2 * k);
    const plan = planFor(deliveries, asked(70, 72, 6));
    expect(plan).toMatchObject({ status: 'turn', turned: 8, turnedWithRack: 8 });
    expect(plan.target).toBeCloseTo(71.5, 10);
    expect(plan.after.slice(5, 9)).toEqual([70, 72, 74, 76]);
  });
});

describe('stated answers', () => {
  test('all equal and in: nothing to do', () => {
    const plan = planFor([60, 60, 60], asked(59, 61, 0));
    expect(plan).toMatchObject({ status: 'in already', turned: 0, turnedWithRack: 0, target: NaN, rackMove_mm: 0 });
    expect(plan.rotation).toEqual([0, 0, 0]);
    expect(plan.after).toEqual([60, 60, 60]);
  });

  test('a pump of one element is balanced by its rack', () => {
    expect(planFor([60], asked(59, 61, 2)).status).toBe('in already');
    expect(planFor([55], asked(59, 61, 2))).toMatchObject({
      status: 'move the rack',
      turned: 1,
      turnedWithRack: 0,
      shift: 5,
    });
  });

  test('on the limit is in, whatever binary arithmetic makes of it', () => {
    expect(planFor([180, 180.3], asked(180, 181, 0.3)).status).toBe('in already');
    expect(planFor([180, 180.3, 190], asked(180, 180.2, 0.3)).turned).toBe(1);
  });

  test.each([0, -2, NaN, Infinity])('a gain of %d is unknown: which elements and to what, but not how far', (gain) => {
    const plan = planFor([60, 60, 66, 60], asked(58, 62, 3), { ...GAINS, perDegree: gain });
    expect(plan).toMatchObject({ status: 'gain unknown', turned: 1, target: 60 });
    expect(plan.rotation).toEqual([0, 0, NaN, 0]);
    expect(plan.after).toEqual([60, 60, 60, 60]);
  });

  test('a gain is not needed where nothing is turned', () => {
    expect(planFor([60, 60], asked(58, 62, 3), { ...GAINS, perDegree: NaN }).status).toBe('in already');
    expect(planFor([50, 50], asked(58, 62, 3), { ...GAINS, perDegree: NaN })).toMatchObject({
      status: 'move the rack',
      rackMove_mm: 10 / GAINS.perRackMm,
    });
  });

  test('the rack goes first where the gain of the barrels is unknown too', () => {
    const plan = planFor([50, 50, 50, 56], asked(59, 61, 3), { ...GAINS, perDegree: NaN });
    expect(plan).toMatchObject({ status: 'gain unknown', turnedWithRack: 1, target: 60, shift: 10 });
  });

  test.each([
    ['one missing', [60, NaN, 60]],
    ['one below 0', [60, -1, 60]],
    ['no element', []],
    ['more elements than a pump has', new Array<number>(13).fill(60)],
  ])('incomplete: %s', (_, deliveries) => {
    const plan = planFor(deliveries, asked(50, 70, 5));
    expect(plan).toMatchObject({ status: 'incomplete', turned: 0, target: NaN, meanAfter: NaN, spreadAfter: NaN });
    expect(plan.rotation.every(Number.isNaN)).toBe(true);
    expect(plan.after.every(Number.isNaN)).toBe(true);
  });

  test.each([
    ['a band upside down', asked(62, 58, 3)],
    ['a band below 0', asked(-5, -1, 3)],
    ['a spread below 0', asked(58, 62, -1)],
  ])('not reachable: %s', (_, limits) => {
    const plan = planFor([60, 66], limits);
    expect(plan).toMatchObject({ status: 'not reachable', turned: 0, meanAfter: NaN });
    expect(plan.rotation).toEqual([NaN, NaN]);
  });

  test('nothing asked is in already', () => {
    expect(planFor([10, 90], asked(NaN, NaN, NaN)).status).toBe('in already');
  });

  test('no band: the spread alone is met, and the rack has nowhere to go', () => {
    const plan = planFor([60, 61, 70], asked(NaN, NaN, 2));
    expect(plan).toMatchObject({ status: 'turn', turned: 1, turnedWithRack: 1, target: 60.5 });
  });

  test('a band with one end: no further than to it', () => {
    expect(planFor([50, 50], asked(60, NaN, 1))).toMatchObject({ status: 'move the rack', shift: 10, meanAfter: 60 });
    expect(planFor([70, 70], asked(NaN, 60, 1))).toMatchObject({ status: 'move the rack', shift: -10, meanAfter: 60 });
  });
});

describe('rotation left in the slot', () => {
  // A slot of 20 deg leaves 10 either way from its middle; 4 are used towards more fuel.
  test.each([
    [3, 6, false],
    [6, 6, false],
    [6.1, 6, true],
    [-14, 14, false],
    [-14.1, 14, true],
    [0, 6, false],
  ])('turning by %d deg has %d deg to go; past the end: %s', (rotation, left, past) => {
    expect(slotLeft(20, 4, rotation)).toBeCloseTo(left, 12);
    expect(runsPastSlot(20, 4, rotation)).toBe(past);
  });

  test('a slot overrun already lets nothing further that way, and all back', () => {
    expect(slotLeft(20, 12, 1)).toBe(-2);
    expect(runsPastSlot(20, 12, 1)).toBe(true);
    expect(runsPastSlot(20, 12, -22)).toBe(false);
  });

  test('not told unless slot, use and rotation are', () => {
    expect([slotLeft(NaN, 4, 3), slotLeft(20, NaN, 3), slotLeft(20, 4, NaN)]).toEqual([NaN, NaN, NaN]);
    expect([runsPastSlot(NaN, 4, 3), runsPastSlot(20, NaN, 3), runsPastSlot(20, 4, NaN)]).not.toContain(true);
  });
});
