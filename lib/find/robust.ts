/** How far from the middle a reading may lie, in deviations, before it is brought in; ours. */
const WILD = 4;
/** Median absolute deviation to standard deviation, of normal readings. */
const MAD_TO_SD = 1.4826;

/**
 * Puts the value of rank `k` of `values` in its place, nothing larger before it and nothing smaller after it, and answers it. C. A. R.
 * Hoare, Comm. ACM 4 (1961) 321 (from memory): sorting all of them takes several times as long.
 */
function select(values: Float64Array, k: number): number {
  let [low, high] = [0, values.length - 1];
  while (low < high) {
    const pivot = values[(low + high) >> 1] ?? Number.NaN;
    let [i, j] = [low, high];
    while (i <= j) {
      while ((values[i] ?? Infinity) < pivot) i += 1;
      while ((values[j] ?? -Infinity) > pivot) j -= 1;
      if (i > j) break;
      const swapped = values[i] ?? Number.NaN;
      values[i] = values[j] ?? Number.NaN;
      values[j] = swapped;
      i += 1;
      j -= 1;
    }
    if (k <= j) high = j;
    else if (k >= i) low = i;
    else break;
  }
  return values[k] ?? Number.NaN;
}

/** The median, of finite values; their order is lost. */
function medianIn(values: Float64Array): number {
  const half = values.length >> 1;
  const high = select(values, half);
  if (values.length % 2 === 1 || values.length === 0) return high;
  let low = -Infinity;
  for (let i = 0; i < half; i += 1) low = Math.max(low, values[i] ?? -Infinity);
  return (low + high) / 2;
}

/** NaN of none. */
export const medianOf = (values: ArrayLike<number>): number => medianIn(Float64Array.from(values));

/**
 * Brings readings that lie more than four deviations from their median in to that distance, so that a slip of the pen does not carry a
 * comparison; the deviation is told by the median absolute one. Readings of which half are equal stay as they are.
 * @param values finite
 */
export function broughtIn(values: ArrayLike<number>): Float64Array {
  const n = values.length;
  const scratch = new Float64Array(n);
  for (let i = 0; i < n; i += 1) scratch[i] = values[i] ?? Number.NaN;
  const middle = medianIn(scratch);
  for (let i = 0; i < n; i += 1) scratch[i] = Math.abs((values[i] ?? Number.NaN) - middle);
  const wide = WILD * MAD_TO_SD * medianIn(scratch);
  const limit = wide > 0 ? wide : Infinity;
  for (let i = 0; i < n; i += 1) {
    scratch[i] = Math.max(middle - limit, Math.min(middle + limit, values[i] ?? Number.NaN));
  }
  return scratch;
}
