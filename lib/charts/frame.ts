import { text, type Markish, type PlotOptions, type ScaleOptions } from '@observablehq/plot';
import type { Unit } from '../units/units';
import type { Writer } from '../words/figures';
import { role } from './roles';

/** What a plot is drawn into: how wide [px], and whose units. Heights follow from the rows. */
export interface Room {
  readonly width: number;
  /** Writes figures in the reader's units; the log's own where left out. */
  readonly write?: Writer;
}

/** A y axis in the reader's units: its title, what takes figures of the log to it, and the decimals of one of them. */
export interface Scaled {
  readonly label: string;
  readonly scale: (value: number) => number;
  readonly decimals: number;
}
export const scaledAxis = (write: Writer, text: string, unit: Unit): Scaled => ({
  label: write.axis(text, unit),
  scale: write.scale(unit),
  decimals: write.axisDecimals(unit),
});

const TEXT_PX = 13;

/** What all plots share: text size, ink, no ground of their own. */
export const base = (room: Room, height: number): PlotOptions => ({
  width: room.width,
  height,
  style: { background: 'none', color: role.ink, fontFamily: 'inherit', fontSize: `${TEXT_PX}px`, overflow: 'visible' },
});

/** Room that the longest of some words takes beside an axis [px]. */
export const besideAxis = (words: readonly string[]): number =>
  16 + Math.ceil(TEXT_PX * 0.6 * Math.max(1, ...words.map((word) => word.length)));

export interface Grid<K> {
  readonly columns: number;
  readonly rows: number;
  readonly fx: (key: K) => number;
  readonly fy: (key: K) => number;
}

/** Lays out one small plot a key, as many side by side as fit with at least `least` px each, in the order of `keys`. */
export function grid<K>(keys: readonly K[], room: Room, least: number): Grid<K> {
  const fit = Math.max(1, Math.floor(room.width / least));
  const rows = Math.max(1, Math.ceil(keys.length / fit));
  const columns = Math.max(1, Math.ceil(keys.length / rows));
  const place = new Map(keys.map((key, index) => [key, index]));
  const at = (key: K): number => place.get(key) ?? 0;
  return { columns, rows, fx: (key) => at(key) % columns, fy: (key) => Math.floor(at(key) / columns) };
}

const upTo = (count: number): number[] => Array.from({ length: count }, (_, i) => i);

/** Where small plots stand: a column and a row each, without axes of their own. */
export const facetScales = ({ columns, rows }: Grid<never>): Pick<PlotOptions, 'fx' | 'fy'> => ({
  fx: { axis: null, domain: upTo(columns), padding: 0.06 },
  fy: { axis: null, domain: upTo(rows), padding: 0.18 },
});

/** The name over each small plot. */
export const plotNames = <K extends string | number>(
  keys: readonly K[],
  cells: Grid<K>,
  nameOf: (key: K) => string = String,
): Markish =>
  text(keys, {
    fx: (key: K) => cells.fx(key),
    fy: (key: K) => cells.fy(key),
    text: nameOf,
    frameAnchor: 'top-left',
    dy: -16,
    fontWeight: 600,
  });

/** A run by its number, as a small plot's name. */
export const runName = (run: number): string => (run === 0 ? 'Run 0, as received' : `Run ${run}`);

/** Each value once, in the order first met. */
export const distinct = <T>(values: Iterable<T>): readonly T[] => [...new Set(values)];

/** A first-of-quarter day as the moment in the middle of that quarter. */
export function midQuarter(quarter: string): Date {
  const first = new Date(quarter);
  return new Date(Date.UTC(first.getUTCFullYear(), first.getUTCMonth() + 1, 15));
}

/** Symmetric limits round zero that hold all values, and at least `least` either way. */
export function roundZero(values: readonly number[], least: number): [number, number] {
  const reach = Math.max(least, ...values.map(Math.abs)) * 1.06;
  return [-reach, reach];
}

/** Margins of small multiples: over each row a name, over all of them the title of the y axis. */
export const multiples = { marginTop: 48, marginRight: 12, marginBottom: 42, marginLeft: 52 } as const;

const YEAR_MS = 365.25 * 24 * 3600 * 1000;

/** A time axis [by the day received] with whole years where the log spans them, as many as `width` px hold. */
export function timeAxis(dates: readonly Date[], width: number, title: string): ScaleOptions {
  const times = dates.map((date) => date.getTime());
  const years = (Math.max(...times) - Math.min(...times)) / YEAR_MS;
  const common = { type: 'utc', label: title, labelAnchor: 'center', labelArrow: 'none' } as const;
  if (!(years > 2)) return { ...common, ticks: Math.max(2, Math.floor(width / 90)) };
  const fit = Math.max(1, width / 45);
  const step = [1, 2, 4, 5, 10].find((candidate) => years / candidate <= fit) ?? 20;
  return { ...common, ticks: step === 1 ? 'year' : `${step} years`, tickFormat: '%Y' };
}

/** Writes the ticks of an axis of changes or errors: sign always, a true minus, zero bare. */
export const signed = (value: number): string => {
  const digits = String(Math.abs(Math.round(value * 1e4) / 1e4));
  return value === 0 ? '0' : `${value > 0 ? '+' : '−'}${digits}`;
};
