import { placesRead, type Series } from './series';

export interface CusumSettings {
  /** Level the series should keep. */
  readonly target: number;
  /** Slack: half the shift that matters; not below 0. */
  readonly k: number;
  /** Decision interval; above 0. All in the unit of the readings, k and h as well: multiply by sigma first where they are stated so. */
  readonly h: number;
}

export interface CusumSide {
  /** As long as the series; not below 0; NaN where nothing was read. */
  readonly sums: Float64Array;
  /** Place of the first sum above h; null for none. */
  readonly signal: number | null;
  /** Place of the first reading of the climb that led to the signal, where the shift most likely began; null without signal. */
  readonly began: number | null;
}

/** Shifts upwards, and downwards. */
export interface Cusum {
  readonly up: CusumSide;
  readonly down: CusumSide;
}

function side(values: Series, excess: (value: number) => number, h: number): CusumSide {
  const sums = new Float64Array(values.length).fill(NaN);
  let sum = 0;
  let start: number | null = null;
  let signal: number | null = null;
  let began: number | null = null;
  for (const place of placesRead(values)) {
    if (sum === 0) start = place;
    sum = Math.max(0, sum + excess(values[place] ?? NaN));
    sums[place] = sum;
    if (signal === null && sum > h) {
      signal = place;
      began = start;
    }
  }
  return { sums, signal, began };
}

/**
 * Tabular cumulative sum, both sides: up_i = max(0, up_(i-1) + x_i - target - k), down_i = max(0, down_(i-1) + target - k - x_i), both from
 * 0; a signal where a sum passes h. Source: NIST/SEMATECH e-Handbook 6.3.2.3; ISO 7870-4 (from memory). The sums go on after a signal.
 * Usual settings: k = sigma / 2, h = 4 or 5 sigma (e-Handbook 6.3.2.3).
 * @param values the series; what is not finite is passed over
 * @returns null where a setting is not such a number
 */
export function cusum(values: Series, { target, k, h }: CusumSettings): Cusum | null {
  if (!Number.isFinite(target) || !(k >= 0 && k < Infinity) || !(h > 0)) return null;
  return {
    up: side(values, (value) => value - target - k, h),
    down: side(values, (value) => target - k - value, h),
  };
}
