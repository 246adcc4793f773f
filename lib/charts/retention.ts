import * as Plot from '@observablehq/plot';
import { percent, quarterName } from '../words/figures';
import { timeAxis, multiples, base, distinct, grid, midQuarter, type Room } from './frame';
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
    fx: { axis: null, domain: Array.from({ length: cells.columns }, (_, i) => i), padding: 0.06 },
    fy: { axis: null, domain: Array.from({ length: cells.rows }, (_, i) => i), padding: 0.18 },
    marks: [
      Plot.gridY({ ticks: 4, stroke: role.rule, strokeOpacity: 1 }),
      Plot.text(names, {
        fx: (name: string) => cells.fx(name),
        fy: (name: string) => cells.fy(name),
        text: (name: string) => name,
        frameAnchor: 'top-left',
        dy: -16,
        fontWeight: 600,
      }),
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
