import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  attributePlan,
  chanceOfAcceptance,
  lotAtLeast,
  upperShare,
  type PlanAsked,
} from '../../lib/stats/attributePlan';
import { chanceOfAtMost } from '../../lib/stats/chanceOfCount';
import { drawSample } from '../../lib/stats/drawSample';
import { codeLetter, codeLetters, inspectionLevels, qualityLimits, standardPlan } from '../../lib/stats/iso2859';

/** The function's answer, which must be one. */
function told<T>(answer: T | null): T {
  if (answer === null) throw new Error('No answer');
  return answer;
}

const risks = fc.double({ min: 0.005, max: 0.4, noNaN: true });
const samples = fc.integer({ min: 1, max: 60 }).chain((size) =>
  fc.record({
    size: fc.constant(size),
    bad: fc.integer({ min: 0, max: size }),
    n: fc.integer({ min: 0, max: size }),
    most: fc.integer({ min: -1, max: size }),
  }),
);

/** n over k, in whole numbers. */
function choose(n: number, k: number): bigint {
  if (k < 0 || k > n) return 0n;
  let value = 1n;
  for (let i = 1; i <= k; i += 1) value = (value * BigInt(n - k + i)) / BigInt(i);
  return value;
}

describe('the chance of so many in a sample', () => {
  test('is the share of all samples, counted one by one in whole numbers', () => {
    fc.assert(
      fc.property(samples, ({ size, bad, n, most }) => {
        let held = 0n;
        for (let k = 0; k <= most; k += 1) held += choose(bad, k) * choose(size - bad, n - k);
        const exact = Number((held * 10n ** 15n) / choose(size, n)) / 1e15;
        expect(chanceOfAtMost(most, n, { size, bad })).toBeCloseTo(exact, 12);
      }),
    );
  });

  test('stays a chance in lots of any size, and nears that of a process without end', () => {
    const lot = { size: 10_000_000, bad: 500_000 };
    for (const most of [0, 5, 20]) {
      expect(chanceOfAtMost(most, 200, lot)).toBeCloseTo(chanceOfAtMost(most, 200, { share: 0.05 }), 4);
    }
    expect(chanceOfAtMost(5000, 100_000, lot)).toBeGreaterThan(0.49);
  });

  test('at the ends: nobody and everybody', () => {
    expect(chanceOfAtMost(0, 10, { share: 0 })).toBe(1);
    expect(chanceOfAtMost(9, 10, { share: 1 })).toBe(0);
    expect(chanceOfAtMost(10, 10, { share: 1 })).toBe(1);
    expect(chanceOfAtMost(4, 10, { size: 10, bad: 5 })).toBe(0);
    expect(chanceOfAtMost(5, 10, { size: 10, bad: 5 })).toBe(1);
  });

  test.each([
    [-1, { size: 5, bad: 1 }],
    [6, { size: 5, bad: 1 }],
    [2, { size: 5, bad: 6 }],
    [1.5, { share: 0.5 }],
    [2, { share: NaN }],
  ])('n %d is no sample', (n, lot) => {
    expect(chanceOfAtMost(1, n, lot)).toBeNaN();
  });
});

const small = fc.record({
  lot: fc.integer({ min: 5, max: 40 }),
  tolerable: fc.double({ min: 0.05, max: 0.6, noNaN: true }),
  risk: risks,
});

describe('a plan by stated risks', () => {
  test('is the smallest: none with fewer draws keeps the risk', () => {
    fc.assert(
      fc.property(small, fc.integer({ min: 0, max: 3 }), (asked, allowed) => {
        const plan = attributePlan({ ...asked, allowed });
        const bad = lotAtLeast(asked.lot, asked.tolerable);
        const keeps = (n: number): boolean => chanceOfAtMost(allowed, n, bad) <= asked.risk;
        const sizes = Array.from({ length: asked.lot }, (_, k) => k + 1);
        expect(plan?.n).toBe(sizes.find(keeps));
      }),
    );
  });

  test('with a producer’s risk it is the smallest of all pairs that keep both', () => {
    fc.assert(
      fc.property(small, risks, fc.double({ min: 0, max: 0.9, noNaN: true }), (asked, producerRisk, part) => {
        const expected = part * asked.tolerable;
        const plan = told(attributePlan({ ...asked, producer: { expected, risk: producerRisk } }));
        const intolerable = lotAtLeast(asked.lot, asked.tolerable);
        const good = { size: asked.lot, bad: Math.floor(expected * asked.lot + 1e-9) };
        const keeps = (n: number, c: number): boolean =>
          chanceOfAtMost(c, n, intolerable) <= asked.risk && 1 - chanceOfAtMost(c, n, good) <= producerRisk;
        expect(keeps(plan.n, plan.c)).toBe(true);
        for (let n = 1; n < plan.n; n += 1) for (let c = 0; c <= n; c += 1) expect(keeps(n, c)).toBe(false);
      }),
      { numRuns: 60 },
    );
  });

  test('the chance of acceptance falls with the share and rises with what is allowed', () => {
    const plans = fc.record({ n: fc.integer({ min: 1, max: 80 }), c: fc.integer({ min: 0, max: 6 }) });
    const shares = fc.tuple(fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true }));
    fc.assert(
      fc.property(plans, shares, fc.constantFrom(80, 1000, Infinity), (plan, pair, lot) => {
        const [less = 0, more = 0] = pair.toSorted((a, b) => a - b);
        const at = (share: number, c = plan.c): number => chanceOfAcceptance({ ...plan, c }, lot, share);
        expect(at(more)).toBeLessThanOrEqual(at(less) + 1e-12);
        expect(at(less, plan.c + 1)).toBeGreaterThanOrEqual(at(less) - 1e-12);
      }),
    );
  });

  const asked: PlanAsked = { lot: 100, tolerable: 0.05, risk: 0.05 };
  test.each<PlanAsked>([
    { ...asked, lot: 0 },
    { ...asked, lot: 1.5 },
    { ...asked, tolerable: 0 },
    { ...asked, tolerable: NaN },
    { ...asked, risk: 0 },
    { ...asked, risk: 1 },
    { ...asked, allowed: -1 },
    // Five of a hundred are intolerable, so five can't be allowed.
    { ...asked, allowed: 5 },
    { ...asked, producer: { expected: 0.05, risk: 0.1 } },
    { ...asked, lot: Infinity, tolerable: 1e-6 },
  ])('no plan for %o', (none) => {
    expect(attributePlan(none)).toBeNull();
  });
});

