import * as Plot from '@observablehq/plot';
import { min, pairs } from 'd3-array';
import { base, timeAxis, type Room } from './frame';
import { role } from './roles';

/** One month or quarter of a control chart; values in the unit of the log. */
export interface ControlRow {
  /** First day of it, and first day after it. */
  readonly from: string;
  readonly to: string;
  readonly value: number;
  readonly low: number;
  readonly high: number;
  readonly n: number;
  /** Written beside a point that stands out; empty for one that does not. */
  readonly word: string;
  readonly beyond: boolean;
  /** The pointer's note and what a screen reader says; where the point leads to. */
  readonly note: string;
  readonly href: string;
}

/** Something that happened on a day: a tick with its label. */
export interface ControlEvent {
  readonly on: string;
  readonly label: string;
  /** Written by a person, so that it comes before what the log tells where labels are too many. */
  readonly own: boolean;
}

/** Levels before and from a day. */
export interface ControlStep {
  readonly since: string;
  readonly before: number;
  readonly after: number;
}

export interface ControlStyle {
  /** Title of the y axis with its unit. */
  readonly label: string;
  /** Takes a value of the log to the axis. */
  readonly scale: (value: number) => number;
  readonly write: (value: number) => string;
  /** Ends of both axes, the same for charts that are looked at side by side; values in the unit of the log. */
  readonly days: readonly [from: string, to: string];
  readonly values: readonly [low: number, high: number];
}

const LABEL_PX = 15;
const LANE_PX = 104;
const LANE_LETTERS = 15;
const SIDE = { left: 58, right: 16 };
const N_PX = 30;
/** The last part of the axis. */
const LATE = 0.12;
const sides = [true, false].flatMap((up) => [true, false].map((late) => ({ up, late })));

const middle = ({ from, to }: ControlRow): Date => new Date((Date.parse(from) + Date.parse(to)) / 2);
const cut = (text: string): string =>
  text.length > LANE_LETTERS ? `${text.slice(0, LANE_LETTERS - 1).trim()}…` : text;

/** The events whose labels have room beside one another, a person's own first, then in order of time. */
export function labelled(
  events: readonly ControlEvent[],
  days: readonly [string, string],
  width: number,
): ControlEvent[] {
  const [first, last] = days.map((day) => Date.parse(day));
  const span = Math.max(1, (last ?? 0) - (first ?? 0));
  const place = (event: ControlEvent): number =>
    ((Date.parse(event.on) - (first ?? 0)) / span) * (width - SIDE.left - SIDE.right);
  const kept: ControlEvent[] = [];
  for (const event of [...events.filter(({ own }) => own), ...events.filter(({ own }) => !own)]) {
    if (kept.every((other) => Math.abs(place(other) - place(event)) >= LABEL_PX)) kept.push(event);
  }
  return kept;
}

/** The least distance between neighbours of ascending figures; infinite with fewer than two. */
const leastGap = (ascending: readonly number[]): number => min(pairs(ascending), ([a, b]) => b - a) ?? Infinity;

/**
 * A control chart: points in time order on their centre line between their limits, what happened as ticks over it, the most likely
 * change as two levels. A point beyond its limit is a diamond, one in a run a square, each with its word.
 */
