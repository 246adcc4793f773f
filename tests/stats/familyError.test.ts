import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { familyError } from '../../lib/stats/familyError';
import { seededChance } from '../../lib/stats/shuffle';

const ps = fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 1, maxLength: 40 });

describe('p-values adjusted for the family of all groups', () => {
  test('by hand: two groups of two', () => {
    // Within: 0.01 and 0.04 become 0.02 and 0.04; 0.03 and 0.9 become 0.06 and 0.9. Over groups: times 2, then times 1, never falling.
    const q = [...familyError([0.01, 0.9, 0.04, 0.03], [0, 1, 0, 1])];
    [0.04, 0.9, 0.08, 0.06].forEach((want, i) => {
      expect(q[i]).toBeCloseTo(want, 12);
    });
  });

  test('with groups of one it is the step-down of Holm', () => {
    fc.assert(
      fc.property(ps, (p) => {
        const q = familyError(
          p,
          p.map((_, i) => i),
        );
        const rising = p.map((value, i) => ({ value, i })).sort((a, b) => a.value - b.value);
        let reached = 0;
        rising.forEach(({ value, i }, before) => {
          reached = Math.max(reached, Math.min(1, value * (p.length - before)));
          expect(q[i]).toBeCloseTo(reached, 12);
        });
      }),
    );
  });

  test('is never below the raw p, nor above Bonferroni over all comparisons times one group more', () => {
    fc.assert(
      fc.property(ps, fc.integer({ min: 1, max: 6 }), (p, groups) => {
        const q = familyError(
          p,
          p.map((_, i) => i % groups),
        );
        const least = Math.min(...q);
        p.forEach((raw, i) => {
          expect(q[i]).toBeGreaterThanOrEqual(raw - 1e-12);
        });
        const largest = Math.ceil(p.length / groups);
        expect(least).toBeLessThanOrEqual(Math.min(1, Math.min(...p) * largest * groups) + 1e-12);
      }),
    );
  });

  test('the same comparison said over costs nothing', () => {
    const once = familyError([0.01, 0.5, 0.7], [0, 1, 2]);
    const often = familyError([0.01, 0.01, 0.01, 0.01, 0.5, 0.7], [0, 0, 0, 0, 1, 2]);
    expect(often[0]).toBeCloseTo(once[0] ?? Number.NaN, 12);
  });

  test('what was not tested is not counted', () => {
    expect([...familyError([Number.NaN, 0.02, Number.NaN, 0.5], [0, 1, 0, 2])]).toEqual([
      Number.NaN,
      0.04,
      Number.NaN,
      0.5,
    ]);
    expect(familyError([], [])).toHaveLength(0);
  });

  test('beside faults that are there, chance calls anything else in one family of twenty at most', () => {
    const chance = seededChance(11);
    const FAMILIES = 2000;
    let wrong = 0;
    for (let family = 0; family < FAMILIES; family += 1) {
      // Three groups of faults, 20 comparisons each, all sure; 60 groups of 5 without any.
      const p = [...Array.from({ length: 60 }, () => 1e-9), ...Array.from({ length: 300 }, chance)];
      const group = p.map((_, i) => (i < 60 ? Math.floor(i / 20) : 3 + Math.floor((i - 60) / 5)));
      if (familyError(p, group).some((q, i) => i >= 60 && q <= 0.05)) wrong += 1;
    }
    // 0.05 and four standard errors; the false discovery rate's steps call something in most of these families.
    expect(wrong / FAMILIES).toBeLessThan(0.05 + 4 * Math.sqrt((0.05 * 0.95) / FAMILIES));
    expect(wrong).toBeGreaterThan(0);
  });
});
