import { describe, expect, test } from 'vitest';
import { attributePlan, chanceOfAcceptance, upperShare } from '../../lib/stats/attributePlan';
import { codeLetter, standardPlan, type InspectionLevel, type QualityLimit } from '../../lib/stats/iso2859';

describe('sizes of published attribute sampling tables', () => {
  // Sample sizes for tests of controls at 5 % risk of overreliance, large population, 0, 1 and 2 deviations expected to be allowed
  // for, as auditors' sampling guides print them (from memory; the binomial sums recomputed).
  test.each([
    [0.05, 0, 59],
    [0.05, 1, 93],
    [0.05, 2, 124],
    [0.1, 0, 29],
    [0.1, 1, 46],
    [0.1, 2, 61],
    [0.02, 0, 149],
    [0.03, 0, 99],
  ])('tolerable %f with %i allowed: %i', (tolerable, allowed, n) => {
    expect(attributePlan({ lot: Infinity, tolerable, risk: 0.05, allowed })).toEqual({ n, c: allowed });
  });

  // The same tables at 10 % risk (from memory; recomputed).
  test.each([
    [0.05, 0, 45],
    [0.1, 0, 22],
    [0.1, 1, 38],
  ])('at 10 %% risk, tolerable %f with %i allowed: %i', (tolerable, allowed, n) => {
    expect(attributePlan({ lot: Infinity, tolerable, risk: 0.1, allowed })).toEqual({ n, c: allowed });
  });

  // Upper limits of the same guides: 0 in 59 is 5.0 %, 1 in 93 is 5.0 % at 5 % risk (from memory).
  test.each([
    [0, 59, 0.05],
    [1, 93, 0.05],
  ])('%i in %i: at most %f', (found, n, limit) => {
    expect(upperShare(found, n, Infinity, 0.05)).toBeCloseTo(limit, 3);
  });
});

describe('operating characteristic', () => {
  // NIST/SEMATECH e-Handbook 6.2.3.2, plan n = 52, c = 3: chance of acceptance at .01 to .12 (M: from memory, recomputed).
  test.each([
    [0.01, 0.998],
    [0.02, 0.98],
    [0.03, 0.93],
    [0.04, 0.845],
    [0.05, 0.739],
    [0.06, 0.62],
    [0.07, 0.502],
    [0.08, 0.394],
    [0.09, 0.3],
    [0.1, 0.223],
    [0.11, 0.162],
    [0.12, 0.115],
  ])('52 drawn, 3 allowed, share %f: %f', (share, chance) => {
    expect(chanceOfAcceptance({ n: 52, c: 3 }, Infinity, share)).toBeCloseTo(chance, 2);
  });
});