describe('the upper limit of a share', () => {
  test('is the last share that the sample does not speak against', () => {
    fc.assert(
      fc.property(samples, risks, ({ size, bad, n }, risk) => {
        fc.pre(n > 0);
        const found = Math.min(n, bad);
        const limit = Math.round(told(upperShare(found, n, size, risk)) * size);
        expect(chanceOfAtMost(found, n, { size, bad: limit })).toBeGreaterThan(risk);
        if (limit + n - found < size) {
          expect(chanceOfAtMost(found, n, { size, bad: limit + 1 })).toBeLessThanOrEqual(risk);
        }
      }),
    );
  });

  test('of an accepted lot lies below the tolerable share', () => {
    fc.assert(
      fc.property(small, fc.integer({ min: 0, max: 3 }), (each, allowed) => {
        const plan = attributePlan({ ...each, allowed });
        fc.pre(plan !== null);
        for (let found = 0; found <= plan.c; found += 1) {
          expect(told(upperShare(found, plan.n, each.lot, each.risk))).toBeLessThan(each.tolerable);
        }
      }),
    );
  });

  test('of a lot that was looked at whole is what was found', () => {
    expect(upperShare(3, 40, 40, 0.05)).toBe(3 / 40);
  });

  test.each([
    [-1, 5, 10],
    [6, 5, 10],
    [0, 0, 10],
    [0, 11, 10],
    [0.5, 5, 10],
  ])('%d of %d from %d has none', (found, n, lot) => {
    expect(upperShare(found, n, lot, 0.05)).toBeNull();
  });
});

describe('a standard plan', () => {
  test('draws no more than the lot, and refuses from one more than it accepts', () => {
    const lots = fc.integer({ min: 2, max: 1_000_000 });
    fc.assert(
      fc.property(
        lots,
        fc.constantFrom(...inspectionLevels),
        fc.constantFrom(...qualityLimits),
        (lot, level, limit) => {
          const plan = told(standardPlan(lot, level, limit));
          expect(plan.n).toBeLessThanOrEqual(lot);
          expect(plan.re).toBe(plan.ac + 1);
          expect(plan.whole).toBe(plan.n === lot);
        },
      ),
    );
  });

  test('a higher level never draws less by its letter, nor a larger lot', () => {
    const letters = (lot: number) => inspectionLevels.map((level) => codeLetters.indexOf(told(codeLetter(lot, level))));
    fc.assert(
      fc.property(fc.integer({ min: 2, max: 600_000 }), fc.integer({ min: 0, max: 10_000 }), (lot, more) => {
        const [one = 0, two = 0, three = 0] = letters(lot);
        expect(one).toBeLessThanOrEqual(two);
        expect(two).toBeLessThanOrEqual(three);
        letters(lot + more).forEach((letter, k) => {
          expect(letter).toBeGreaterThanOrEqual([one, two, three][k] ?? 0);
        });
      }),
    );
  });

  test('of one item there is none', () => {
    expect(standardPlan(1, 'II', 1)).toBeNull();
    expect(codeLetter(2.5, 'II')).toBeNull();
  });
});

describe('a drawn sample', () => {
  const names = fc.uniqueArray(fc.string({ minLength: 1, maxLength: 6 }), { minLength: 1, maxLength: 40 });

  test('is the same whatever the order of the names', () => {
    fc.assert(
      fc.property(names, fc.integer(), fc.nat(45), (some, seed, n) => {
        expect(drawSample(some.toReversed(), n, seed)).toEqual(drawSample(some, n, seed));
      }),
    );
  });

  test('holds each name once, and a larger one keeps those drawn before', () => {
    fc.assert(
      fc.property(names, fc.integer(), fc.nat(45), (some, seed, n) => {
        const drawn = drawSample([...some, ...some], n, seed);
        expect(new Set(drawn).size).toBe(Math.min(n, some.length));
        expect(some).toEqual(expect.arrayContaining([...drawn]));
        expect(drawSample(some, n + 3, seed).slice(0, drawn.length)).toEqual(drawn);
      }),
    );
  });

  test('draws every pair about as often as any other', () => {
    const counts = new Map<string, number>();
    const rounds = 6000;
    for (let seed = 0; seed < rounds; seed += 1) {
      const pair = [...drawSample(['a', 'b', 'c', 'd'], 2, seed)].sort().join('');
      counts.set(pair, (counts.get(pair) ?? 0) + 1);
    }
    expect(counts.size).toBe(6);
    // Five standard deviations about the sixth of them.
    for (const n of counts.values()) expect(Math.abs(n - rounds / 6)).toBeLessThan(5 * Math.sqrt((rounds * 5) / 36));
  });
});
