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
  signed,
  timeAxis,
} from './frame';
import { role } from './roles';

/** How much a bench read over the others in one quarter [percent], with its interval. */
export interface OffsetQuarter {
  readonly bench_id: string;
  readonly quarter: string;
  readonly n: number;
  readonly offset: number;
  readonly low: number;
  readonly high: number;
}

/** The axis holds every offset with so much to spare; an interval that reaches further is cut at its end. */
const SPARE = 1.5;

/** One small plot a bench over quarters: offset as a dot, interval as a line, zero in the middle. Shared axes. */
export function offsetQuartersPlot(rows: readonly OffsetQuarter[], room: Room): Plot.PlotOptions {
  const benches = distinct(rows.map((row) => row.bench_id)).toSorted();
  const cells = grid(benches, room, 260);
  const facet = {
    fx: (row: OffsetQuarter) => cells.fx(row.bench_id),
    fy: (row: OffsetQuarter) => cells.fy(row.bench_id),
  };
  const x = (row: OffsetQuarter): Date => midQuarter(row.quarter);
  const [least, most] = roundZero(
    rows.map((row) => SPARE * row.offset),
    1,
  );
  const apart = (row: OffsetQuarter): boolean => row.low > 0 || row.high < 0;
  const hue = (row: OffsetQuarter): string => (apart(row) ? role.warm : role.blue);
  const write = (value: number): string => `${signed(Math.round(100 * value) / 100)} %`;
  return {
    ...base(room, 60 + 170 * cells.rows),
    ...multiples,
    x: timeAxis(rows.map(x), room.width / cells.columns, 'Quarter received'),
    y: { domain: [least, most], label: 'Offset (%)', labelArrow: 'none', ticks: 5, tickFormat: signed },
    ...facetScales(cells),
    symbol: { type: 'identity' },
    marks: [
      Plot.gridY({ ticks: 5, stroke: role.rule, strokeOpacity: 1 }),
      Plot.ruleY([0], { stroke: role.iron }),
      plotNames(benches, cells),
      Plot.ruleX(rows, {
        ...facet,
        x,
        y1: (row: OffsetQuarter) => Math.max(least, row.low),
        y2: (row: OffsetQuarter) => Math.min(most, row.high),
        stroke: hue,
        strokeWidth: 1.6,
        strokeOpacity: 0.6,
      }),
      Plot.dot(rows, {
        ...facet,
        x,
        y: 'offset',
        r: 3.2,
        fill: hue,
        symbol: (row: OffsetQuarter) => (apart(row) ? 'diamond' : 'circle'),
      }),
      Plot.tip(
        rows,
        Plot.pointer({
          ...facet,
          x,
          y: 'offset',
          fill: role.sheet,
          stroke: role.iron,
          title: (row: OffsetQuarter) =>
            `${row.bench_id}, ${quarterName(row.quarter)}\n${write(row.offset)}\n` +
            `95 %: ${write(row.low)} to ${write(row.high)}\nn ${row.n}`,
        }),
      ),
    ],
  };
}
