import { fsum } from 'd3-array';
import { type Moments, moments } from './moments';
import type { Series } from './series';
import { fTail } from './tails';
import { combination, type Term, varianceInterval } from './varianceIntervals';
import type { Interval } from './wilson';

/** One line of an analysis of variance. */
export interface Source {
  readonly freedom: number;
  readonly squares: number;
  /** Squares over degrees of freedom; NaN without any. */
  readonly meanSquare: number;
}

export function source(squares: number, freedom: number): Source {
  return { freedom, squares, meanSquare: freedom > 0 ? squares / freedom : NaN };
}

/** Ratio of two mean squares. Where neither varies it is NaN: nothing tells the two apart; something over nothing is Infinity. */
export const ratio = (above: Source, below: Source): number => above.meanSquare / below.meanSquare;

export interface OneWay {
  readonly between: Source;
  readonly within: Source;
  readonly f: number;
  /** Chance of an F as large if all groups had one mean. */
  readonly p: number;
  readonly r2: number;
  /** Root of the mean square within [unit of the readings]. */
  readonly residualSd: number;
  /** Variance between groups, (MS between - MS within) / n0; below 0 where the groups lie closer than chance would put them. */
  readonly betweenVariance: number;
  /** Interval of it at 95 %, ends not below 0; NaN where the groups are not of one size. */
  readonly betweenInterval: Interval;
}

/** Squares of the groups' means about the mean of all, by group size. */
function betweenSquares(groups: readonly Moments[]): number {
  const first = groups[0]?.mean ?? NaN;
  const all = groups.reduce((sum, { n }) => sum + n, 0);
  const off = groups.map(({ n, mean }) => ({ n, d: mean - first }));
  const shift = fsum(off.map(({ n, d }) => n * d)) / all;
  return fsum(off.map(({ n, d }) => n * (d - shift) ** 2));
}

/**
 * One-way analysis of variance, groups of any size: squares between and within, F with its p-value, and the variance between groups with
 * n0 = (N - sum n_i^2 / N) / (groups - 1). Source: NIST/SEMATECH e-Handbook 7.4.3; components as in textbooks (method of moments). Holds for
 * readings that are near normal and scatter alike in all groups; where they do not, see welch.ts.
 * @param groups readings of each group [one unit]; what is not finite is left out, and so is a group without readings
 * @returns null for fewer than two groups, or no more readings than groups. F and p are NaN where all readings are equal.
 */
export function anovaOneWay(groups: readonly Series[]): OneWay | null {
  const told = groups.map(moments).filter(({ n }) => n > 0);
  const all = told.reduce((sum, { n }) => sum + n, 0);
  const freedom = told.length - 1;
  if (freedom < 1 || all <= told.length) return null;
  const between = source(betweenSquares(told), freedom);
  const within = source(fsum(told.map(({ squares }) => squares)), all - told.length);
  const f = ratio(between, within);
  const n0 = (all - told.reduce((sum, { n }) => sum + n * n, 0) / all) / freedom;
  const terms: readonly Term[] = [
    { factor: 1 / n0, meanSquare: between.meanSquare, freedom: between.freedom },
    { factor: -1 / n0, meanSquare: within.meanSquare, freedom: within.freedom },
  ];
  const alike = told.every(({ n }) => n === told[0]?.n);
  return {
    between,
    within,
    f,
    p: fTail(f, between.freedom, within.freedom),
    r2: between.squares / (between.squares + within.squares),
    residualSd: Math.sqrt(within.meanSquare),
    betweenVariance: combination(terms),
    betweenInterval: alike ? varianceInterval(terms) : { low: NaN, high: NaN },
  };
}
