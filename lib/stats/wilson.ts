/** Standard normal quantile at 0.975: the factor of a two-sided interval at 95 % confidence (NIST/SEMATECH e-Handbook 1.3.6.7.1). */
export const Z_95 = 1.959963984540054;

/** Lower and upper end of a proportion's interval, each 0 to 1. */
export interface Interval {
  readonly low: number;
  readonly high: number;
}

/**
 * Wilson's interval of a share whose trials need not be whole: where cases are weighted, it is as many as they are worth.
 *
 * @param share 0 to 1
 * @param trials above 0
 * @param z quantile of the standard normal distribution that sets the confidence; above 0
 */
export function scoreInterval(share: number, trials: number, z = Z_95): Interval {
  const weight = (z * z) / trials;
  const centre = (share + weight / 2) / (1 + weight);
  const half = (z * Math.sqrt((share * (1 - share)) / trials + weight / (4 * trials))) / (1 + weight);
  // At no success or nothing but successes the end is 0 or 1 exactly; rounding must not push it past.
  return { low: share <= 0 ? 0 : Math.max(0, centre - half), high: share >= 1 ? 1 : Math.min(1, centre + half) };
}

/**
 * Wilson score interval of a proportion, without continuity correction: E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209-212;
 * method 3 in R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872.
 *
 * @param successes whole number from 0 to `trials`
 * @param trials whole number above 0
 * @param z quantile of the standard normal distribution that sets the confidence; above 0
 * @throws RangeError where the counts are not such numbers: a rate of nothing has no interval
 */
export function wilson(successes: number, trials: number, z = Z_95): Interval {
  if (!Number.isInteger(successes) || !Number.isInteger(trials) || trials < 1 || successes < 0 || successes > trials) {
    throw new RangeError(`No proportion: ${successes} of ${trials}`);
  }
  return scoreInterval(successes / trials, trials, z);
}
