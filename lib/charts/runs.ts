import * as Plot from '@observablehq/plot';
import { inLogUnits } from '../words/figures';
import {
  base,
  distinct,
  facetScales,
  grid,
  multiples,
  plotNames,
  type Room,
  roundZero,
  runName,
  signed,
} from './frame';
import { role } from './roles';

/** One element's phase error in one run [degrees of camshaft, minus is early]; empty where it was not measured. */
export interface RunErrorRow {
  readonly run: number;
  readonly element: number;
  readonly error_deg: number | null;
  readonly verdict: string;
}

/** One small plot a run: phase error of each element from the drive end, between the tolerance lines. */
export function runErrorsPlot(rows: readonly RunErrorRow[], tolerance: number | null, room: Room): Plot.PlotOptions {
  const runs = distinct(rows.map((row) => row.run));
  const elements = distinct(rows.map((row) => row.element)).toSorted((a, b) => a - b);
  const cells = grid(runs, room, 190);
  const measured = rows.filter((row) => row.error_deg !== null);
  const facet = { fx: (row: RunErrorRow) => cells.fx(row.run), fy: (row: RunErrorRow) => cells.fy(row.run) };
  const hue = (row: RunErrorRow): string => (row.verdict === 'out' ? role.warm : role.blue);
  const { write = inLogUnits } = room;
  const scale = write.scale('cam_deg');
  const error = (row: RunErrorRow): number => scale(row.error_deg ?? 0);
  const limits = tolerance === null ? [] : [scale(-tolerance), scale(tolerance)];
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
      domain: roundZero([...measured.map(error), ...limits], scale(0.1)),
      label: `${write.axis('Phase error', 'cam_deg')}, + is late`,
      labelArrow: 'none',
      ticks: 5,
      tickFormat: signed,
    },
    ...facetScales(cells),
    symbol: { type: 'identity' },
    marks: [
      Plot.gridY({ ticks: 5, stroke: role.rule, strokeOpacity: 1 }),
      Plot.ruleY([0], { stroke: role.iron }),
      Plot.ruleY(limits, { stroke: role.ink, strokeDasharray: '5 3' }),
      plotNames(runs, cells, runName),
      Plot.ruleX(measured, { ...facet, x: 'element', y1: 0, y2: error, stroke: hue, strokeWidth: 1.5 }),
      Plot.dot(measured, {
        ...facet,
        x: 'element',
        y: error,
        r: 4,
        fill: hue,
        symbol: (row: RunErrorRow) => (row.verdict === 'out' ? 'diamond' : 'circle'),
        title: (row: RunErrorRow) =>
          `Element ${row.element}: ${write.figure(row.error_deg, 'cam_deg', { sign: true })}, ${row.verdict}`,
      }),
    ],
  };
}
