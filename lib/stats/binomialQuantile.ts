import binomialCdf from '@stdlib/stats-base-dists-binomial-cdf';

/**
 * Smallest count of `trials` that the binomial distribution stays at or below with a chance of at least `chance`. Source: definition.
 *
 * @param chance between 0 and 1
 * @param trials whole number above 0
 * @param rate chance of one success, between 0 and 1
 * @returns 0 to `trials`
 */
export function binomialQuantile(chance: number, trials: number, rate: number): number {
  let [below, reached] = [-1, trials];
  while (reached - below > 1) {
    const middle = Math.floor((below + reached) / 2);
    if (binomialCdf(middle, trials, rate) >= chance) reached = middle;
    else below = middle;
  }
  return reached;
}
