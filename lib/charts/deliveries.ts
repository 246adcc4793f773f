import * as Plot from '@observablehq/plot';
import { inLogUnits } from '../words/figures';
import { base, distinct, facetScales, grid, multiples, plotNames, type Room, runName } from './frame';
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
  /** Expanded uncertainty; left out or empty where none is stated. */
  readonly uncertainty_mm3?: number | null;
  /** Brought to the reference temperature; left out or empty where that is not known. */
  readonly at_reference_mm3?: number | null;
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
 * Where bars begin [mm3/stroke]: the middle of the band, or its one end; without a band the mean of the deliveries. A band is
 * a few parts in a hundred wide, so that bars from zero would all look the same.
 */
export function barsFrom(means: readonly DeliveryRow[], { low, high }: DeliveryLimits): number {
  if (low !== null && high !== null) return (low + high) / 2;
  const known = means.flatMap((row) => (row.mm3_per_stroke === null ? [] : [row.mm3_per_stroke]));
  return low ?? high ?? known.reduce((sum, value) => sum + value, 0) / Math.max(1, known.length);
}

/**
 * One test point, one small plot a run: each element's delivery as a bar against the limits, with its uncertainty. Draws that
 * count are short lines, draws that do not are crosses, deliveries at the reference temperature are rings.
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
  const { write = inLogUnits } = room;
  const from = barsFrom(means, limits);
  const unsure = measured.filter((row) => row.uncertainty_mm3 != null);
  const settled = measured.filter((row) => row.at_reference_mm3 != null);
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
    y: { label: write.axis('Delivery', 'mm3_per_stroke'), labelArrow: 'none', ticks: 5, nice: true, inset: 6 },
    ...facetScales(cells),
    symbol: { type: 'identity' },
    marks: [
      Plot.gridY({ ticks: 5, stroke: role.rule, strokeOpacity: 1 }),
      Plot.ruleX(measured, {
        ...facet,
        x: 'element',
        y1: from,
        y2: 'mm3_per_stroke',
        stroke: hue,
        strokeWidth: 12,
        strokeOpacity: 0.35,
      }),
      Plot.ruleY([from], { stroke: role.iron }),
      Plot.ruleY(lines, { stroke: role.ink, strokeDasharray: '5 3' }),
      plotNames(runs, cells, runName),
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
      Plot.ruleX(unsure, {
        ...facet,
        x: 'element',
        y1: (row: DeliveryRow) => (row.mm3_per_stroke ?? 0) - (row.uncertainty_mm3 ?? 0),
        y2: (row: DeliveryRow) => (row.mm3_per_stroke ?? 0) + (row.uncertainty_mm3 ?? 0),
        stroke: role.ink,
        strokeWidth: 1.5,
        marker: 'tick',
      }),
      Plot.dot(settled, {
        ...facet,
        x: 'element',
        y: 'at_reference_mm3',
        dx: 9,
        r: 3,
        fill: 'none',
        stroke: role.iron,
      }),
      Plot.dot(measured, {
        ...facet,
        x: 'element',
        y: 'mm3_per_stroke',
        r: 4,
        fill: hue,
        symbol: (row: DeliveryRow) => (row.verdict === 'out' ? 'diamond' : 'circle'),
        title: (row: DeliveryRow) =>
          `Element ${row.element}: ${write.figure(row.mm3_per_stroke, 'mm3_per_stroke')}, ${row.verdict}`,
      }),
    ],
  };
}
