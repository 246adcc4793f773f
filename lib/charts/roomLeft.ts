import * as Plot from '@observablehq/plot';
import { count } from '../words/figures';
import { base, besideAxis, distinct, type Room, signed } from './frame';
import { role } from './roles';

interface Ends {
  /** Null for an upper end alone. */
  readonly low: number | null;
  readonly high: number;
}

/** Where one figure of one model lies in its band: -1 and 1 are the limits; with an upper limit alone 0 is nothing. */
export interface RoomRow {
  /** What is judged, in words: rows of one figure stand together. */
  readonly figure: string;
  readonly name: string;
  readonly n: number;
  readonly mean: number;
  /** By the scatter, and between figures seen. */
  readonly reckoned: Ends;
  readonly counted: Ends;
  /** Whether figures that were seen reach past a limit. */
  readonly isPast: boolean;
  /** What the pointer tells. */
  readonly note: string;
}

/** An interval that reaches further is cut at the end of the axis, at this distance from the middle of the band. */
const FURTHEST = 3;
const ROW_PX = 24;

/** A group a figure, a row a model: the band grey behind, by the scatter as a bar, as counted as a line with ends, the mean as a mark. */
export function roomPlot(rows: readonly RoomRow[], room: Room): Plot.PlotOptions {
  const figures = distinct(rows.map((row) => row.figure));
  const names = distinct(rows.map((row) => row.name));
  const ends = rows.flatMap(({ reckoned, counted }) => [
    reckoned.low ?? 0,
    reckoned.high,
    counted.low ?? 0,
    counted.high,
  ]);
  const least = Math.max(-FURTHEST, Math.min(-1, ...ends)) - 0.1;
  const most = Math.min(FURTHEST, Math.max(1, ...ends)) + 0.1;
  const cut = (value: number): number => Math.min(most, Math.max(least, value));
  const place = { fy: 'figure', y: 'name' } as const;
  const isTwoSided = (figure: string): boolean => rows.some((row) => row.figure === figure && row.counted.low !== null);
  const limits = figures.flatMap((figure) => (isTwoSided(figure) ? [-1, 1] : [1]).map((at) => ({ figure, at })));
  // An end that is cut, or that is none, has no mark.
  const marks = rows.flatMap((row) =>
    [row.counted.low, row.counted.high].flatMap((at) => (at === null || cut(at) !== at ? [] : [{ ...row, at }])),
  );
  const hue = (row: RoomRow): string => (row.isPast ? role.warm : role.blue);
  const from = (of: 'reckoned' | 'counted') => (row: RoomRow) => cut(row[of].low ?? 0);
  const to = (of: 'reckoned' | 'counted') => (row: RoomRow) => cut(row[of].high);
  return {
    ...base(room, 78 + figures.length * (ROW_PX * names.length + 44)),
    marginLeft: besideAxis(names),
    marginRight: 70,
    marginTop: 40,
    marginBottom: 42,
    x: {
      domain: [least, most],
      label: 'Place in the band (limits −1 and +1)',
      labelAnchor: 'center',
      labelArrow: 'none',
      ticks: Math.max(3, Math.min(7, Math.floor(room.width / 90))),
      tickFormat: signed,
    },
    y: { domain: names, label: null, tickSize: 0, padding: 0.2 },
    fy: { domain: figures, axis: null, padding: 0.22 },
    symbol: { type: 'identity' },
    marks: [
      Plot.rect(figures, {
        fy: (figure: string) => figure,
        x1: (figure: string) => (isTwoSided(figure) ? -1 : 0),
        x2: 1,
        fill: role.greyWash,
      }),
      Plot.gridX({ ticks: 7, stroke: role.rule, strokeOpacity: 1 }),
      Plot.ruleX([0], { stroke: role.iron, strokeDasharray: '2 3' }),
      Plot.ruleX(limits, { fy: 'figure', x: 'at', stroke: role.ink, strokeDasharray: '5 3' }),
      Plot.text(figures, {
        fy: (figure: string) => figure,
        text: (figure: string) => figure,
        frameAnchor: 'top-left',
        dy: -17,
        fontWeight: 600,
      }),
      Plot.ruleY(rows, {
        ...place,
        x1: from('reckoned'),
        x2: to('reckoned'),
        stroke: hue,
        strokeWidth: 9,
        strokeOpacity: 0.35,
      }),
      Plot.ruleY(rows, { ...place, x1: from('counted'), x2: to('counted'), stroke: hue, strokeWidth: 1.6 }),
      Plot.tickX(marks, { ...place, x: 'at', stroke: hue, strokeWidth: 1.6, inset: 4 }),
      Plot.dot(rows, {
        ...place,
        x: (row: RoomRow) => cut(row.mean),
        r: 4.5,
        fill: hue,
        symbol: (row: RoomRow) => (row.isPast ? 'diamond' : 'circle'),
      }),
      Plot.text(rows, {
        ...place,
        frameAnchor: 'right',
        textAnchor: 'end',
        dx: 66,
        text: (row: RoomRow) => `n ${count(row.n)}`,
        fill: role.iron,
      }),
      Plot.tip(
        rows,
        Plot.pointerY({
          ...place,
          x: (row: RoomRow) => cut(row.mean),
          fill: role.sheet,
          stroke: role.iron,
          title: (row: RoomRow) => row.note,
        }),
      ),
    ],
  };
}
