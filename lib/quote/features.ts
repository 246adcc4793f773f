import type { Asked, Feature, QuoteHistory } from './types';

/** What is read of a pump before work begins, each on a scale on which a step means about the same everywhere. */

export const readFeatures = [
  'phasingDeg',
  'scatterPercent',
  'retentionDeficit',
  'engineHours',
] as const satisfies Feature[];
export type ReadFeature = (typeof readFeatures)[number];

const clamp = (value: number, low: number, high: number): number => Math.min(high, Math.max(low, value));

const scales: Readonly<Record<ReadFeature, (value: number) => number>> = {
  phasingDeg: (degrees) => Math.log1p(Math.abs(degrees)),
  scatterPercent: (percent) => Math.log1p(Math.max(0, percent)),
  // A deficit is a share: what lies far outside is a slip of reading.
  retentionDeficit: (deficit) => clamp(deficit, -0.5, 1),
  engineHours: (hours) => Math.log1p(Math.max(0, hours) / 1000),
};

/** What was read, scaled, in the order of `readFeatures`; NaN where it was not. */
export type Readings = readonly number[];

export function readingsOfAsked(asked: Asked): Readings {
  return readFeatures.map((feature) => {
    const value = asked[feature];
    return value === null || value === undefined ? NaN : scales[feature](value);
  });
}

/** The readings of every row, one after the other. */
export function readingsOf(history: QuoteHistory): Float64Array {
  const all = new Float64Array(history.model.length * readFeatures.length);
  readFeatures.forEach((feature, k) => {
    const [column, scale] = [history[feature], scales[feature]];
    for (let row = 0; row < column.length; row += 1) all[row * readFeatures.length + k] = scale(column[row] ?? NaN);
  });
  return all;
}

export const readingsAt = (all: Float64Array, row: number): Readings =>
  readFeatures.map((_, k) => all[row * readFeatures.length + k] ?? NaN);

/** Which are read, a bit each. */
export function maskOf(readings: Readings): number {
  let mask = 0;
  for (let k = 0; k < readings.length; k += 1) if (Number.isFinite(readings[k])) mask |= 1 << k;
  return mask;
}

/** The places of a mask's bits. */
export const placesOf: readonly (readonly number[])[] = Array.from({ length: 1 << readFeatures.length }, (_, mask) =>
  readFeatures.map((_, k) => k).filter((k) => (mask & (1 << k)) !== 0),
);

/** The mask without its last bit, the least telling. */
export const withoutLast = (mask: number): number => {
  const last = placesOf[mask]?.at(-1);
  return last === undefined ? 0 : mask & ~(1 << last);
};
