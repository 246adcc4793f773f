import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { codes } from '../../lib/calc/layout';
import { combine, IN, judge, judgeAll, judgeWhole, NOT_MEASURED, OUT, within } from '../../lib/calc/proof/verdict';

const verdict = fc.nat({ max: codes.verdict.length - 1 });

describe('inside a band', () => {
  test.each([
    [60.5 - 60, -0.5, 0.5, true],
    [180.3 - 180, -0.3, 0.3, true],
    [0.1 + 0.2, 0, 0.3, true],
    [2, 2, 2.1, true],
    [1.9999, 2, 2.1, false],
    [2.1001, 2, 2.1, false],
    [5, NaN, 6, true],
    [7, NaN, 6, false],
    [5, 6, NaN, false],
    [NaN, NaN, NaN, false],
  ])('%f between %f and %f: %s', (value, low, high, inside) => {
    expect(within(value, low, high)).toBe(inside);
  });

  test('what was not read is not judged', () => {
    expect([judge(NaN, 0, 1), judge(0.5, 0, 1), judge(2, 0, 1)]).toEqual([NOT_MEASURED, IN, OUT]);
  });

  test('a value and its mirror image get one answer', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true }), fc.double({ min: 0, max: 1e6, noNaN: true }), (value, limit) => {
        expect(judge(-value, -limit, limit)).toBe(judge(value, -limit, limit));
      }),
    );
  });
});

describe('several verdicts together', () => {
  test('in either order, in any grouping, in with anything is that', () => {
    fc.assert(
      fc.property(verdict, verdict, verdict, (a, b, c) => {
        expect(combine(a, b)).toBe(combine(b, a));
        expect(combine(combine(a, b), c)).toBe(combine(a, combine(b, c)));
        expect(combine(a, IN)).toBe(a);
        expect(combine(a, OUT)).toBe(OUT);
      }),
    );
  });

  test('all parts must be read, unless one fails already', () => {
    expect(judgeAll(6, 6, 0)).toBe(IN);
    expect(judgeAll(5, 6, 0)).toBe(NOT_MEASURED);
    expect(judgeAll(2, 6, 1)).toBe(OUT);
  });

  test('a figure of the whole set is not judged on a part of it', () => {
    expect([judgeWhole(OUT, 5, 6), judgeWhole(OUT, 6, 6)]).toEqual([NOT_MEASURED, OUT]);
  });
});
