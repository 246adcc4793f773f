import chiSquareQuantile from '@stdlib/stats-base-dists-chisquare-quantile';
import { isConfidence, normalFactor } from './counts';
import type { Interval } from './wilson';

/** What a capability is told from: so many readings with this mean and standard deviation (n - 1), in one unit. */
export interface Scatter {
  readonly n: number;
  readonly mean: number;
  readonly sd: number;
}

/** The ends of a band in the readings' unit; null where there is none on that side. */
export interface Limits {
  readonly low: number | null;
  readonly high: number | null;
}

/** An index with its interval; 1 where three standard deviations just fit. */
export interface Index extends Interval {
  readonly value: number;
}

export interface Capability {
  readonly kind: 'told';
  /** Width of the band over six standard deviations, wherever the mean lies; null for a band with one end. */
  readonly cp: Index | null;
  /** From the lower limit to the mean over three standard deviations; below 0 where the mean lies outside. Null without that limit. */
  readonly cpl: Index | null;
  /** The same from the mean to the upper limit. */
  readonly cpu: Index | null;
  /** The smaller of those two; of a band with one end the one there is. */
  readonly cpk: Index;
}

/**
 * `too_few`: fewer than two readings, or a mean or scatter that is no number. `no_band`: no limit at all, one that is no number, or a lower
 * limit that is not below the upper one. `no_scatter`: all readings alike, so that no index is a number.
 */
export type CapabilityAnswer =
  | Capability
  | { readonly kind: 'too_few' }
  | { readonly kind: 'no_band' }
  | { readonly kind: 'no_scatter'; readonly within: boolean };

const isBand = ({ low, high }: Limits): boolean =>
  !(low === null && high === null) &&
  !Number.isNaN(low ?? 0) &&
  !Number.isNaN(high ?? 0) &&
  (low === null || high === null || low < high);

/**
 * Process capability: how often the scatter of a figure goes into its band. Cp = (USL - LSL) / 6s, Cpl = (mean - LSL) / 3s, Cpu =
 * (USL - mean) / 3s, Cpk the smaller of the two (NIST/SEMATECH e-Handbook 6.1.6, from memory). Interval of Cp: Cp times the roots of the
 * chi-square quantiles over n - 1, exact for normal readings. Of the others C -+ z sqrt(1/(9n) + C^2/(2(n - 1))), the approximation given
 * there (A. F. Bissell, Applied Statistics 39 (1990) 331-340; both from memory), which that page asks 25 readings of.
 *
 * Says what share of many would lie within only where readings are spread normally and nothing changed while they were taken. s is that of all
 * readings together, as on that page; some call these Pp and Ppk, and keep Cp for the scatter within small groups.
 *
 * @param limits in the unit of the readings
 * @param confidence of each interval, between 0 and 1
 */
export function capability({ n, mean, sd }: Scatter, limits: Limits, confidence = 0.95): CapabilityAnswer {
  const { low, high } = limits;
  if (!isBand(limits)) return { kind: 'no_band' };
  if (!(n >= 2) || !Number.isFinite(mean) || !(sd >= 0 && sd < Infinity) || !isConfidence(confidence))
    return { kind: 'too_few' };
  if (sd === 0) return { kind: 'no_scatter', within: (low ?? -Infinity) <= mean && mean <= (high ?? Infinity) };
  const sided = (room: number): Index => {
    const value = room / (3 * sd);
    const half = normalFactor(confidence) * Math.sqrt(1 / (9 * n) + value ** 2 / (2 * (n - 1)));
    return { value, low: value - half, high: value + half };
  };
  const cpl = low === null ? null : sided(mean - low);
  const cpu = high === null ? null : sided(high - mean);
  const cpk = cpl === null ? cpu : cpu === null || cpl.value <= cpu.value ? cpl : cpu;
  if (cpk === null) return { kind: 'no_band' };
  const width = low === null || high === null ? null : (high - low) / (6 * sd);
  return { kind: 'told', cp: width === null ? null : withChiSquare(width, n, confidence), cpl, cpu, cpk };
}

function withChiSquare(value: number, n: number, confidence: number): Index {
  const tail = (1 - confidence) / 2;
  const end = (share: number): number => value * Math.sqrt(chiSquareQuantile(share, n - 1) / (n - 1));
  return { value, low: end(tail), high: end(1 - tail) };
}
