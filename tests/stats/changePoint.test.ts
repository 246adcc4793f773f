import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { changeOfMean } from '../../lib/stats/changePoint';
import { changeOfShare } from '../../lib/stats/changeOfShare';
import { seededChance } from '../../lib/stats/shuffle';
import { bounds, normals } from './chance';

const quick = { rounds: 19 };
const times = <T>(n: number, make: (k: number) => T): T[] => Array.from({ length: n }, (_, k) => make(k));

/** A p-value keeps its level: as many small ones as there should be, neither more nor, where told, fewer. */
function expectUniform(ps: readonly number[], exactly: boolean): void {
  for (const level of [0.05, 0.2, 0.5]) {
    const [low, high] = bounds(ps.length, level);
    const count = ps.filter((p) => p <= level).length;
    expect(count, `p up to ${level}`).toBeLessThanOrEqual(high);
    if (exactly) expect(count, `p up to ${level}`).toBeGreaterThanOrEqual(low);
  }
}

describe('change of level in a series of numbers', () => {
  const distinct = fc.uniqueArray(fc.integer({ min: -5000, max: 5000 }), { minLength: 6, maxLength: 30 });

  test('backwards it is the same change, before and after exchanged', () => {
    fc.assert(
      fc.property(distinct, (values) => {
        const [plain, turned] = [changeOfMean(values, quick), changeOfMean(values.toReversed(), quick)];
        expect(turned?.statistic).toBeCloseTo(plain?.statistic ?? NaN, 9);
        // Two splits as likely as each other may tell either.
        const tied = turned?.at !== values.length - (plain?.at ?? NaN);
        if (!tied) {
          expect(turned.before).toBeCloseTo(plain?.after ?? NaN, 9);
          expect(turned.after).toBeCloseTo(plain?.before ?? NaN, 9);
        }
      }),
    );
    const turned = changeOfMean([9, 8, 9, 8, 3, 2, 1].toReversed(), quick);
    expect(turned).toMatchObject({ at: 3, before: 2, after: 8.5 });
  });

  test('another level and unit change neither place, statistic nor p', () => {
    fc.assert(
      fc.property(distinct, fc.integer({ min: -100, max: 100 }), fc.constantFrom(0.25, 2, -4), (values, by, factor) => {
        const plain = changeOfMean(values, quick);
        const moved = changeOfMean(
          values.map((value) => by + factor * value),
          quick,
        );
        expect(moved?.statistic).toBeCloseTo(plain?.statistic ?? NaN, 8);
        expect(moved?.p).toBe(plain?.p);
        expect(moved?.before).toBeCloseTo(by + factor * (plain?.before ?? NaN), 6);
      }),
    );
  });

  test('finds a clear step, and says so with a small p', () => {
    const normal = normals(11);
    for (const at of [8, 20, 30]) {
      const values = times(40, (k) => normal(k < at ? 60 : 64, 1));
      const told = changeOfMean(values);
      expect(Math.abs((told?.at ?? NaN) - at)).toBeLessThanOrEqual(1);
      expect(told?.p).toBeLessThan(0.01);
      expect(told?.before).toBeCloseTo(60, -0.3);
      expect(told?.after).toBeCloseTo(64, -0.3);
    }
  });

  test('without a change its p-value is uniform, for normal and for skew readings', () => {
    const normal = normals(12);
    const settings = { rounds: 199 };
    const made = (skew: boolean) =>
      times(400, (seed) => {
        const values = times(24, () => (skew ? Math.exp(normal()) : normal()));
        return changeOfMean(values, { ...settings, seed })?.p ?? NaN;
      });
    expectUniform(made(false), true);
    expectUniform(made(true), true);
  });

  test('equal readings: no change; too short: nothing told; what was not read is passed over', () => {
    expect(changeOfMean([4, 4, 4, 4, 4, 4])).toMatchObject({ statistic: 0, p: 1, before: 4, after: 4 });
    expect(changeOfMean([1, 2, 3, 4, 5])).toBeNull();
    expect(changeOfMean([1, 2], { shortest: 0 })).toBeNull();
    expect(changeOfMean([1, NaN, 1, 1, NaN, 5, 5, 5], quick)).toMatchObject({
      at: 5,
      before: 1,
      after: 5,
      statistic: Infinity,
    });
  });

  test('the same seed tells the same p, another may differ', () => {
    const values = [3, 1, 4, 1, 5, 9, 2, 6, 5, 3, 5, 8];
    expect(changeOfMean(values, { seed: 5 })).toEqual(changeOfMean(values, { seed: 5 }));
    const ps = times(5, (seed) => changeOfMean(values, { seed })?.p ?? NaN);
    expect(Math.max(...ps) - Math.min(...ps)).toBeLessThan(0.1);
  });
});

