import * as Plot from '@observablehq/plot';
import type { Unit } from '../units/units';
import { inLogUnits } from '../words/figures';
import { base, distinct, facetScales, grid, multiples, plotNames, type Room, runName } from './frame';
import { role } from './roles';

/** A band of rack travel [mm] at one place of a curve (a speed [rpm] or a boost pressure [kPa]), and what was found there. */
export interface RackBand {
  readonly run: number;
  readonly at: number;
  readonly low: number;
  readonly high: number;
  /** Empty where it was not measured. */
  readonly rack_mm: number | null;
  readonly verdict: string;
}

/** One reading of rack travel [mm] along a curve. */
export interface RackReading {
  readonly run: number;
  readonly check_id: string;
  readonly at: number;
  readonly rack_mm: number;
}

const LEAST_ROOM_PX = 260;

/** One small plot a run: rack travel over speed or boost, the bands allowed as bars, what was found in them as dots. */
export function rackCurvePlot(
  bands: readonly RackBand[],
  readings: readonly RackReading[],
  along: { readonly text: string; readonly unit: Unit },
  room: Room,
): Plot.PlotOptions {
  const runs = distinct([...bands, ...readings].map((row) => row.run).toSorted((a, b) => a - b));
  const cells = grid(runs, room, LEAST_ROOM_PX);
  const facet = {
    fx: (row: { run: number }) => cells.fx(row.run),
    fy: (row: { run: number }) => cells.fy(row.run),
  };
  const { write = inLogUnits } = room;
  const placed = write.scale(along.unit);
  const travel = write.scale('mm');
  const x = (row: { at: number }): number => placed(row.at);
  const found = bands.filter((band) => band.rack_mm !== null);
  const isOut = (band: RackBand): boolean => band.verdict === 'out';
  return {
    ...base(room, 60 + 190 * cells.rows),
    ...multiples,
    x: {
      label: write.axis(along.text, along.unit),
      labelAnchor: 'center',
      labelArrow: 'none',
      ticks: 4,
      tickFormat: String,
      inset: 16,
    },
    y: { label: write.axis('Rack travel', 'mm'), labelArrow: 'none', ticks: 5, nice: true, zero: false },
    ...facetScales(cells),
    symbol: { type: 'identity' },
    marks: [
      Plot.gridY({ ticks: 5, stroke: role.rule, strokeOpacity: 1 }),
      plotNames(runs, cells, runName),
      Plot.line(readings, {
        ...facet,
        x,
        y: (row: RackReading) => travel(row.rack_mm),
        z: 'check_id',
        stroke: role.iron,
        marker: 'dot',
      }),
      Plot.ruleX(bands, {
        ...facet,
        x,
        y1: (band: RackBand) => travel(band.low),
        y2: (band: RackBand) => travel(band.high),
        stroke: role.blue,
        strokeOpacity: 0.35,
        strokeWidth: 16,
      }),
      Plot.dot(found, {
        ...facet,
        x,
        y: (band: RackBand) => travel(band.rack_mm ?? 0),
        r: 3.5,
        fill: (band: RackBand) => (isOut(band) ? role.warm : role.blue),
        symbol: (band: RackBand) => (isOut(band) ? 'diamond' : 'circle'),
        title: (band: RackBand) => `${write.beside(band.rack_mm, [band.low, band.high], 'mm').value}, ${band.verdict}`,
      }),
    ],
  };
}
