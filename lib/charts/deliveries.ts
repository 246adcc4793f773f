import * as Plot from '@observablehq/plot';
import { figure } from '../words/figures';
import { multiples, base, distinct, grid, type Room } from './frame';
import { role } from './roles';

/** One draw of one element in one run [mm3/stroke]. */
export interface DrawRow {
  readonly run: number;
  readonly element: number;
  readonly mm3_per_stroke: number;
  readonly counts: boolean;
}
/** The mean of the draws that count. */
export interface DeliveryRow {
  readonly run: number;
  readonly element: number;
  readonly mm3_per_stroke: number | null;
  readonly verdict: string;
}
export interface DeliveryLimits {
  readonly low: number | null;
  readonly high: number | null;
}

const DASH: Plot.VectorShapeImplementation = {
  draw(context, length) {
    context.moveTo(0, 0);
    context.lineTo(0, -length);
  },
};

/**
 * One test point, one small plot a run: each element's delivery between the limits. Draws that count are short lines, draws
 * that do not are crosses.
 */
export function deliveriesPlot(
  means: readonly DeliveryRow[],
  draws: readonly DrawRow[],
  limits: DeliveryLimits,
  room: Room,
): Plot.PlotOptions {
  const runs = distinct([...means, ...draws].map((row) => row.run)).toSorted((a, b) => a - b);
  const elements = distinct([...means, ...draws].map((row) => row.element)).toSorted((a, b) => a - b);
  const cells = grid(runs, room, 190);
  const facet = { fx: (row: { run: number }) => cells.fx(row.run), fy: (row: { run: number }) => cells.fy(row.run) };
  const measured = means.filter((row) => row.mm3_per_stroke !== null);
  const hue = (row: DeliveryRow): string => (row.verdict === 'out' ? role.warm : role.blue);
  const lines = [limits.low, limits.high].filter((value) => value !== null);
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
    y: { label: 'Delivery (mm³/stroke)', labelArrow: 'none', ticks: 5, nice: true, inset: 6 },
    fx: { axis: null, domain: Array.from({ length: cells.columns }, (_, i) => i), padding: 0.06 },
    fy: { axis: null, domain: Array.from({ length: cells.rows }, (_, i) => i), padding: 0.18 },
    symbol: { type: 'identity' },
    marks: [
      Plot.gridY({ ticks: 5, stroke: role.rule, strokeOpacity: 1 }),
      Plot.ruleY(lines, { stroke: role.ink, strokeDasharray: '5 3' }),
      Plot.text(runs, {
        fx: (run: number) => cells.fx(run),
        fy: (run: number) => cells.fy(run),
        text: (run: number) => (run === 0 ? 'Run 0, as received' : `Run ${run}`),
        frameAnchor: 'top-left',
        dy: -16,
        fontWeight: 600,
      }),
      Plot.dot(
        draws.filter((row) => !row.counts),
        { ...facet, x: 'element', y: 'mm3_per_stroke', symbol: 'times', stroke: role.iron, r: 3.5 },
      ),
      Plot.vector(
        draws.filter((row) => row.counts),
        {
          ...facet,
          x: 'element',
          y: 'mm3_per_stroke',
          shape: DASH,
          length: 16,
          anchor: 'middle',
          rotate: 90,
          stroke: role.grey,
          strokeWidth: 1.5,
        },
      ),
      Plot.dot(measured, {
        ...facet,
        x: 'element',
        y: 'mm3_per_stroke',
        r: 4,
        fill: hue,
        symbol: (row: DeliveryRow) => (row.verdict === 'out' ? 'diamond' : 'circle'),
        title: (row: DeliveryRow) =>
          `Element ${row.element}: ${figure(row.mm3_per_stroke, 'mm3_per_stroke')}, ${row.verdict}`,
      }),
    ],
  };
}
