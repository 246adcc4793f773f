import { chartConstants, rangeDivisor } from './chartConstants';
import { type CrossedReading, crossedTable } from './crossed';
import { categories } from './gaugeAnova';
import { moments } from './moments';

/** Standard deviations [unit of the readings] of a gauge study by averages and ranges. */
export interface GaugeRangeStudy {
  /** Equipment variation: repeats of one operator on one part. */
  readonly repeatability: number;
  /** Appraiser variation; 0 where the operators lie closer than repeats alone would put them. */
  readonly reproducibility: number;
  readonly gauge: number;
  readonly part: number;
  readonly total: number;
  /** gauge in percent of total; NaN where nothing varies. */
  readonly percent: number;
  readonly categories: number;
}

/** From this many ranges on, d2 stands for d2* (as the tables of gauge studies do). */
const MANY_RANGES = 16;

const range = (values: readonly number[]): number => Math.max(...values) - Math.min(...values);

/**
 * Gauge study by averages and ranges, without interaction: EV = mean range of the cells / d2; AV^2 = (range of the operators' means / d2*)^2 -
 * EV^2 / (parts trials); PV = range of the parts' means / d2*; d2* for one range of so many means. Source: the average and range
 * method of gauge studies (from memory). Quicker by hand than the analysis of variance, and less exact; it can't see interaction.
 * @param readings [one unit]; what is not finite is left out
 * @returns null where not balanced, or fewer than two parts, operators or trials
 */
export function gaugeRange(readings: readonly CrossedReading[]): GaugeRangeStudy | null {
  const table = crossedTable(readings);
  if (table === null || table.trials < 2 || table.parts.length < 2 || table.operators.length < 2) return null;
  const { cells, trials, parts, operators } = table;
  const mean = (values: readonly number[]) => moments(values).mean;
  const ranges = cells.flat().map(range);
  const divisor = ranges.length < MANY_RANGES ? rangeDivisor(trials, ranges.length) : chartConstants(trials).d2;
  const repeatability = mean(ranges) / divisor;
  const operatorMeans = operators.map((_, o) => mean(cells.flatMap((row) => row[o] ?? [])));
  const raw = range(operatorMeans) / rangeDivisor(operators.length, 1);
  const reproducibility = Math.sqrt(Math.max(0, raw ** 2 - repeatability ** 2 / (parts.length * trials)));
  const gauge = Math.hypot(repeatability, reproducibility);
  const part = range(cells.map((row) => mean(row.flat()))) / rangeDivisor(parts.length, 1);
  const total = Math.hypot(gauge, part);
  return {
    repeatability,
    reproducibility,
    gauge,
    part,
    total,
    percent: (100 * gauge) / total,
    categories: categories(part, gauge),
  };
}
