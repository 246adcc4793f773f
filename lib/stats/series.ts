/** A series in job order, or readings of one kind: plain or typed array. What was not read is NaN. */
export type Series = ArrayLike<number>;

/** Places of the readings that count (finite), in order. What was not read is passed over: its neighbours count as next to each other. */
export function placesRead(values: Series): number[] {
  const places: number[] = [];
  for (let k = 0; k < values.length; k++) if (Number.isFinite(values[k])) places.push(k);
  return places;
}

/** The readings that count, in order. */
export function read(values: Series): Float64Array {
  return Float64Array.from(placesRead(values), (k) => values[k] ?? NaN);
}

/** Places of the points outside their own limits. A point on its limit is inside; one that was not read is not outside. */
export function placesOutside(values: Series, low: (k: number) => number, high: (k: number) => number): number[] {
  return placesRead(values).filter((k) => {
    const value = values[k] ?? NaN;
    return value < low(k) || value > high(k);
  });
}
