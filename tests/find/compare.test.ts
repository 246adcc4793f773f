import { describe, expect, test } from 'vitest';
import { difference, intervals, pBeyond, type Difference } from '../../lib/find/compare';
import { newcombe } from '../../lib/stats/newcombe';
import { wilson } from '../../lib/stats/wilson';
import { fitLine } from '../../lib/stats/line';

/** Rows of one stratum, each of a pump of its own: the first `n1` the group, the others the rest. */
function oneStratum(group: readonly number[], rest: readonly number[]): Difference {
  const tame = Float64Array.from([...group, ...rest]);
  const sides = Int8Array.from(tame, (_, i) => (i < group.length ? 1 : 0));
  const d = difference(
    {
      n: tame.length,
      tame,
      serial: Int32Array.from(tame, (_, i) => i),
      pumps: tame.length,
      strata: 1,
      stratum: new Int32Array(tame.length),
    },
    sides,
  );
  if (d === null) throw new Error('no difference');
  return d;
}

const cases = (k: number, n: number): number[] => Array.from({ length: n }, (_, i) => (i < k ? 1 : 0));

describe('one stratum without a second visit', () => {
  // R. G. Newcombe, Statistics in Medicine 17 (1998) 873-890, table II, method 10: 56/70 against 48/80 is 0.0524 to 0.3339 (from memory).
  test('sides have the intervals of their counts, and the difference that of the table', () => {
    const d = oneStratum(cases(56, 70), cases(48, 80));
    const told = intervals({ ...d, error: 0 }, 'rate');
    expect(told.difference[0]).toBeCloseTo(0.0524, 4);
    expect(told.difference[1]).toBeCloseTo(0.3339, 4);
    const { low, high } = wilson(56, 70);
    expect(told.group[0]).toBeCloseTo(low, 12);
    expect(told.group[1]).toBeCloseTo(high, 12);
  });

  test('visits of one pump that hang together widen it', () => {
    const d = oneStratum(cases(56, 70), cases(48, 80));
    const plain = newcombe({ successes: 56, trials: 70 }, { successes: 48, trials: 80 });
    const [low, high] = intervals({ ...d, error: 2 * d.error }, 'rate').difference;
    expect(low).toBeLessThan(plain?.low ?? NaN);
    expect(high).toBeGreaterThan(plain?.high ?? NaN);
  });

  test('a share of nobody ends at 0, one of everybody at 1', () => {
    const { group, rest } = intervals(oneStratum(cases(0, 20), cases(20, 20)), 'rate');
    expect(group[0]).toBe(0);
    // R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, table I, method 3: 0 of 20 ends at 0.1611 (from memory).
    expect(group[1]).toBeCloseTo(0.1611, 4);
    expect(rest[0]).toBeCloseTo(1 - 0.1611, 4);
    expect(rest[1]).toBe(1);
  });

  // Regression on a mark of 0 and 1 has the difference of the means as its slope (definition).
  test('the difference of readings is the slope on the mark, and surely more than a margin only beyond it', () => {
    const [group, rest] = [
      [3.1, 2.7, 3.6, 2.9, 3.3, 3.0, 2.8, 3.4, 3.2, 3.5],
      [2.1, 2.5, 1.8, 2.2, 2.4, 1.9, 2.0, 2.3, 2.6, 1.7, 2.2, 2.1],
    ];
    const d = oneStratum(group, rest);
    const line = fitLine([...group.map(() => 1), ...rest.map(() => 0)], [...group, ...rest]);
    expect(d.value).toBeCloseTo(line?.slope ?? NaN, 12);
    const way = { kind: 'reading', way: 'more' } as const;
    expect(pBeyond(d, d.value, way)).toBeCloseTo(0.5, 12);
    expect(pBeyond(d, 0.5, way)).toBeLessThan(0.01);
    expect(pBeyond(d, 1.5, way)).toBeGreaterThan(0.99);
    const [low, high] = intervals(d, 'reading').difference;
    // At either end of an interval of 95 % so much is just not ruled out.
    expect(pBeyond(d, low, way)).toBeCloseTo(0.025, 9);
    expect(pBeyond(d, high, way)).toBeCloseTo(0.975, 9);
  });
});
