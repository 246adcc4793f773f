import chiSquareQuantile from '@stdlib/stats-base-dists-chisquare-quantile';
import fQuantile from '@stdlib/stats-base-dists-f-quantile';
import type { Interval } from './wilson';

/** One mean square, with its degrees of freedom and the factor it enters a variance with, above or below 0. */
export interface Term {
  readonly factor: number;
  readonly meanSquare: number;
  readonly freedom: number;
}

/** Sum of the terms: the estimate of the variance [square of the readings' unit]; can be below 0. */
export function combination(terms: readonly Term[]): number {
  return terms.reduce((sum, { factor, meanSquare }) => sum + factor * meanSquare, 0);
}

interface Sided extends Term {
  /** Size of the term: |factor| times mean square. */
  readonly size: number;
  /** How far, relative to itself, the term's expectation can lie below and above it. */
  readonly below: number;
  readonly above: number;
}

function sided(term: Term, tail: number): Sided {
  const { factor, meanSquare, freedom } = term;
  return {
    ...term,
    size: Math.abs(factor) * meanSquare,
    below: 1 - freedom / chiSquareQuantile(1 - tail, freedom),
    above: freedom / chiSquareQuantile(tail, freedom) - 1,
  };
}

/** Square of the distance from the estimate to its lower end. */
function lowerSquare(terms: readonly Sided[], tail: number): number {
  const plus = terms.filter(({ factor }) => factor > 0);
  const minus = terms.filter(({ factor }) => factor < 0);
  let sum = 0;
  for (const { size, below } of plus) sum += (below * size) ** 2;
  for (const { size, above } of minus) sum += (above * size) ** 2;
  for (const p of plus) {
    for (const m of minus) {
      const f = fQuantile(1 - tail, p.freedom, m.freedom);
      sum += (((f - 1) ** 2 - (p.below * f) ** 2 - m.above ** 2) / f) * p.size * m.size;
    }
  }
  return minus.length > 0 ? sum + crossed(plus, tail) : sum;
}

/** Square of the distance from the estimate to its upper end. */
function upperSquare(terms: readonly Sided[], tail: number): number {
  const plus = terms.filter(({ factor }) => factor > 0);
  const minus = terms.filter(({ factor }) => factor < 0);
  let sum = 0;
  for (const { size, above } of plus) sum += (above * size) ** 2;
  for (const { size, below } of minus) sum += (below * size) ** 2;
  for (const p of plus) {
    for (const m of minus) {
      const f = fQuantile(tail, p.freedom, m.freedom);
      sum += (((1 - f) ** 2 - (p.above * f) ** 2 - m.below ** 2) / f) * p.size * m.size;
    }
  }
  return plus.length > 0 ? sum + crossed(minus, tail) : sum;
}

/** Where the variance is a difference, terms of the same sign do not vary as one: the correction between each two of them. */
function crossed(same: readonly Sided[], tail: number): number {
  let sum = 0;
  same.forEach((a, k) => {
    for (const b of same.slice(k + 1)) {
      const both = a.freedom + b.freedom;
      const below = 1 - both / chiSquareQuantile(1 - tail, both);
      const g =
        ((below * both) ** 2 / (a.freedom * b.freedom) -
          (a.below ** 2 * a.freedom) / b.freedom -
          (b.below ** 2 * b.freedom) / a.freedom) /
        (same.length - 1);
      sum += g * a.size * b.size;
    }
  });
  return sum;
}

/**
 * Interval of a variance that is a sum or difference of independent mean squares, by the modified large-sample method: exact for one
 * mean square (chi-square), close to the stated confidence for others, and better than Satterthwaite's where mean squares are
 * subtracted. Source: N. Ting, R. K. Burdick, F. A. Graybill, S. Jeyaratnam and T.-F. C. Lu, J. Stat. Comput. Simul. 35 (1990) 135-143;
 * F. A. Graybill and C.-M. Wang, J. Am. Stat. Assoc. 75 (1980) 869-873 (both from memory; the coverage is tested by simulation).
 * @param terms degrees of freedom from 1, mean squares not below 0
 * @param confidence of both sides together, between 0 and 1
 * @returns ends not below 0 [square of the readings' unit]; NaN where a term is not such a number or there is none
 */
export function varianceInterval(terms: readonly Term[], confidence = 0.95): Interval {
  const usable = terms.every(
    ({ factor, meanSquare, freedom }) => Number.isFinite(factor) && meanSquare >= 0 && freedom >= 1,
  );
  if (!usable || terms.length === 0 || !(confidence > 0 && confidence < 1)) return { low: NaN, high: NaN };
  const tail = (1 - confidence) / 2;
  const own = terms.filter(({ factor }) => factor !== 0).map((term) => sided(term, tail));
  const estimate = combination(own);
  return {
    low: Math.max(0, estimate - Math.sqrt(Math.max(0, lowerSquare(own, tail)))),
    high: Math.max(0, estimate + Math.sqrt(Math.max(0, upperSquare(own, tail)))),
  };
}
