import gammaln from '@stdlib/math-base-special-gammaln';
import normalCdf from '@stdlib/stats-base-dists-normal-cdf';

/** Factors of control charts for groups of n normal readings each. */
export interface ChartConstants {
  /** Mean of the standard deviation, of the range, and scatter of the range, each over sigma. */
  readonly c4: number;
  readonly d2: number;
  readonly d3: number;
  /** Limits of means by the mean range and by the mean standard deviation. */
  readonly A2: number;
  readonly A3: number;
  /** Limits of ranges by the mean range; D3 is not below 0. */
  readonly D3: number;
  readonly D4: number;
  /** Limits of single readings by the mean range. */
  readonly E2: number;
}

/** d2 and d3 of two readings, in closed form: ranges between neighbours in a series. */
export const D2_OF_TWO = 2 / Math.sqrt(Math.PI);
export const D3_OF_TWO = Math.sqrt(2 - 4 / Math.PI);

const STEP = 0.05;
const TAIL = 8;
const LONGEST = 14;

/** Shares of a normal distribution below, and its densities, on a grid from -TAIL to TAIL + LONGEST, STEP apart. */
function normalGrid(): { below: Float64Array; density: Float64Array } {
  const points = Math.round((2 * TAIL + LONGEST) / STEP) + 1;
  const x = Float64Array.from({ length: points }, (_, k) => k * STEP - TAIL);
  return {
    below: x.map((at) => normalCdf(at, 0, 1)),
    density: x.map((at) => Math.exp((-at * at) / 2) / Math.sqrt(2 * Math.PI)),
  };
}

/**
 * Mean and scatter of the range of n standard normal readings. A range exceeds r with the chance
 * 1 - n * integral of phi(x) (Phi(x + r) - Phi(x))^(n - 1) dx, by the trapezium rule; the mean is the integral of that chance and the
 * mean square that of 2 r times it, by Simpson's rule. Source: definition of the range's distribution (H. L. Harter, Ann. Math.
 * Stat. 31 (1960) 1122-1147, from memory).
 */
function rangeMoments(n: number): { d2: number; d3: number } {
  const { below, density } = normalGrid();
  const across = Math.round((2 * TAIL) / STEP);
  const steps = Math.round(LONGEST / STEP);
  let mean = 0;
  let square = 0;
  for (let r = 0; r <= steps; r++) {
    let within = 0;
    for (let x = 0; x <= across; x++) {
      within += (density[x] ?? 0) * ((below[x + r] ?? 1) - (below[x] ?? 0)) ** (n - 1);
    }
    const weight = ((r === 0 || r === steps ? 1 : r % 2 === 1 ? 4 : 2) * STEP) / 3;
    const beyond = 1 - n * within * STEP;
    mean += weight * beyond;
    square += weight * 2 * r * STEP * beyond;
  }
  return { d2: mean, d3: Math.sqrt(square - mean * mean) };
}

/**
 * The factors for groups of n: c4 = sqrt(2 / (n - 1)) Gamma(n / 2) / Gamma((n - 1) / 2); d2 and d3 by numerical integration, to 1e-6 at
 * least; A2 = 3 / (d2 sqrt n), A3 = 3 / (c4 sqrt n), D3 and D4 = 1 -/+ 3 d3 / d2, E2 = 3 / d2. Source: definitions; as tabled in
 * ASTM's manual on the presentation of data (from memory).
 * @param n whole number from 2 to 100; else every factor is NaN
 */
export function chartConstants(n: number): ChartConstants {
  if (!Number.isInteger(n) || n < 2 || n > 100) {
    return { c4: NaN, d2: NaN, d3: NaN, A2: NaN, A3: NaN, D3: NaN, D4: NaN, E2: NaN };
  }
  const c4 = Math.sqrt(2 / (n - 1)) * Math.exp(gammaln(n / 2) - gammaln((n - 1) / 2));
  const { d2, d3 } = rangeMoments(n);
  const swing = (3 * d3) / d2;
  return {
    c4,
    d2,
    d3,
    A2: 3 / (d2 * Math.sqrt(n)),
    A3: 3 / (c4 * Math.sqrt(n)),
    D3: Math.max(0, 1 - swing),
    D4: 1 + swing,
    E2: 3 / d2,
  };
}

/**
 * Divisor that turns the mean of g ranges, each of n readings, into sigma without bias in its square: d2* = sqrt(d2^2 + d3^2 / g).
 * Source: A. J. Duncan, Quality Control and Industrial Statistics (from memory).
 * @param n as for chartConstants
 * @param g number of ranges, from 1
 */
export function rangeDivisor(n: number, g: number): number {
  const { d2, d3 } = chartConstants(n);
  return g >= 1 ? Math.sqrt(d2 * d2 + (d3 * d3) / g) : NaN;
}
