import * as Plot from '@observablehq/plot';
import { percent, quarterName } from '../words/figures';
import { base, distinct, facetScales, grid, midQuarter, multiples, plotNames, type Room, timeAxis } from './frame';
import { role } from './roles';

/** Low-speed retention of many readings in one quarter; `name` heads the small plot it belongs to. */
export interface RetentionRow {
  readonly name: string;
  readonly occasion: 'as received' | 'as left';
  readonly quarter: string;
  readonly n: number;
  readonly p10: number;
  readonly median: number;
  readonly p90: number;
}

/** One small plot a name over quarters: as received in blue with its 10 to 90 % band, as left as a grey line. Shared axes. */
export function retentionPlot(rows: readonly RetentionRow[], room: Room): Plot.PlotOptions {
  const names = distinct(rows.map((row) => row.name));
  const cells = grid(names, room, 220);
  const facet = { fx: (row: RetentionRow) => cells.fx(row.name), fy: (row: RetentionRow) => cells.fy(row.name) };
  const x = (row: RetentionRow): Date => midQuarter(row.quarter);
  const received = rows.filter((row) => row.occasion === 'as received');
  const left = rows.filter((row) => row.occasion === 'as left');
  const values = rows.flatMap((row) => (row.occasion === 'as received' ? [row.p10, row.p90] : [row.median]));
  return {
    ...base(room, 60 + 150 * cells.rows),
    ...multiples,
    x: timeAxis(rows.map(x), room.width / cells.columns, 'Quarter received'),
    y: {
      domain: [100 * Math.min(...values, 0.9), 100 * Math.max(...values, 1)],
      nice: true,
      label: 'Low-speed retention (%)',
      labelArrow: 'none',
      ticks: 4,
    },
    ...facetScales(cells),
    marks: [
      Plot.gridY({ ticks: 4, stroke: role.rule, strokeOpacity: 1 }),
      plotNames(names, cells),
      Plot.areaY(received, {
        ...facet,
        x,
        y1: (row: RetentionRow) => 100 * row.p10,
        y2: (row: RetentionRow) => 100 * row.p90,
        fill: role.blueWash,
        z: 'name',
      }),
      Plot.lineY(left, {
        ...facet,
        x,
        y: (row: RetentionRow) => 100 * row.median,
        stroke: role.grey,
        strokeWidth: 1.6,
        strokeDasharray: '4 3',
        z: 'name',
      }),
      Plot.lineY(received, {
        ...facet,
        x,
        y: (row: RetentionRow) => 100 * row.median,
        stroke: role.blue,
        strokeWidth: 2,
        z: 'name',
      }),
      Plot.tip(
        rows,
        Plot.pointer({
          ...facet,
          x,
          y: (row: RetentionRow) => 100 * row.median,
          fill: role.sheet,
          stroke: role.iron,
          title: (row: RetentionRow) =>
            `${row.name}, ${quarterName(row.quarter)}, ${row.occasion}\nmedian ${percent(row.median, 1)}\n` +
            `10 to 90 %: ${percent(row.p10, 1)} to ${percent(row.p90, 1)}\nn ${row.n}`,
        }),
      ),
    ],
  };
}

/** The middle of many readings as received in one quarter; `name` heads the small plot it belongs to. */
export interface BandRow {
  readonly name: string;
  readonly quarter: string;
  readonly n: number;
  readonly p10: number;
  readonly median: number;
  readonly p90: number;
}

export interface BandStyle {
  /** Title of the y axis with its unit. */
  readonly label: string;
  /** Takes a row's values to the axis: times 100 for shares on an axis in percent. */
  readonly scale: (value: number) => number;
  /** How a row's value is written in the pointer's note. */
  readonly write: (value: number) => string;
  /** Ends the axis at this many times the largest median, where a band reaches further; the band is cut there. */
  readonly cut?: number;
}

/** The top of the axis: all that is drawn, or the cut. */
const topOf = (values: readonly number[], medians: readonly number[], cut: number): number =>
  Math.min(Math.max(...values, 0), Math.max(...medians) > 0 ? cut * Math.max(...medians) : Infinity);

/** Quarters with fewer readings are drawn as open dots without a band: their ends would be little more than single readings. */
export const FEW_READINGS = 5;

/** One small plot a name over quarters: median as a line with its 10 to 90 % band, zero in view. Shared axes. */
export function bandsPlot(rows: readonly BandRow[], style: BandStyle, room: Room): Plot.PlotOptions {
  const names = distinct(rows.map((row) => row.name));
  const cells = grid(names, room, 220);
  const facet = { fx: (row: BandRow) => cells.fx(row.name), fy: (row: BandRow) => cells.fy(row.name) };
  const x = (row: BandRow): Date => midQuarter(row.quarter);
  const y = (row: BandRow): number => style.scale(row.median);
  const few = rows.filter((row) => row.n < FEW_READINGS);
  const many = rows.filter((row) => row.n >= FEW_READINGS);
  const medians = rows.map((row) => row.median);
  const values = [...many.flatMap((row) => [row.p10, row.p90]), ...medians];
  return {
    ...base(room, 60 + 150 * cells.rows),
    ...multiples,
    x: timeAxis(rows.map(x), room.width / cells.columns, 'Quarter received'),
    y: {
      domain: [style.scale(Math.min(...values, 0)), style.scale(topOf(values, medians, style.cut ?? Infinity))],
      nice: true,
      label: style.label,
      labelArrow: 'none',
      ticks: 4,
      tickFormat: (value: number) => value.toLocaleString('en', { useGrouping: false }).replace('-', '−'),
    },
    ...facetScales(cells),
    marks: [
      Plot.gridY({ ticks: 4, stroke: role.rule, strokeOpacity: 1 }),
      Plot.ruleY([0], { stroke: role.iron }),
      plotNames(names, cells),
      Plot.areaY(many, {
        ...facet,
        x,
        y1: (row: BandRow) => style.scale(row.p10),
        y2: (row: BandRow) => style.scale(row.p90),
        fill: role.blueWash,
        clip: style.cut !== undefined,
        z: 'name',
      }),
      Plot.lineY(rows, { ...facet, x, y, stroke: role.blue, strokeWidth: 2, z: 'name' }),
      Plot.dot(few, { ...facet, x, y, r: 3, stroke: role.blue, strokeWidth: 1.4, fill: role.sheet }),
      Plot.tip(
        rows,
        Plot.pointer({
          ...facet,
          x,
          y,
          fill: role.sheet,
          stroke: role.iron,
          title: (row: BandRow) =>
            `${row.name}, ${quarterName(row.quarter)}, as received\nmedian ${style.write(row.median)}\n` +
            `10 to 90 %: ${style.write(row.p10)} to ${style.write(row.p90)}\nn ${row.n}`,
        }),
      ),
    ],
  };
}
