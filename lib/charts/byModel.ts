import * as Plot from '@observablehq/plot';
import { base, distinct, facetScales, grid, multiples, plotNames, type Room, roundZero, signed } from './frame';
import { FEW, type QuarterStyle } from './byQuarter';
import { role } from './roles';

/** The middle of all readings of one element of one model. */
export interface ModelElementRow {
  readonly pump_model: string;
  readonly element: number;
  readonly n: number;
  readonly q1: number;
  readonly median: number;
  readonly q3: number;
}

/** One small plot a model, its elements side by side from the drive end: middle half as a bar, median as a dot. */
export function modelElementsPlot(rows: readonly ModelElementRow[], style: QuarterStyle, room: Room): Plot.PlotOptions {
  const models = distinct(rows.map((row) => row.pump_model));
  const elements = distinct(rows.map((row) => row.element)).toSorted((a, b) => a - b);
  const cells = grid(models, room, 240);
  const facet = {
    fx: (row: ModelElementRow) => cells.fx(row.pump_model),
    fy: (row: ModelElementRow) => cells.fy(row.pump_model),
  };
  const { scale } = style;
  const limits = style.limits.map(scale);
  return {
    ...base(room, 60 + 150 * cells.rows),
    ...multiples,
    x: {
      type: 'point',
      domain: elements,
      label: 'Element, from the drive end',
      labelAnchor: 'center',
      labelArrow: 'none',
    },
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
      plotNames(models, cells),
      Plot.ruleX(rows, {
        ...facet,
        x: 'element',
        y1: (row: ModelElementRow) => scale(row.q1),
        y2: (row: ModelElementRow) => scale(row.q3),
        stroke: role.blue,
        strokeWidth: 7,
        strokeOpacity: 0.35,
      }),
      Plot.dot(rows, {
        ...facet,
        x: 'element',
        y: (row: ModelElementRow) => scale(row.median),
        r: 3.5,
        stroke: role.blue,
        strokeWidth: 1.4,
        fill: (row: ModelElementRow) => (row.n < FEW ? role.sheet : role.blue),
      }),
      Plot.tip(
        rows,
        Plot.pointer({
          ...facet,
          x: 'element',
          y: (row: ModelElementRow) => scale(row.median),
          fill: role.sheet,
          stroke: role.iron,
          title: (row: ModelElementRow) =>
            `${row.pump_model}, element ${row.element}\nmedian ${style.write(row.median)}\n` +
            `middle half ${style.write(row.q1)} to ${style.write(row.q3)}\nn ${row.n}`,
        }),
      ),
    ],
  };
}
