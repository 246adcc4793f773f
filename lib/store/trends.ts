import { group } from 'd3-array';
import { changeOfMean, type Change } from '../stats/changePoint';
import { changeOfShare } from '../stats/changeOfShare';
import { individualsChart } from '../stats/individuals';
import { meanInterval } from '../stats/meanInterval';
import { laneyPChart } from '../stats/pChart';
import { quantileInterval } from '../stats/quantiles';
import { ISO_7870_2, runTests, standardised, type RunFinding } from '../stats/runTests';
import { wilson } from '../stats/wilson';
import type { TrendRow } from './questions/trendPeriods';

/** With fewer months or quarters, or fewer jobs in all, there is no chart: its limits would rest on next to nothing. */
export const FEWEST_PERIODS = 8;
export const FEWEST_JOBS = 20;

/** How a part's periods are told: as a share with limits by their jobs, or by the middle of their jobs. */
export type TrendKind = 'share' | 'mean' | 'median';

/** Where a point stands on its chart. A point beyond its limit is told as that, even in a run. */
export type Standing = 'within' | 'above' | 'below' | 'run above' | 'run below' | 'rising' | 'falling';

export interface TrendPoint {
  /** First day of the month or quarter. */
  readonly period: string;
  readonly n: number;
  readonly value: number;
  /** Limits of this point. */
  readonly low: number;
  readonly high: number;
  readonly standing: Standing;
}

export interface Trend {
  readonly part: string;
  readonly points: readonly TrendPoint[];
  readonly jobs: number;
  readonly centre: number;
  /** Laney's factor on the limits of a share; NaN where it can't be told; null for a chart of means. */
  readonly sigmaZ: number | null;
  /** The most likely change of level, whatever its p; null where the series is too short to look for one. */
  readonly change: (Change & { readonly since: string }) | null;
}

export interface ThinPart {
  readonly part: string;
  readonly periods: number;
  readonly jobs: number;
}

/** A trend in shares of periods of unequal size is not to be tested. */
const SHARE_RULES = { ...ISO_7870_2, tests: ISO_7870_2.tests.filter((test) => test !== 'trend') };

interface Charted {
  readonly centre: number;
  readonly values: ArrayLike<number>;
  readonly low: (k: number) => number;
  readonly high: (k: number) => number;
  readonly findings: readonly RunFinding[];
  readonly sigmaZ: number | null;
  readonly change: Change | null;
}

function charted(rows: readonly TrendRow[], kind: TrendKind): Charted | null {
  if (kind === 'share') {
    const successes = rows.map((row) => row.k);
    const trials = rows.map((row) => row.n);
    const chart = laneyPChart(successes, trials);
    if (chart === null) return null;
    const factor = Number.isNaN(chart.sigmaZ) ? 1 : chart.sigmaZ;
    const scores = standardised(
      chart.rates,
      chart.centre,
      chart.sigma.map((sigma) => factor * sigma),
    );
    return {
      centre: chart.centre,
      values: chart.rates,
      low: (k) => chart.low[k] ?? NaN,
      high: (k) => chart.high[k] ?? NaN,
      findings: runTests(scores, SHARE_RULES),
      sigmaZ: chart.sigmaZ,
      change: changeOfShare(successes, trials),
    };
  }
  const values = rows.map((row) => row[kind]);
  const chart = individualsChart(values);
  if (chart === null) return null;
  return {
    centre: chart.centre,
    values,
    low: () => chart.low,
    high: () => chart.high,
    findings: runTests(standardised(values, chart.centre, chart.sigma)),
    sigmaZ: null,
    change: changeOfMean(values),
  };
}

function standingOf(k: number, { values, centre, low, high, findings }: Charted): Standing {
  const value = values[k] ?? NaN;
  if (value > high(k)) return 'above';
  if (value < low(k)) return 'below';
  const found = findings.find(({ test, from, to }) => test !== 'beyond_3_sigma' && from <= k && k <= to);
  if (found === undefined) return 'within';
  if (found.test === 'trend') return (values[found.to] ?? NaN) > (values[found.from] ?? NaN) ? 'rising' : 'falling';
  return value > centre ? 'run above' : 'run below';
}

function trendOf(part: string, rows: readonly TrendRow[], kind: TrendKind): Trend | ThinPart {
  const jobs = rows.reduce((sum, row) => sum + row.n, 0);
  const chart = rows.length < FEWEST_PERIODS || jobs < FEWEST_JOBS ? null : charted(rows, kind);
  if (chart === null) return { part, periods: rows.length, jobs };
  const since = rows[chart.change?.at ?? -1]?.period;
  return {
    part,
    jobs,
    centre: chart.centre,
    sigmaZ: chart.sigmaZ,
    change: chart.change === null || since === undefined ? null : { ...chart.change, since },
    points: rows.map((row, k) => ({
      period: row.period,
      n: row.n,
      value: chart.values[k] ?? NaN,
      low: chart.low(k),
      high: chart.high(k),
      standing: standingOf(k, chart),
    })),
  };
}

export interface Trends {
  readonly trends: readonly Trend[];
  /** Parts with too few periods or jobs. */
  readonly thin: readonly ThinPart[];
}

/** A control chart a part, with the most likely change of its level. @param rows part by part, periods in order */
export function trendsOf(rows: readonly TrendRow[], kind: TrendKind): Trends {
  const parts = group(rows, (row) => row.part);
  const all = [...parts].map(([part, own]) => trendOf(part, own, kind));
  return {
    trends: all.filter((each): each is Trend => 'points' in each),
    thin: all.filter((each): each is ThinPart => !('points' in each)),
  };
}

/** A figure of one part over all its jobs, with its interval at 95 %. */
export interface PartFigure {
  readonly n: number;
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/** With fewer jobs nothing is told of a part by itself. */
export const FEWEST_OF_PART = 10;

/**
 * Of a share Wilson's interval, of a mean Student's, of a median the two of its own values that hold it.
 * @param values one a job; 0 or 1 of a share
 * @returns null for too few values
 */
export function figureOf(values: readonly number[], kind: TrendKind): PartFigure | null {
  const n = values.length;
  if (n < FEWEST_OF_PART) return null;
  if (kind === 'share') {
    const k = values.filter((value) => value === 1).length;
    return { n, value: k / n, ...wilson(k, n) };
  }
  if (kind === 'mean') {
    const told = meanInterval(values);
    return told === null ? null : { n, value: told.mean, low: told.low, high: told.high };
  }
  const told = quantileInterval(values, 0.5);
  return told === null ? null : { n, value: told.quantile, low: told.low, high: told.high };
}
