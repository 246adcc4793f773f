import { placesOutside, placesRead, type Series } from './series';

export interface EwmaSettings {
  /** Weight of the newest reading, above 0, up to 1. */
  readonly lambda: number;
  /** Level the average starts from and is held against [unit of the readings]. */
  readonly centre: number;
  /** Standard deviation of one reading [same unit], not below 0. */
  readonly sigma: number;
  /** Limits at this many standard deviations of the average; 3 where not stated. */
  readonly width?: number;
}

/** The arrays are as long as the series; NaN where nothing was read. */
export interface EwmaChart {
  readonly average: Float64Array;
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** Limits that the others come to in the long run. */
  readonly settledLow: number;
  readonly settledHigh: number;
  readonly out: readonly number[];
}

/**
 * Exponentially weighted moving average z_i = lambda x_i + (1 - lambda) z_(i-1), z_0 = centre, with limits that widen as readings come
 * in: centre +/- width sigma sqrt(lambda / (2 - lambda) (1 - (1 - lambda)^(2 i))). Source: NIST/SEMATECH e-Handbook 6.3.2.4 for the
 * average and the settled limits; ISO 7870-6 (from memory) for the widening. i counts readings: one that is missing leaves the
 * average where it is. Lambda 1 is the chart of individuals.
 * @returns null where a setting is not such a number
 */
export function ewmaChart(values: Series, settings: EwmaSettings): EwmaChart | null {
  const { lambda, centre, sigma, width = 3 } = settings;
  if (!(lambda > 0 && lambda <= 1 && sigma >= 0 && width >= 0)) return null;
  if (!Number.isFinite(centre) || !Number.isFinite(width * sigma)) return null;
  const average = new Float64Array(values.length).fill(NaN);
  const low = average.slice();
  const high = average.slice();
  const settled = width * sigma * Math.sqrt(lambda / (2 - lambda));
  let level = centre;
  placesRead(values).forEach((k, before) => {
    // As a step towards the reading, so that readings on the centre stay there to the last digit.
    level = lambda === 1 ? (values[k] ?? NaN) : level + lambda * ((values[k] ?? NaN) - level);
    const half = settled * Math.sqrt(1 - (1 - lambda) ** (2 * (before + 1)));
    average[k] = level;
    low[k] = centre - half;
    high[k] = centre + half;
  });
  return {
    average,
    low,
    high,
    settledLow: centre - settled,
    settledHigh: centre + settled,
    out: placesOutside(
      average,
      (k) => low[k] ?? NaN,
      (k) => high[k] ?? NaN,
    ),
  };
}