export function controlPlot(
  rows: readonly ControlRow[],
  centre: number,
  step: ControlStep | null,
  events: readonly ControlEvent[],
  style: ControlStyle,
  room: Room,
): Plot.PlotOptions {
  const { scale, days, values } = style;
  const [first, last] = days.map((day) => new Date(day));
  const ends = first !== undefined && last !== undefined ? [first, last] : [];
  const span = Date.parse(days[1]) - Date.parse(days[0]);
  const y = (row: ControlRow): number => scale(row.value);
  const marked = rows.filter((row) => row.word !== '');
  const plain = rows.filter((row) => row.word === '');
  const shape = (row: ControlRow): string => (row.beyond ? 'diamond' : 'square');
  const hue = (row: ControlRow): string => (row.beyond ? role.warm : role.blue);
  const above = (row: ControlRow): boolean => row.value >= centre;
  // Every point has its n where the figures fit beside one another, and else in its note.
  const apart = (leastGap(rows.map((row) => middle(row).getTime())) / span) * (room.width - SIDE.left - SIDE.right);
  const words = marked.filter((row, k) => marked[k + 1]?.word !== row.word || row.beyond);
  // A word near the right edge ends at its point, so that it is not cut off there.
  const isLate = (row: ControlRow): boolean => Date.parse(row.to) > Date.parse(days[1]) - LATE * span;
  const levels =
    step === null
      ? []
      : [
          { x1: days[0], x2: step.since, y: step.before },
          { x1: step.since, x2: days[1], y: step.after },
        ];
  return {
    ...base(room, 250 + (events.length > 0 ? LANE_PX : 30) + (apart >= N_PX ? 18 : 0)),
    marginTop: events.length > 0 ? LANE_PX : 30,
    marginRight: SIDE.right,
    marginBottom: apart >= N_PX ? 62 : 44,
    marginLeft: SIDE.left,
    x: { ...timeAxis(ends, room.width, 'Received'), domain: ends, labelOffset: apart >= N_PX ? 56 : 38 },
    y: {
      domain: values.map(scale),
      nice: true,
      insetTop: 14,
      label: style.label,
      labelArrow: 'none',
      labelOffset: 52,
      ticks: 5,
      tickFormat: (value: number) => value.toLocaleString('en', { useGrouping: false }).replace('-', '−'),
    },
    symbol: { type: 'identity' },
    marks: [
      Plot.gridY({ ticks: 5, stroke: role.rule, strokeOpacity: 1 }),
      Plot.ruleX(events, {
        x: (event: ControlEvent) => new Date(event.on),
        stroke: (event: ControlEvent) => (event.own ? role.ink : role.grey),
        strokeDasharray: '2 2',
      }),
      Plot.text(labelled(events, days, room.width), {
        x: (event: ControlEvent) => new Date(event.on),
        text: (event: ControlEvent) => cut(event.label),
        title: 'label',
        frameAnchor: 'top',
        textAnchor: 'start',
        lineAnchor: 'middle',
        rotate: -90,
        dy: -3,
        fill: (event: ControlEvent) => (event.own ? role.ink : role.iron),
      }),
      ...(['low', 'high'] as const).map((end) =>
        Plot.line(
          rows.flatMap((row) => [row.from, row.to].map((on) => [new Date(on), scale(row[end])] as const)),
          { stroke: role.ink, strokeWidth: 0.9, strokeDasharray: '5 3' },
        ),
      ),
      Plot.ruleY([scale(centre)], { stroke: role.ink, strokeWidth: 1 }),
      Plot.ruleY(levels, {
        y: (level: { y: number }) => scale(level.y),
        x1: (level: { x1: string }) => new Date(level.x1),
        x2: (level: { x2: string }) => new Date(level.x2),
        stroke: role.blue,
        strokeWidth: 6,
        strokeOpacity: 0.3,
      }),
      Plot.lineY(rows, { x: middle, y, stroke: role.blue, strokeWidth: 1.2 }),
      Plot.dot(plain, { x: middle, y, r: 3.6, fill: role.blue }),
      Plot.dot(marked, { x: middle, y, r: 5.5, symbol: shape, fill: hue, stroke: role.sheet }),
      ...sides.map(({ up, late }) =>
        Plot.text(
          words.filter((row) => above(row) === up && isLate(row) === late),
          {
            x: middle,
            y,
            text: 'word',
            dy: up ? -13 : 15,
            textAnchor: late ? 'end' : 'middle',
            fontWeight: 600,
            stroke: role.sheet,
            fill: role.ink,
          },
        ),
      ),
      apart >= N_PX
        ? Plot.text(rows, {
            x: middle,
            text: (row: ControlRow) => `n ${row.n}`,
            frameAnchor: 'bottom',
            dy: 33,
            fill: role.iron,
          })
        : null,
      Plot.dot(rows, { x: middle, y, r: 9, fill: 'transparent', href: 'href', ariaLabel: 'note' }),
      Plot.tip(rows, Plot.pointer({ x: middle, y, title: 'note', fill: role.sheet, stroke: role.iron })),
    ],
  };
}
