import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { z } from 'zod';
import { anovaOneWay } from '../../lib/stats/anovaOneWay';
import { anovaTwoWayRandom } from '../../lib/stats/anovaTwoWayRandom';
import { chartConstants } from '../../lib/stats/chartConstants';
import { crossedTable } from '../../lib/stats/crossed';
import { ewmaChart } from '../../lib/stats/ewma';
import { fitLine } from '../../lib/stats/line';
import { fTail, tTails } from '../../lib/stats/tails';
import { welch, welchAnova } from '../../lib/stats/welch';

const numbers = z.array(z.number());
const file = z.object({
  lines: z.array(z.record(z.string(), z.union([z.number(), numbers]))),
  oneWays: z.array(
    z.object({
      groups: z.array(numbers),
      f: z.number(),
      p: z.number(),
      welchF: z.number(),
      welchAbove: z.number(),
      welchBelow: z.number(),
      welchP: z.number(),
    }),
  ),
  twoSamples: z.array(
    z.object({
      first: numbers,
      second: numbers,
      t: z.number(),
      p: z.number(),
      freedom: z.number(),
      low: z.number(),
      high: z.number(),
    }),
  ),
  twoWays: z.array(
    z.object({
      readings: z.array(z.object({ part: z.number(), operator: z.number(), value: z.number() })),
      part: z.number(),
      operator: z.number(),
      interaction: z.number(),
      error: z.number(),
    }),
  ),
  rangeFactors: z.array(z.object({ n: z.number(), d2: z.number(), d3: z.number() })),
  tails: z.array(
    z.object({ kind: z.enum(['f', 't']), at: z.number(), above: z.number(), below: z.number(), p: z.number() }),
  ),
  averages: z.array(z.object({ values: numbers, centre: z.number(), lambda: z.number(), average: numbers })),
});

// Computed by statistics.py with statsmodels and scipy (C), versions in the file.
const made = file.parse(JSON.parse(readFileSync(new URL('data/charts.json', import.meta.url), 'utf8')));

const near = (figure: number | undefined, expected: number, relative = 1e-9): void => {
  expect(Math.abs((figure ?? NaN) - expected)).toBeLessThanOrEqual(relative * Math.max(Math.abs(expected), 1e-300));
};

describe('against statsmodels and scipy', () => {
  test.each(made.lines)('straight line, case %#', ({ x, y, low, high, ...told }) => {
    const line = fitLine(numbers.parse(x), numbers.parse(y));
    for (const name of ['intercept', 'slope', 'interceptError', 'slopeError', 'residualSd', 'r2'] as const) {
      near(line?.[name], z.number().parse(told[name]), 1e-8);
    }
    near(line?.slopeInterval.low, z.number().parse(low), 1e-8);
    near(line?.slopeInterval.high, z.number().parse(high), 1e-8);
  });

  test.each(made.oneWays)('one-way analysis, plain and by Welch, case %#', (row) => {
    near(anovaOneWay(row.groups)?.f, row.f);
    near(anovaOneWay(row.groups)?.p, row.p);
    const told = welchAnova(row.groups);
    near(told?.f, row.welchF);
    near(told?.above, row.welchAbove);
    near(told?.below, row.welchBelow);
    near(told?.p, row.welchP);
  });

  test.each(made.twoSamples)('difference of two means by Welch, case %#', (row) => {
    const told = welch(row.first, row.second);
    near(told?.t, row.t);
    near(told?.p, row.p);
    near(told?.freedom, row.freedom);
    near(told?.interval.low, row.low, 1e-8);
    near(told?.interval.high, row.high, 1e-8);
  });

  test.each(made.twoWays)('two-way sums of squares, case %#', ({ readings, ...told }) => {
    const table = crossedTable(readings);
    const anova = table === null ? null : anovaTwoWayRandom(table);
    for (const name of ['part', 'operator', 'interaction', 'error'] as const) near(anova?.[name].squares, told[name]);
  });

  test.each(made.rangeFactors)('range of $n: $d2 and $d3', ({ n, d2, d3 }) => {
    near(chartConstants(n).d2, d2, 1e-6);
    near(chartConstants(n).d3, d3, 1e-6);
  });

  test.each(made.tails)('tail of $kind at $at', ({ kind, at, above, below, p }) => {
    near(kind === 'f' ? fTail(at, above, below) : tTails(at, below), p, 1e-10);
  });

  test.each(made.averages)('moving average, case %#', ({ values, centre, lambda, average }) => {
    const told = ewmaChart(values, { lambda, centre, sigma: 1 });
    expect(told?.average).toHaveLength(average.length);
    average.forEach((z, k) => {
      near(told?.average[k], z, 1e-12);
    });
  });
});