describe('change of a share', () => {
  const periods = fc
    .array(
      fc.integer({ min: 1, max: 30 }).chain((n) => fc.tuple(fc.integer({ min: 0, max: n }), fc.constant(n))),
      { minLength: 6, maxLength: 20 },
    )
    .map((pairs) => ({ k: pairs.map(([k]) => k), n: pairs.map(([, n]) => n) }));

  test('backwards, or counting failures, the evidence is the same', () => {
    fc.assert(
      fc.property(periods, ({ k, n }) => {
        const plain = changeOfShare(k, n, quick);
        const turned = changeOfShare(k.toReversed(), n.toReversed(), quick);
        const mirrored = changeOfShare(
          k.map((one, i) => (n[i] ?? NaN) - one),
          n,
          quick,
        );
        expect(turned?.statistic).toBeCloseTo(plain?.statistic ?? NaN, 8);
        expect(mirrored?.statistic).toBeCloseTo(plain?.statistic ?? NaN, 8);
      }),
    );
  });

  test('periods taken apart into jobs hold no split that is worse', () => {
    fc.assert(
      fc.property(periods, ({ k, n }) => {
        const jobs = n.flatMap((size, i) => times(size, (job) => (job < (k[i] ?? 0) ? 1 : 0)));
        const byJob = changeOfShare(
          jobs,
          jobs.map(() => 1),
          { shortest: 3, ...quick },
        );
        expect(byJob?.statistic).toBeGreaterThanOrEqual((changeOfShare(k, n, quick)?.statistic ?? NaN) - 1e-9);
      }),
    );
  });

  test('finds a clear fall of the rate', () => {
    const told = changeOfShare(
      [18, 17, 19, 18, 17, 9, 10, 8, 11, 9],
      times(10, () => 20),
    );
    expect(told).toMatchObject({ at: 5, before: 0.89, after: 0.47 });
    expect(told?.p).toBeLessThanOrEqual(0.001);
  });

  test('without a change its p-value keeps its level, by period and by job', () => {
    const chance = seededChance(13);
    const binomial = (n: number, p: number) => times(n, () => chance()).filter((at) => at < p).length;
    const n = times(14, (k) => 8 + ((k * 7) % 30));
    const byPeriod = times(400, (seed) => {
      const k = n.map((size) => binomial(size, 0.7));
      return changeOfShare(k, n, { rounds: 199, seed })?.p ?? NaN;
    });
    expectUniform(byPeriod, true);
    const ones = times(60, () => 1);
    const byJob = times(400, (seed) => {
      const k = ones.map(() => binomial(1, 0.8));
      return changeOfShare(k, ones, { rounds: 199, seed })?.p ?? NaN;
    });
    // Few different outcomes, so many ties: ties count against a change.
    expectUniform(byJob, false);
  });

  test('a share that never varies: no change; periods without jobs are passed over', () => {
    const all = times(8, () => 5);
    expect(changeOfShare(all, all)).toMatchObject({ statistic: 0, p: 1, before: 1, after: 1 });
    expect(changeOfShare([1, 1], [2, 2])).toBeNull();
    const told = changeOfShare([9, 9, 0, 9, 1, 1, 1], [10, 10, 0, 10, 10, 10, 10], quick);
    expect(told).toMatchObject({ at: 4, before: 0.9, after: 0.1 });
  });
});
