/** How far from the middle a reading may lie, in deviations, before it is brought in; ours. */
const WILD = 4;
/** Median absolute deviation to standard deviation, of normal readings. */
const MAD_TO_SD = 1.4826;

export function medianOf(values: ArrayLike<number>): number {
  const sorted = Float64Array.from(values).sort();
  const half = sorted.length >> 1;
  const high = sorted[half] ?? Number.NaN;
  return sorted.length % 2 === 1 ? high : ((sorted[half - 1] ?? Number.NaN) + high) / 2;
}

/**
 * Brings readings that lie more than four deviations from their median in to that distance, so that a slip of the pen does not carry a
 * comparison; the deviation is told by the median absolute one. Readings of which half are equal stay as they are.
 */
export function broughtIn(values: ArrayLike<number>): Float64Array {
  const middle = medianOf(values);
  const away = Float64Array.from(values, (value) => Math.abs(value - middle));
  const wide = WILD * MAD_TO_SD * medianOf(away);
  const limit = wide > 0 ? wide : Infinity;
  return Float64Array.from(values, (value) => Math.max(middle - limit, Math.min(middle + limit, value)));
}