describe('ISO 2859-1, normal inspection', () => {
  // MIL-STD-105E table I (R2: in code that reprints it): letters at levels I, II and III.
  test.each<[number, string]>([
    [8, 'AAB'],
    [9, 'ABC'],
    [25, 'BCD'],
    [50, 'CDE'],
    [90, 'CEF'],
    [150, 'DFG'],
    [280, 'EGH'],
    [500, 'FHJ'],
    [501, 'GJK'],
    [1000, 'GJK'],
    [1200, 'GJK'],
    [1201, 'HKL'],
    [10_000, 'JLM'],
    [35_000, 'KMN'],
    [150_000, 'LNP'],
    [500_000, 'MPQ'],
    [500_001, 'NQR'],
  ])('a lot of %i: %s', (lot, letters) => {
    expect((['I', 'II', 'III'] as const).map((level) => codeLetter(lot, level)).join('')).toBe(letters);
  });

  // MIL-STD-105E table II-A at level II, as a guide for service contracts reprints it: Re at 0.65 to 10, v and ^ for its arrows (R2).
  const limits: readonly QualityLimit[] = [0.65, 1, 1.5, 2.5, 4, 6.5, 10];
  const rows: readonly (readonly [lot: number, letter: string, n: number, cells: string])[] = [
    [15, 'B', 3, 'v v v v 1 ^ v'],
    [25, 'C', 5, 'v v v 1 ^ v 2'],
    [50, 'D', 8, 'v v 1 ^ v 2 3'],
    [90, 'E', 13, 'v 1 ^ v 2 3 4'],
    [150, 'F', 20, '1 ^ v 2 3 4 6'],
    [280, 'G', 32, '^ v 2 3 4 6 8'],
    [500, 'H', 50, 'v 2 3 4 6 8 11'],
    [1000, 'J', 80, '2 3 4 6 8 11 15'],
    [3200, 'K', 125, '3 4 6 8 11 15 22'],
    [10_000, 'L', 200, '4 6 8 11 15 22 ^'],
    [35_000, 'M', 315, '6 8 11 15 22 ^ ^'],
    [150_000, 'N', 500, '8 11 15 22 ^ ^ ^'],
    [500_000, 'P', 800, '11 15 22 ^ ^ ^ ^'],
    [500_001, 'Q', 1250, '15 22 ^ ^ ^ ^ ^'],
  ];
  test.each(rows)('lot %i, letter %s, n %i: %s', (lot, letter, n, cells) => {
    cells.split(' ').forEach((cell, k) => {
      const plan = standardPlan(lot, 'II', limits[k] ?? 1);
      expect(plan?.letter).toBe(letter);
      if (cell === '^' || cell === 'v') {
        expect(Math.sign((plan?.planLetter ?? '').localeCompare(letter))).toBe(cell === '^' ? -1 : 1);
      } else {
        expect(plan).toMatchObject({ planLetter: letter, n, ac: Number(cell) - 1, re: Number(cell) });
      }
    });
  });

  // ISO 2859-1 examples as courses print them (M): lot 1000 at level II and 1.0: J, 80 drawn, 2 accepted, 3 refused; an arrow down from G at 1.0 to H.
  test.each<[number, InspectionLevel, QualityLimit, string, number, number]>([
    [1000, 'II', 1, 'J', 80, 2],
    [200, 'II', 1, 'H', 50, 1],
    [5000, 'II', 0.4, 'L', 200, 2],
    [5000, 'II', 0.1, 'K', 125, 0],
    [5000, 'II', 4, 'L', 200, 14],
  ])('lot %i, level %s, limit %f: letter %s, %i drawn, %i accepted', (lot, level, limit, planLetter, n, ac) => {
    expect(standardPlan(lot, level, limit)).toMatchObject({ planLetter, n, ac });
  });

  // MIL-STD-105E table II-A (from memory): the plan of each low limit that accepts none, to which an arrow leads down from a lot of 90, letter E.
  test.each<[QualityLimit, string, number]>([
    [0.01, 'Q', 1250],
    [0.015, 'P', 800],
    [0.025, 'N', 500],
    [0.04, 'M', 315],
    [0.065, 'L', 200],
    [0.1, 'K', 125],
    [0.15, 'J', 80],
    [0.25, 'H', 50],
    [0.4, 'G', 32],
  ])('from letter E at %f the arrow lands on letter %s, %i drawn, none accepted', (limit, planLetter, size) => {
    expect(standardPlan(90, 'II', limit)).toMatchObject({
      ...{ letter: 'E', planLetter, ac: 0, re: 1, n: Math.min(90, size), whole: size >= 90 },
    });
  });

  // The same column of 0.1 further down (from memory): K accepts 0, L has an arrow up to it, M one down to N, which accepts 1.
  test.each([
    [3200, 'K', 'K', 125, 0],
    [10_000, 'L', 'K', 125, 0],
    [35_000, 'M', 'N', 500, 1],
    [150_000, 'N', 'N', 500, 1],
    [500_000, 'P', 'P', 800, 2],
    [500_001, 'Q', 'Q', 1250, 3],
  ])('at 0.1 a lot of %i, letter %s: letter %s, %i drawn, %i accepted', (lot, letter, planLetter, n, ac) => {
    expect(standardPlan(lot, 'II', 0.1)).toMatchObject({ letter, planLetter, n, ac });
  });

  test('where the letter that an arrow leads to draws the whole lot, every item is looked at', () => {
    expect(standardPlan(20, 'II', 1)).toMatchObject({ letter: 'C', planLetter: 'E', n: 13, whole: false });
    expect(standardPlan(10, 'II', 1)).toMatchObject({ letter: 'B', planLetter: 'E', n: 10, whole: true });
  });
});
