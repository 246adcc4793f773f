import { describe, expect, test } from 'vitest';
import { mannKendall } from '../../lib/stats/mannKendall';
import { theilSen } from '../../lib/stats/theilSen';
import python from './data/statistics.json';
import r from './data/survival.json';

describe('robust line', () => {
  // P. K. Sen, J. Am. Stat. Assoc. 63 (1968) 1379-1389, section 6: points and slope 4 (from memory). The interval by hand: of the 21
  // slopes in rising order, (21 -+ 1.81 x 6.66)/2 makes it the 4th and the 18th, 26/7 and 35/8.
  test("Sen's example", () => {
    const got = theilSen([1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78], 0.93);
    expect(got?.slope).toBeCloseTo(4, 10);
    expect(got?.low).toBeCloseTo(26 / 7, 10);
    expect(got?.high).toBeCloseTo(35 / 8, 10);
  });

  test.each(python.lines)('as scipy has it at $confidence', ({ x, y, confidence, ...theirs }) => {
    const got = theilSen(x, y, confidence);
    expect(got?.slope).toBeCloseTo(theirs.slope, 12);
    expect(got?.intercept).toBeCloseTo(theirs.intercept, 10);
    // Where the interval runs off the list, scipy gives the outermost slope; here it is open.
    if (got?.low !== -Infinity) expect(got?.low).toBeCloseTo(theirs.low, 12);
    if (got?.high !== Infinity) expect(got?.high).toBeCloseTo(theirs.high, 12);
    if (x.length > 12) expect(Number.isFinite(got?.low) && Number.isFinite(got?.high)).toBe(true);
  });
});

describe('test for a trend', () => {
  // Counted by hand: five pairs rise, one falls.
  test('10 15 14 20 has S 4', () => {
    expect(mannKendall([10, 15, 14, 20])?.s).toBe(4);
  });

  // M. G. Kendall, Rank Correlation Methods (1970), table of S (from memory): n = 5, chance of S >= 8 is 0.042; n = 8, of S >= 16 is 0.031.
  test.each([
    [[1, 2, 3, 5, 4], 8, 0.042],
    [[4, 3, 2, 1, 5, 6, 7, 8], 16, 0.031],
  ])('%j: S %i, one-sided %f', (values, s, chance) => {
    const got = mannKendall(values);
    expect(got?.s).toBe(s);
    expect((got?.p ?? NaN) / 2).toBeCloseTo(chance, 3);
  });

  test.each(r.trends)('as R has it, exact: $exact', ({ values, exact, p }) => {
    const got = mannKendall(values);
    expect(got?.by).toBe(exact ? 'exact' : 'normal');
    expect(got?.p).toBeCloseTo(p, 9);
  });
});
