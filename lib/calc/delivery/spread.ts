import type { SpreadBasis } from '../types';

/** Mean of the first `count` values; NaN for none. */
export function mean(values: Float64Array, count: number): number {
  let sum = 0;
  for (let k = 0; k < count; k++) sum += values[k] ?? NaN;
  return sum / count;
}

function range(values: Float64Array, count: number): number {
  let low = Infinity;
  let high = -Infinity;
  for (let k = 0; k < count; k++) {
    low = Math.min(low, values[k] ?? NaN);
    high = Math.max(high, values[k] ?? NaN);
  }
  return high - low;
}

function largestDeviation(values: Float64Array, count: number, centre: number): number {
  let largest = 0;
  for (let k = 0; k < count; k++) largest = Math.max(largest, Math.abs((values[k] ?? NaN) - centre));
  return largest;
}

/** Nothing at all spreads by nothing, whatever the mean; deliveries are never below 0. */
const percentOf = (amount: number, whole: number): number => (amount === 0 ? 0 : (100 * amount) / whole);

/**
 * Spread over the elements on the specification's own basis: largest less smallest, or the largest deviation from the mean,
 * each in mm3/stroke or in percent of the mean. NaN for no value.
 * @param values deliveries per stroke [mm3]; the first `count` count
 */
export function spread(values: Float64Array, count: number, basis: SpreadBasis): number {
  if (count === 0) return NaN;
  const centre = mean(values, count);
  switch (basis) {
    case 'range_mm3':
      return range(values, count);
    case 'range_percent':
      return percentOf(range(values, count), centre);
    case 'deviation_mm3':
      return largestDeviation(values, count, centre);
    case 'deviation_percent':
      return percentOf(largestDeviation(values, count, centre), centre);
  }
}
