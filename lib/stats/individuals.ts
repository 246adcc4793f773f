import { D2_OF_TWO, D3_OF_TWO } from './chartConstants';
import { moments } from './moments';
import { placesOutside, placesRead, type Series } from './series';

export interface IndividualsChart {
  /** Mean of the readings that the limits rest on [unit of the readings]. */
  readonly centre: number;
  /** Mean moving range / d2 [same unit]. */
  readonly sigma: number;
  readonly low: number;
  readonly high: number;
  /** As long as the series: distance to the reading before; NaN at the first, and where nothing was read. */
  readonly ranges: Float64Array;
  readonly meanRange: number;
  /** Upper limit of the ranges; the lower one is 0. */
  readonly rangeHigh: number;
  /** Places of readings, and of ranges, outside their limits. */
  readonly out: readonly number[];
  readonly rangesOut: readonly number[];
}

/** Distances between neighbouring readings, at the place of the later one; NaN elsewhere. Length as the series. */
export function movingRanges(values: Series): Float64Array {
  const ranges = new Float64Array(values.length).fill(NaN);
  let before = NaN;
  for (const k of placesRead(values)) {
    const value = values[k] ?? NaN;
    ranges[k] = Math.abs(value - before);
    before = value;
  }
  return ranges;
}

/**
 * Chart of individuals and moving ranges of two: centre +/- 3 sigma, sigma = mean moving range / d2, d2 = 2 / sqrt(pi); ranges up to
 * mean (1 + 3 d3 / d2). Source: NIST/SEMATECH e-Handbook 6.3.2.2; ISO 7870-2. Holds for readings that are near normal and not
 * related from one to the next. A series of equal readings has sigma 0 and no point out.
 * @param values the series; what is not finite is passed over
 * @param baseline how many places at the start the limits rest on; all where not stated
 * @returns null for fewer than two readings in the baseline
 */
export function individualsChart(values: Series, baseline = values.length): IndividualsChart | null {
  const base = Array.from(values).slice(0, Math.max(0, baseline));
  const { n, mean: centre } = moments(base);
  if (n < 2) return null;
  const ranges = movingRanges(values);
  const meanRange = moments(ranges.subarray(0, base.length)).mean;
  const sigma = meanRange / D2_OF_TWO;
  const low = centre - 3 * sigma;
  const high = centre + 3 * sigma;
  const rangeHigh = meanRange * (1 + (3 * D3_OF_TWO) / D2_OF_TWO);
  return {
    centre,
    sigma,
    low,
    high,
    ranges,
    meanRange,
    rangeHigh,
    out: placesOutside(
      values,
      () => low,
      () => high,
    ),
    rangesOut: placesOutside(
      ranges,
      () => 0,
      () => rangeHigh,
    ),
  };
}
