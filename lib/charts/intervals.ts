import * as Plot from '@observablehq/plot';
import { count } from '../words/figures';
import { base, besideAxis, distinct, type Room } from './frame';
import { role } from './roles';

/** A figure with its interval, as it stands on the axis. */
export interface IntervalRow {
  readonly name: string;
  /** Which way it was found, where the plot has two; the second is drawn open and grey. */
  readonly way?: string;
  readonly n: number;
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

export interface IntervalStyle {
  /** Title of the axis with its unit. */
  readonly label: string;
  /** How a figure is written in the pointer's note. */
  readonly write: (value: number) => string;
  /** Draw a line at zero and keep it in view; figures whose interval leaves it out are drawn warm. */
  readonly zero?: 'of note' | 'the start';
  readonly tickFormat?: (value: number) => string;
}

const ONE_WAY = '';

/** A row a name: figure as a dot, interval as a line, n at the right. */
export function intervalsPlot(rows: readonly IntervalRow[], style: IntervalStyle, room: Room): Plot.PlotOptions {
  const names = distinct(rows.map((row) => row.name));
  const ways = distinct(rows.map((row) => row.way ?? ONE_WAY));
  const way = (row: IntervalRow): string => row.way ?? ONE_WAY;
  const isSecond = (row: IntervalRow): boolean => way(row) !== ways[0];
  const apart = (row: IntervalRow): boolean => style.zero === 'of note' && (row.low > 0 || row.high < 0);
  const hue = (row: IntervalRow): string => (isSecond(row) ? role.grey : apart(row) ? role.warm : role.blue);
  const ends = rows.flatMap((row) => [row.low, row.high]);
  const [least, most] = [Math.min(...ends), Math.max(...ends)];
  const marginLeft = besideAxis(names);
  return {
    ...base(room, 60 + (ways.length > 1 ? 46 : 32) * names.length),
    marginLeft,
    marginRight: 76,
    marginTop: 14,
    marginBottom: 42,
    x: {
      domain: style.zero === undefined ? [least, most] : [Math.min(0, least), Math.max(0, most)],
      nice: true,
      inset: 6,
      label: style.label,
      labelAnchor: 'center',
      labelArrow: 'none',
      ticks: Math.max(2, Math.min(6, Math.floor(room.width / 90))),
      ...(style.tickFormat === undefined ? {} : { tickFormat: style.tickFormat }),
    },
    y: { domain: [...ways], axis: null, padding: 0.4 },
    fy: { domain: [...names], axis: null, padding: 0.15 },
    symbol: { type: 'identity' },
    marks: [
      Plot.gridX({ ticks: 6, stroke: role.rule, strokeOpacity: 1 }),
      style.zero === undefined ? null : Plot.ruleX([0], { stroke: role.iron }),
      Plot.text(names, {
        fy: (name: string) => name,
        text: (name: string) => name,
        frameAnchor: 'left',
        textAnchor: 'end',
        dx: -12,
        fontWeight: 600,
      }),
      Plot.ruleY(rows, { fy: 'name', y: way, x1: 'low', x2: 'high', stroke: hue, strokeWidth: 2 }),
      Plot.dot(rows, {
        fy: 'name',
        y: way,
        x: 'value',
        r: 5,
        stroke: hue,
        strokeWidth: 2,
        fill: (row: IntervalRow) => (isSecond(row) ? role.sheet : hue(row)),
        symbol: (row: IntervalRow) => (!isSecond(row) && apart(row) ? 'diamond' : 'circle'),
      }),
      Plot.text(rows, {
        fy: 'name',
        y: way,
        frameAnchor: 'right',
        textAnchor: 'end',
        dx: 72,
        text: (row: IntervalRow) => `n ${count(row.n)}`,
        fill: role.iron,
      }),
      Plot.tip(
        rows,
        Plot.pointerY({
          fy: 'name',
          y: way,
          x: 'value',
          fill: role.sheet,
          stroke: role.iron,
          title: (row: IntervalRow) =>
            `${row.name}${row.way === undefined ? '' : `, ${row.way}`}\n${style.write(row.value)}\n` +
            `95 %: ${style.write(row.low)} to ${style.write(row.high)}\nn ${row.n}`,
        }),
      ),
    ],
  };
}
