import * as Plot from '@observablehq/plot';
import { day } from '../words/figures';
import { base, distinct, facetScales, grid, multiples, plotNames, type Room, timeAxis } from './frame';
import { role } from './roles';

/** One element at one visit: the value looked at and, where there is one, the value beside it. */
export interface VisitRow {
  readonly element: number;
  readonly received_on: string;
  readonly received: number | null;
  readonly left: number | null;
}

export interface VisitStyle {
  readonly label: string;
  /** Takes a figure of a row to the axis; left out where it stands there as it is. */
  readonly scale?: (value: number) => number;
  readonly write: (value: number) => string;
  readonly tickFormat: string | ((value: number) => string);
  /** Thin ink lines at these values, in the unit of the rows. */
  readonly limits: readonly number[];
  /** Draw a line at zero and keep it in view. */
  readonly zero: boolean;
  /** What the filled and the open marks stand for, in the pointer's note; as received and as left where left out. */
  readonly words?: readonly [string, string];
  /** What heads each small plot; the element where left out. */
  readonly head?: (element: number) => string;
}

const elementHead = (element: number): string => `Element ${element}`;

interface Reading {
  readonly element: number;
  readonly at: Date;
  /** As on the axis. */
  readonly value: number;
  readonly beyond: boolean;
  readonly note: string;
}

/** The first and the last of some days as an axis' ends; left to the plot where they are one and the same. */
function span(days: readonly Date[]): { domain?: [Date, Date] } {
  const times = days.map((at) => at.getTime());
  const [first, last] = [Math.min(...times), Math.max(...times)];
  return first < last ? { domain: [new Date(first), new Date(last)] } : {};
}

const asItIs = (value: number): number => value;

/** One small plot an element over the visits of one pump: the value looked at filled and joined, the other open. Shared axes. */
export function visitsPlot(rows: readonly VisitRow[], style: VisitStyle, room: Room): Plot.PlotOptions {
  const elements = distinct(rows.map((row) => row.element));
  const cells = grid(elements, room, 180);
  const head = style.head ?? elementHead;
  const scale = style.scale ?? asItIs;
  const isBeyond = (value: number): boolean =>
    style.limits.length > 0 && (value < Math.min(...style.limits) || value > Math.max(...style.limits));
  const [filled, open] = style.words ?? ['as received', 'as left'];
  const readings = (pick: 'received' | 'left', word: string): readonly Reading[] =>
    rows.flatMap((row) => {
      const value = row[pick];
      if (value === null) return [];
      const note = `${head(row.element)}, ${day(row.received_on)}\n${word} ${style.write(value)}`;
      return [
        { element: row.element, at: new Date(row.received_on), value: scale(value), beyond: isBeyond(value), note },
      ];
    });
  // All visits span the axis, also those at which this was not read, so that plots of one pump line up.
  const days = rows.map((row) => new Date(row.received_on));
  const received = readings('received', filled);
  const left = readings('left', open);
  const facet = { fx: (row: Reading) => cells.fx(row.element), fy: (row: Reading) => cells.fy(row.element) };
  const hue = (row: Reading): string => (row.beyond ? role.warm : role.blue);
  return {
    ...base(room, 60 + 140 * cells.rows),
    ...multiples,
    x: { ...timeAxis(days, room.width / cells.columns, 'Day received'), ...span(days), inset: 6 },
    y: {
      label: style.label,
      labelArrow: 'none',
      ticks: 4,
      tickFormat: style.tickFormat,
      nice: true,
      zero: style.zero,
      inset: 6,
    },
    ...facetScales(cells),
    marks: [
      Plot.gridY({ ticks: 4, stroke: role.rule, strokeOpacity: 1 }),
      style.zero ? Plot.ruleY([0], { stroke: role.iron }) : null,
      Plot.ruleY(style.limits.map(scale), { stroke: role.ink, strokeDasharray: '5 3' }),
      plotNames(elements, cells, head),
      Plot.lineY(received, { ...facet, x: 'at', y: 'value', z: 'element', stroke: role.blue, strokeOpacity: 0.6 }),
      Plot.dot(left, { ...facet, x: 'at', y: 'value', r: 4, stroke: role.grey, strokeWidth: 1.8, fill: role.sheet }),
      Plot.dot(received, {
        ...facet,
        x: 'at',
        y: 'value',
        r: 4,
        fill: hue,
        symbol: (row: Reading) => (row.beyond ? 'diamond' : 'circle'),
      }),
      Plot.tip(
        [...received, ...left],
        Plot.pointer({ ...facet, x: 'at', y: 'value', title: 'note', fill: role.sheet, stroke: role.iron }),
      ),
    ],
    symbol: { type: 'identity' },
  };
}
