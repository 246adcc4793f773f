import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ISO_7870_2, NELSON, type RunTest, runTests, standardised } from '../../lib/stats/runTests';

const named = (scores: readonly number[], rules = ISO_7870_2) =>
  new Set(runTests(scores, rules).map(({ test }) => test));
const alone = (name: RunTest) => ({ ...NELSON, tests: [name] });

describe('tests for patterns', () => {
  test.each([
    ['beyond_3_sigma', [0.5, -3.1, 0.2], 1, 1],
    ['run_one_side', [-1, 0.2, 0.9, 0.1, 1.2, 0.4, 0.3, 0.8], 1, 7],
    ['trend', [0.1, -1.5, -1.2, -0.4, 0.2, 0.3, 1.1, 1.9, 1], 1, 7],
  ] as const)('of ISO 7870-2: %s', (name, scores, from, to) => {
    expect(runTests(scores)).toEqual([{ test: name, from, to }]);
  });

  test.each([
    ['alternating', [0, 1, -1, 1, -1, 1, -1, 1, -1, 1, -1, 1, -1, 1], 0, 13],
    ['two_of_three_beyond_2_sigma', [0, 2.2, 0.3, 2.4, 0], 1, 3],
    ['four_of_five_beyond_1_sigma', [0, -1.2, -1.4, 0.3, -1.1, -1.6], 1, 5],
    ['fifteen_within_1_sigma', Array.from({ length: 15 }, (_, k) => (k % 2 === 0 ? 0.5 : -0.5)), 0, 14],
    ['eight_beyond_1_sigma', [0, 1.2, -1.1, -1.5, 1.9, -1.3, 1.1, 1.4, -1.2], 1, 8],
  ] as const)('of Nelson: %s', (name, scores, from, to) => {
    expect(runTests(scores, alone(name))).toEqual([{ test: name, from, to }]);
  });

  test.each([
    ['beyond_3_sigma', [3, -3]],
    ['run_one_side', [1, 1, 1, 0, 1, 1, 1]],
    ['run_one_side', [1, 1, 1, 1, 1, 1, -1]],
    ['trend', [0, 0.1, 0.2, 0.2, 0.3, 0.4, 0.5]],
    ['two_of_three_beyond_2_sigma', [2.2, 0, -2.2]],
    ['two_of_three_beyond_2_sigma', [2, 0, 2.2]],
  ] as const)('one short of it is none: %s in %j', (name, scores) => {
    expect(runTests(scores, { ...ISO_7870_2, tests: [name] })).toEqual([]);
  });

  test('a pattern that goes on is one finding; two apart are two', () => {
    expect(runTests([1, 1, 1, 1, 1, 1, 1, 1, 1].map((z, k) => z + (k % 2) / 4))).toEqual([
      { test: 'run_one_side', from: 0, to: 8 },
    ]);
    expect(runTests([4, 0, -4, 4])).toHaveLength(3);
  });

  test('upside down or backwards the same tests speak', () => {
    const scores = fc
      .array(fc.integer({ min: -7, max: 7 }), { minLength: 1, maxLength: 40 })
      .map((all) => all.map((k) => k / 2));
    // Of 2 in 3 and 4 in 5 the newest point must be one, so backwards a pattern can be complete one point sooner.
    const both = { ...NELSON, tests: NELSON.tests.filter((name) => !name.includes('_of_')) };
    fc.assert(
      fc.property(scores, (all) => {
        expect(
          named(
            all.map((z) => -z),
            NELSON,
          ),
        ).toEqual(named(all, NELSON));
        expect(named(all.toReversed(), both)).toEqual(named(all, both));
      }),
    );
  });

  test('what was not read is passed over; a chart without scatter has no finding', () => {
    expect(runTests([1, 1, NaN, 1, 1, 1, 1, 1])).toEqual([{ test: 'run_one_side', from: 0, to: 7 }]);
    expect(runTests(standardised([5, 5, 5, 9], 5, 0))).toEqual([]);
    expect(Array.from(standardised([6, 4], 5, [2, 0.5]))).toEqual([0.5, -2]);
  });
});
