import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { FEWEST_JOBS, FEWEST_OF_PART, FEWEST_PERIODS, figureOf, trendsOf, type Trend } from '../../lib/store/trends';
import type { TrendRow } from '../../lib/store/questions/trendPeriods';

const month = (k: number): string => `20${10 + Math.floor(k / 12)}-${String((k % 12) + 1).padStart(2, '0')}-01`;
const shares = (part: string, ks: readonly number[], n: number): TrendRow[] =>
  ks.map((k, i) => ({ part, period: month(i), n, k, mean: k / n, median: k / n }));
const means = (values: readonly number[]): TrendRow[] =>
  values.map((mean, i) => ({ part: '', period: month(i), n: 5, k: 0, mean, median: mean + 1 }));

function only(rows: readonly TrendRow[], kind: 'share' | 'mean' | 'median'): Trend {
  const [trend] = trendsOf(rows, kind).trends;
  if (trend === undefined) throw new Error('no chart');
  return trend;
}

describe('a chart of a share', () => {
  // The worked example of docs/statistics-charts.md, ten periods of 20 jobs.
  const falls = only(shares('Heron', [18, 17, 19, 18, 17, 9, 10, 8, 11, 9], 20), 'share');

  it('tells the change of level with the day it began and a p that allows for the search', () => {
    expect(falls.change).toMatchObject({ since: month(5), p: 0.001 });
    expect(falls.change?.before).toBeCloseTo(0.89, 3);
    expect(falls.change?.after).toBeCloseTo(0.47, 3);
  });

  it('has the rate of all jobs as its centre, and their number', () => {
    expect(falls.centre).toBeCloseTo(136 / 200, 12);
    expect(falls.jobs).toBe(200);
  });

  it('calls a month beyond its own limits, and no other', () => {
    const ks = [10, 11, 10, 9, 10, 11, 10, 0, 10, 11, 9, 10];
    const { points, sigmaZ } = only(shares('', ks, 20), 'share');
    expect(points.map(({ standing }) => standing).filter((word) => word !== 'within')).toEqual(['below']);
    expect(points[7]?.standing).toBe('below');
    expect(sigmaZ).toBeGreaterThan(0);
  });

  it('calls seven in a row on one side a run, and does not test shares for a trend', () => {
    const run = only(shares('', [12, 11, 12, 11, 12, 11, 12, 8, 9, 8, 9, 8, 11, 8], 20), 'share');
    expect(run.points.slice(0, 7).map(({ standing }) => standing)).toEqual(Array(7).fill('run above'));
    const rises = only(shares('', [9, 10, 11, 9, 8, 9, 10, 11, 12, 13, 14, 9, 8, 9], 20), 'share');
    expect(rises.points.some(({ standing }) => standing === 'rising')).toBe(false);
  });

  it('that never varies has no point out and nothing to tell', () => {
    const still = only(shares('', Array<number>(9).fill(20), 20), 'share');
    expect(still.points.every(({ standing }) => standing === 'within')).toBe(true);
    expect(still.change?.p).toBe(1);
    expect(still.sigmaZ).toBeNaN();
  });
});

describe('a chart of means', () => {
  it('takes its limits from the distances of neighbours, and the mean or the median as asked', () => {
    // NIST/SEMATECH e-Handbook 6.3.2.2's sigma: mean moving range over 1.128; here the ranges are 2 1 1 3 2 1 2.
    const values = [60, 62, 61, 60, 63, 61, 60, 62];
    const { points, centre, sigmaZ } = only(means(values), 'mean');
    expect(centre).toBeCloseTo(61.125, 10);
    expect(points[0]?.high).toBeCloseTo(61.125 + (3 * (12 / 7)) / 1.1283792, 5);
    expect(sigmaZ).toBeNull();
    expect(only(means(values), 'median').centre).toBeCloseTo(62.125, 10);
  });

  it('tests them for a trend', () => {
    const { points } = only(means([5, 1, 2, 3, 4, 5, 6, 7, 2, 6]), 'mean');
    expect(points[3]?.standing).toBe('rising');
  });
});

describe('too little', () => {
  it('is told with how much there is, part by part', () => {
    const { trends, thin } = trendsOf(
      [
        ...shares('Dunlin', Array<number>(FEWEST_PERIODS - 1).fill(5), 10),
        ...shares('Heron', Array<number>(FEWEST_PERIODS).fill(5), 10),
        ...shares('Plover', Array<number>(FEWEST_PERIODS).fill(1), 2),
      ],
      'share',
    );
    expect(trends.map(({ part }) => part)).toEqual(['Heron']);
    expect(thin).toEqual([
      { part: 'Dunlin', periods: 7, jobs: 70 },
      { part: 'Plover', periods: 8, jobs: 16 },
    ]);
    expect(FEWEST_JOBS).toBeGreaterThan(16);
  });
});

describe('any series', () => {
  it('has every point on the chart, each within its limits unless it is called out', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.nat(20), fc.nat(20)), { minLength: 8, maxLength: 24 }), (counts) => {
        const rows = counts.map(([a, b], i): TrendRow => {
          const [k, n] = [Math.min(a, b), Math.max(a, b, 3)];
          return { part: '', period: month(i), n, k, mean: k / n, median: k / n };
        });
        for (const kind of ['share', 'mean'] as const) {
          const { points } = only(rows, kind);
          expect(points).toHaveLength(rows.length);
          for (const { value, low, high, standing } of points) {
            expect(standing === 'above').toBe(value > high);
            expect(standing === 'below').toBe(value < low);
          }
        }
      }),
      { numRuns: 25 },
    );
  });
});

describe('the figure of a part over all its jobs', () => {
  it("of a share has Wilson's interval", () => {
    // R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, table I, method 3: 81 of 263 is 0.2553 to 0.3662 (from memory).
    const told = figureOf(
      Array.from({ length: 263 }, (_, k) => (k < 81 ? 1 : 0)),
      'share',
    );
    expect(told).toMatchObject({ n: 263, value: 81 / 263 });
    expect(told?.low).toBeCloseTo(0.2553, 4);
    expect(told?.high).toBeCloseTo(0.3662, 4);
  });

  it("of a mean has Student's", () => {
    // G. J. Hahn's table of 1970: the mean of ten readings is told to 0.72 standard deviations. The variance of 1 to 10 is 55/6.
    const told = figureOf([1, 2, 3, 4, 5, 6, 7, 8, 9, 10], 'mean');
    expect(told?.value).toBeCloseTo(5.5, 12);
    expect((told?.high ?? NaN) - 5.5).toBeCloseTo(0.72 * Math.sqrt(55 / 6), 1);
    expect(5.5 - (told?.low ?? NaN)).toBeCloseTo((told?.high ?? NaN) - 5.5, 12);
  });

  it('of a median has two of its own values', () => {
    // W. J. Conover, Practical Nonparametric Statistics: of 10 values, the 2nd to the 9th hold the median (from memory).
    expect(figureOf([10, 9, 8, 7, 6, 5, 4, 3, 2, 1], 'median')).toEqual({ n: 10, value: 5.5, low: 2, high: 9 });
  });

  it('is not told of fewer jobs than ten', () => {
    const few = Array<number>(FEWEST_OF_PART - 1).fill(1);
    for (const kind of ['share', 'mean', 'median'] as const) expect(figureOf(few, kind)).toBeNull();
  });
});
