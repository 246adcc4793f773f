import fCdf from '@stdlib/stats-base-dists-f-cdf';
import tCdf from '@stdlib/stats-base-dists-t-cdf';

/**
 * Share of an F distribution at or above `f`, 0 to 1. Taken as the lower tail of 1 / f with the degrees of freedom exchanged, so
 * that a small share keeps its digits. NaN where f is NaN or a degree of freedom is not above 0.
 */
export function fTail(f: number, above: number, below: number): number {
  return f <= 0 && above > 0 && below > 0 ? 1 : fCdf(1 / f, below, above);
}

/** Share of Student's t distribution at least as far from 0 as `t`, both sides together, 0 to 1; NaN as above. */
export function tTails(t: number, freedom: number): number {
  return 2 * tCdf(-Math.abs(t), freedom);
}
