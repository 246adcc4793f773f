import * as Plot from '@observablehq/plot';
import { quarterName } from '../words/figures';
import {
  base,
  distinct,
  facetScales,
  grid,
  midQuarter,
  multiples,
  plotNames,
  type Room,
  roundZero,
  type Scaled,
  signed,
  timeAxis,
} from './frame';
import { role } from './roles';

/** Quarters with fewer readings than this are drawn open: their middle is little more than single readings. */
export const FEW = 5;

/** The middle of many readings of one element in one quarter. */
export interface QuarterRow {
  readonly element: number;
  readonly quarter: string;
  readonly n: number;
  readonly q1: number;
  readonly median: number;
  readonly q3: number;
}

export interface QuarterStyle extends Scaled {
  /** The y axis reaches at least this far either way of zero, in the unit of the log. */
  readonly reach: number;
  /** Limits drawn as thin ink lines, in the unit of the log; empty where there are none. */
  readonly limits: readonly number[];
  /** How a value is written in the pointer's note. */
  readonly write: (value: number) => string;
}

/**
 * One small plot an element over quarters: the middle half as a bar, the median as a dot, zero as a line. All share both axes.
 */
export function elementQuartersPlot(rows: readonly QuarterRow[], style: QuarterStyle, room: Room): Plot.PlotOptions {
  const elements = distinct(rows.map((row) => row.element));
  const cells = grid(elements, room, 200);
  const facet = { fx: (row: QuarterRow) => cells.fx(row.element), fy: (row: QuarterRow) => cells.fy(row.element) };
  const x = (row: QuarterRow): Date => midQuarter(row.quarter);
  const beyond = (row: QuarterRow): boolean =>
    style.limits.length > 0 && Math.abs(row.median) > Math.max(...style.limits.map(Math.abs));
  const hue = (row: QuarterRow): string => (beyond(row) ? role.warm : role.blue);
  const { scale } = style;
  const limits = style.limits.map(scale);
  return {
    ...base(room, 60 + 150 * cells.rows),
    ...multiples,
    x: timeAxis(rows.map(x), room.width / cells.columns, 'Quarter received'),
    y: {
      domain: roundZero([...rows.flatMap((row) => [scale(row.q1), scale(row.q3)]), ...limits], scale(style.reach)),
      label: style.label,
      labelArrow: 'none',
      ticks: 5,
      tickFormat: signed,
    },
    ...facetScales(cells),
    marks: [
      Plot.gridY({ ticks: 5, stroke: role.rule, strokeOpacity: 1 }),
      Plot.ruleY([0], { stroke: role.iron }),
      Plot.ruleY(limits, { stroke: role.ink, strokeDasharray: '5 3' }),
      plotNames(elements, cells, (element: number) => `Element ${element}`),
      Plot.ruleX(rows, {
        ...facet,
        x,
        y1: (row: QuarterRow) => scale(row.q1),
        y2: (row: QuarterRow) => scale(row.q3),
        stroke: hue,
        strokeWidth: 5,
        strokeOpacity: 0.35,
      }),
      Plot.dot(rows, {
        ...facet,
        x,
        y: (row: QuarterRow) => scale(row.median),
        r: 2.8,
        stroke: hue,
        strokeWidth: 1.4,
        fill: (row: QuarterRow) => (row.n < FEW ? role.sheet : hue(row)),
      }),
      Plot.tip(
        rows,
        Plot.pointer({
          ...facet,
          x,
          y: (row: QuarterRow) => scale(row.median),
          fill: role.sheet,
          stroke: role.iron,
          title: (row: QuarterRow) =>
            `Element ${row.element}, ${quarterName(row.quarter)}\nmedian ${style.write(row.median)}\n` +
            `middle half ${style.write(row.q1)} to ${style.write(row.q3)}\nn ${row.n}`,
        }),
      ),
    ],
  };
}
