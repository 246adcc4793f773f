import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type CrossedReading } from '../../lib/stats/crossed';
import { gaugeAnova, type GaugeStudy } from '../../lib/stats/gaugeAnova';
import { gaugeRange } from '../../lib/stats/gaugeRange';
import { varianceInterval } from '../../lib/stats/varianceIntervals';
import { bounds, normals } from './chance';

function simulate(
  normal: ReturnType<typeof normals>,
  [a, b, r]: readonly [number, number, number],
  sd: { part: number; operator: number; both: number; error: number },
): CrossedReading[] {
  const parts = Array.from({ length: a }, () => normal(60, sd.part));
  const operators = Array.from({ length: b }, () => normal(0, sd.operator));
  return parts.flatMap((level, part) =>
    operators.flatMap((off, operator) => {
      const both = normal(0, sd.both);
      return Array.from({ length: r }, () => ({ part, operator, value: level + off + both + normal(0, sd.error) }));
    }),
  );
}

function study(readings: readonly CrossedReading[]): GaugeStudy {
  const told = gaugeAnova(readings);
  if (told.kind !== 'study') throw new Error(told.kind);
  return told;
}

describe('gauge study', () => {
  const normal = normals(31);
  const readings = simulate(normal, [8, 3, 2], { part: 2, operator: 0.4, both: 0.2, error: 0.3 });

  test('the unit is a factor, the level nothing', () => {
    fc.assert(
      fc.property(fc.integer({ min: -1000, max: 1000 }), fc.constantFrom(-3, 0.25, 10), (by, factor) => {
        const moved = readings.map((row) => ({ ...row, value: by + factor * row.value }));
        const [one, two] = [study(readings).chosen, study(moved).chosen];
        const [ranges, movedRanges] = [gaugeRange(readings), gaugeRange(moved)];
        for (const name of ['repeatability', 'reproducibility', 'gauge', 'part', 'total'] as const) {
          const plain = one[name];
          const other = two[name];
          expect(other.sd).toBeCloseTo(Math.abs(factor) * plain.sd, 7);
          expect(other.percent).toBeCloseTo(plain.percent, 6);
          expect(movedRanges?.[name]).toBeCloseTo(Math.abs(factor) * (ranges?.[name] ?? NaN), 7);
        }
        expect(two.categories).toBe(one.categories);
      }),
      { numRuns: 15 },
    );
  });

  test('variances add up, and every estimate above 0 lies in its interval', () => {
    for (let run = 0; run < 60; run++) {
      const { withInteraction, pooled } = study(
        simulate(normal, [5, 3, 2], { part: 1, operator: 0.3, both: 0.3, error: 0.4 }),
      );
      for (const told of [withInteraction, pooled]) {
        if (told === null) throw new Error('Two trials tell the interaction');
        expect(told.gauge.variance + told.part.variance).toBeCloseTo(told.total.variance, 10);
        expect(told.repeatability.variance + told.operator.variance + told.interaction.variance).toBeCloseTo(
          told.gauge.variance,
          10,
        );
        for (const name of ['repeatability', 'operator', 'part'] as const) {
          const { sd, interval } = told[name];
          if (sd === 0) continue;
          expect(interval.low).toBeLessThanOrEqual(sd);
          expect(interval.high).toBeGreaterThanOrEqual(sd);
        }
      }
    }
  });

  test('estimates come out right on average where nothing is cut at 0', () => {
    const sums = { repeatability: 0, operator: 0, part: 0 };
    const runs = 200;
    for (let run = 0; run < runs; run++) {
      const told = study(simulate(normal, [6, 6, 2], { part: 2, operator: 1, both: 0.5, error: 0.5 })).withInteraction;
      for (const name of ['repeatability', 'operator', 'part'] as const) sums[name] += told?.[name].variance ?? NaN;
    }
    expect(Math.abs(sums.repeatability / runs - 0.25)).toBeLessThan(0.02);
    expect(Math.abs(sums.operator / runs - 1)).toBeLessThan(0.2);
    expect(Math.abs(sums.part / runs - 4)).toBeLessThan(0.7);
  });

  test('unbalanced or too small studies say so', () => {
    expect(gaugeAnova([])).toEqual({ kind: 'too_few' });
    expect(gaugeAnova(readings.slice(1))).toEqual({ kind: 'not_balanced' });
    expect(gaugeAnova(readings.filter(({ operator }) => operator === 0))).toEqual({ kind: 'too_few' });
    expect(gaugeRange(readings.slice(1))).toBeNull();
  });

  test('read once each: repeats and interaction can not be told apart, the pooled model stands', () => {
    const once = study(simulate(normal, [6, 3, 1], { part: 2, operator: 0.4, both: 0.2, error: 0.3 }));
    expect(once.withInteraction).toBeNull();
    expect(once.chosen).toBe(once.pooled);
    expect(once.pooled.repeatability.sd).toBeGreaterThan(0);
  });

  test('readings that are all equal: nothing varies, no percent is told', () => {
    const same = study(readings.map((row) => ({ ...row, value: 0.1 })));
    expect(same.chosen.total.sd).toBe(0);
    expect(same.chosen.gauge.percent).toBeNaN();
    expect(same.chosen.categories).toBe(0);
    expect(gaugeRange(readings.map((row) => ({ ...row, value: 0.1 })))?.percent).toBeNaN();
  });
});

describe('intervals of variances', () => {
  // NIST/SEMATECH e-Handbook 7.2.3.1: s sqrt(freedom / quantile); chi-square quantiles of 10: 20.4832 and 3.2470 (tabled).
  test('one mean square has the interval of chi-square', () => {
    const { low, high } = varianceInterval([{ factor: 1, meanSquare: 4, freedom: 10 }]);
    expect(low).toBeCloseTo(40 / 20.4832, 4);
    expect(high).toBeCloseTo(40 / 3.247, 3);
  });

  // By construction of the method (Ting et al. 1990). F of 8 and 16 degrees of freedom at 0.975 with scipy 1.17.1.
  test('a difference of two ends at 0 exactly where F just rejects', () => {
    const f = 3.124822;
    const at = (ratio: number) =>
      varianceInterval([
        { factor: 1, meanSquare: ratio, freedom: 8 },
        { factor: -1, meanSquare: 1, freedom: 16 },
      ]).low;
    expect(at(f * 0.999)).toBe(0);
    expect(at(f * 1.001)).toBeGreaterThan(0);
  });

  // Two mean squares weighted by their degrees of freedom, with one expectation, are together one of 10: chi-square quantile as above.
  test('mean squares that are parts of one have its lower end, where something that is 0 is taken off', () => {
    const { low } = varianceInterval([
      { factor: 0.4, meanSquare: 4, freedom: 4 },
      { factor: 0.6, meanSquare: 4, freedom: 6 },
      { factor: -1, meanSquare: 0, freedom: 5 },
    ]);
    expect(low).toBeCloseTo(40 / 20.4832, 4);
  });

  test('more confidence is wider; impossible terms tell nothing', () => {
    const terms = [
      { factor: 0.5, meanSquare: 3, freedom: 4 },
      { factor: -0.5, meanSquare: 1, freedom: 12 },
    ];
    const [narrow, wide] = [varianceInterval(terms, 0.8), varianceInterval(terms, 0.99)];
    expect(wide.low).toBeLessThanOrEqual(narrow.low);
    expect(wide.high).toBeGreaterThan(narrow.high);
    expect(varianceInterval([])).toEqual({ low: NaN, high: NaN });
    expect(varianceInterval([{ factor: 1, meanSquare: 2, freedom: 0 }])).toEqual({ low: NaN, high: NaN });
    expect(varianceInterval([{ factor: 1, meanSquare: NaN, freedom: 3 }])).toEqual({ low: NaN, high: NaN });
  });

  test('hold the truth about as often as they say, in three kinds of study', () => {
    const normal = normals(32);
    const runs = 250;
    for (const sd of [
      { part: 2, operator: 0.5, both: 0.3, error: 0.4 },
      { part: 1, operator: 0.1, both: 0, error: 0.5 },
      { part: 0.5, operator: 1, both: 0.6, error: 0.2 },
    ]) {
      const held = { repeatability: 0, reproducibility: 0, gauge: 0, part: 0, total: 0 };
      const truth = {
        repeatability: sd.error,
        reproducibility: Math.hypot(sd.operator, sd.both),
        gauge: Math.hypot(sd.operator, sd.both, sd.error),
        part: sd.part,
        total: Math.hypot(sd.part, sd.operator, sd.both, sd.error),
      };
      const names = ['repeatability', 'reproducibility', 'gauge', 'part', 'total'] as const;
      for (let run = 0; run < runs; run++) {
        const told = study(simulate(normal, [6, 4, 2], sd)).withInteraction;
        for (const name of names) {
          const { low, high } = told?.[name].interval ?? { low: NaN, high: NaN };
          if (low <= truth[name] && truth[name] <= high) held[name] += 1;
        }
      }
      // The method may hold a little more than it says; it must not hold clearly less.
      for (const name of names) expect(held[name], name).toBeGreaterThanOrEqual(bounds(runs, 0.95)[0]);
      expect(held.repeatability).toBeLessThanOrEqual(bounds(runs, 0.95)[1]);
    }
  });
});
