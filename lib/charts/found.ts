import * as Plot from '@observablehq/plot';
import { median, quantileSorted } from 'd3-array';
import { base, besideAxis, midQuarter, signed, timeAxis, type Room } from './frame';
import { role } from './roles';

/** One job or serial of a finding's plot. */
export interface FoundPoint {
  readonly day: string;
  readonly value: number;
  readonly inGroup: boolean;
}
/** The middle of one side, or its share, with its interval. */
export interface FoundSide {
  readonly name: string;
  readonly n: number;
  readonly value: number;
  readonly low: number;
  readonly high: number;
}
export interface FoundStyle {
  /** Title of the axis with its unit. */
  readonly label: string;
  /** Takes a value of the search to the axis. */
  readonly scale: (value: number) => number;
  /** How a value is written in the pointer's note. */
  readonly write: (value: number) => string;
  /** Whether the sign of a tick always stands. */
  readonly signed: boolean;
  /** Shares of jobs: the axis begins at 0, and points are not drawn singly. */
  readonly share: boolean;
}

/** With fewer, the middle of a quarter is little more than single readings; the same as in other plots by quarter. */
export const FEW_OF_QUARTER = 5;

/** As many points a side as the eye tells apart; of more every second, third ... is drawn. */
const MOST_POINTS = 400;
/** Plots of all findings are as tall, so that the page does not move while they are drawn. */
export const FOUND_HEIGHT = { sides: 150, strips: 210, time: 290 } as const;

const MIDDLE = [0.01, 0.99] as const;

export interface Strip {
  readonly points: readonly FoundPoint[];
  /** Points that lie beyond the ends of the axis. */
  readonly beyond: number;
  /** One in so many is drawn, of the side with most points. */
  readonly oneIn: number;
  readonly domain: readonly [number, number];
}

/** Thins the points of a strip and cuts its axis where all but one in a hundred lie, in the unit of the search. */
export function stripOf(points: readonly FoundPoint[], sides: readonly FoundSide[]): Strip {
  const finite = points.filter(({ value }) => Number.isFinite(value));
  const rising = finite.map(({ value }) => value).toSorted((a, b) => a - b);
  const ends = [
    ...MIDDLE.map((share) => quantileSorted(rising, share) ?? 0),
    ...sides.flatMap((side) => [side.value, side.low, side.high]).filter(Number.isFinite),
  ];
  const [low, high] = [Math.min(...ends), Math.max(...ends)];
  const room = (high - low) * 0.04 || 1;
  const domain = [low - room, high + room] as const;
  const within = finite.filter(({ value }) => value >= domain[0] && value <= domain[1]);
  const thinned = [true, false].map((inGroup) => {
    const side = within.filter((point) => point.inGroup === inGroup);
    const oneIn = Math.max(1, Math.ceil(side.length / MOST_POINTS));
    return { oneIn, points: side.filter((_, i) => i % oneIn === 0) };
  });
  return {
    points: thinned.flatMap((side) => side.points),
    oneIn: Math.max(...thinned.map((side) => side.oneIn)),
    beyond: finite.length - within.length,
    domain,
  };
}

/** A place across the strip, the same each time: the golden ratio spreads neighbours apart. */
const across = (i: number): number => ((i * 0.618034) % 1) * 2 - 1;

const tickFormat = (style: FoundStyle): { tickFormat?: (value: number) => string } =>
  style.signed ? { tickFormat: signed } : {};

const names = (sides: readonly FoundSide[]): string[] => sides.map((side) => side.name);

/** Marks of a side: an interval as a line, its middle as a diamond in the group's blue or the rest's grey. */
function sideMarks(sides: readonly FoundSide[], style: FoundStyle, at: Record<string, string>): Plot.Markish[] {
  const { scale } = style;
  const isGroup = (side: FoundSide): boolean => side.name === sides[0]?.name;
  const hue = (side: FoundSide): string => (isGroup(side) ? role.blue : role.iron);
  // Under the points, where a strip has them.
  const drawn = sides.filter(({ value }) => Number.isFinite(value)).map((side) => ({ ...side, under: -0.6 }));
  return [
    Plot.ruleY(
      drawn.filter(({ low, high }) => Number.isFinite(low) && Number.isFinite(high)),
      {
        ...at,
        x1: (side: FoundSide) => scale(side.low),
        x2: (side: FoundSide) => scale(side.high),
        stroke: hue,
        strokeWidth: 3,
      },
    ),
    Plot.dot(drawn, {
      ...at,
      x: (side: FoundSide) => scale(side.value),
      symbol: (side: FoundSide) => (isGroup(side) ? 'circle' : 'diamond2'),
      r: 6,
      fill: (side: FoundSide) => (isGroup(side) ? role.blue : role.sheet),
      stroke: hue,
      strokeWidth: 2,
    }),
  ];
}

const MARGIN_RIGHT = 16;
const marginLeft = (sides: readonly FoundSide[], room: Room): number =>
  Math.min(besideAxis(names(sides)), Math.round(room.width * 0.5));

/** The label under the axis: one that is longer than the axis ends where the axis ends, and begins under the names. */
const underAxis = (label: string, sides: readonly FoundSide[], room: Room): Plot.ScaleOptions => ({
  label,
  labelAnchor: besideAxis([label]) > room.width - marginLeft(sides, room) - MARGIN_RIGHT ? 'right' : 'center',
  labelArrow: 'none',
});

const common = (sides: readonly FoundSide[], room: Room, height: number): Plot.PlotOptions => ({
  ...base(room, height),
  marginLeft: marginLeft(sides, room),
  marginRight: MARGIN_RIGHT,
  marginTop: 12,
  marginBottom: 42,
  // Each mark has a symbol of its own; it is drawn as it stands.
  symbol: { type: 'identity' },
});

/** The group's share and the rest's, each a mark on its interval. */
export function foundSharesPlot(sides: readonly FoundSide[], style: FoundStyle, room: Room): Plot.PlotOptions {
  const highest = Math.max(...sides.map((side) => style.scale(Number.isFinite(side.high) ? side.high : side.value)));
  return {
    ...common(sides, room, FOUND_HEIGHT.sides),
    x: {
      domain: [0, Math.min(100, Math.max(10, Math.ceil(highest / 10) * 10))],
      ...underAxis(style.label, sides, room),
      ticks: 5,
    },
    y: { domain: names(sides), label: null, tickSize: 0, padding: 0.4 },
    marks: [Plot.gridX({ ticks: 5, stroke: role.rule, strokeOpacity: 1 }), ...sideMarks(sides, style, { y: 'name' })],
  };
}

/** A strip of points for the group and one for the rest, each with its middle and interval under it. */
export function foundStripsPlot(
  points: readonly FoundPoint[],
  sides: readonly FoundSide[],
  style: FoundStyle,
  room: Room,
): Plot.PlotOptions {
  const strip = stripOf(points, sides);
  const { scale } = style;
  const nameOf = (point: FoundPoint): string => sides[point.inGroup ? 0 : 1]?.name ?? '';
  const placed = strip.points.map((point, i) => ({ ...point, y: 0.35 + 0.55 * across(i) }));
  const [group, rest] = [placed.filter(({ inGroup }) => inGroup), placed.filter(({ inGroup }) => !inGroup)];
  const at = { fy: nameOf, x: (point: FoundPoint) => scale(point.value), y: 'y' };
  return {
    ...common(sides, room, FOUND_HEIGHT.strips),
    x: {
      domain: strip.domain.map(scale),
      ...underAxis(style.label, sides, room),
      ticks: 6,
      ...tickFormat(style),
    },
    y: { domain: [-1, 1], axis: null },
    fy: { domain: names(sides), label: null, tickSize: 0, padding: 0.1, axis: 'left' },
    marks: [
      Plot.gridX({ ticks: 6, stroke: role.rule, strokeOpacity: 1 }),
      style.signed ? Plot.ruleX([0], { stroke: role.iron }) : null,
      Plot.dot(rest, { ...at, r: 2.2, stroke: role.grey, strokeOpacity: 0.6 }),
      Plot.dot(group, { ...at, r: 2.2, fill: role.blue, fillOpacity: 0.6 }),
      ...sideMarks(sides, style, { fy: 'name', y: 'under' }),
      Plot.tip(
        placed,
        Plot.pointer({
          ...at,
          fill: role.sheet,
          stroke: role.iron,
          title: (point: FoundPoint) => `${nameOf(point)}\n${point.day}\n${style.write(point.value)}`,
        }),
      ),
    ],
  };
}

export interface FoundQuarter {
  /** Its first day. */
  readonly quarter: string;
  readonly inGroup: boolean;
  readonly n: number;
  /** Share of jobs, or the middle of the readings. */
  readonly value: number;
}

const quarterOf = (day: string): string => {
  const month = 3 * Math.floor((Number(day.slice(5, 7)) - 1) / 3) + 1;
  return `${day.slice(0, 4)}-${String(month).padStart(2, '0')}-01`;
};

/** Each side quarter by quarter, in order of time. */
export function quartersOf(points: readonly FoundPoint[], share: boolean): readonly FoundQuarter[] {
  const values = new Map<string, number[]>();
  for (const { day, value, inGroup } of points) {
    if (!Number.isFinite(value)) continue;
    const key = `${quarterOf(day)} ${inGroup ? 1 : 0}`;
    const held = values.get(key);
    if (held === undefined) values.set(key, [value]);
    else held.push(value);
  }
  return [...values]
    .toSorted(([a], [b]) => (a < b ? -1 : 1))
    .map(([key, held]) => ({
      quarter: key.slice(0, 10),
      inGroup: key.endsWith('1'),
      n: held.length,
      value: (share ? held.reduce((sum, value) => sum + value, 0) / held.length : median(held)) ?? NaN,
    }));
}

/** Group and rest over the quarters, with a line where the change was and where it ended. */
export function foundTimePlot(
  points: readonly FoundPoint[],
  changes: readonly { readonly day: string; readonly word: string }[],
  style: FoundStyle,
  room: Room,
): Plot.PlotOptions {
  const rows = quartersOf(points, style.share);
  const [group, rest] = [rows.filter(({ inGroup }) => inGroup), rows.filter(({ inGroup }) => !inGroup)];
  const x = (row: FoundQuarter): Date => midQuarter(row.quarter);
  const y = (row: FoundQuarter): number => style.scale(row.value);
  const note = (row: FoundQuarter): string =>
    `${row.inGroup ? 'group' : 'rest'}, ${row.quarter.slice(0, 7)}\n${style.write(row.value)}, n ${row.n}`;
  const marked = changes.map((change) => ({ ...change, at: new Date(change.day) }));
  const times = [...rows.map(x), ...marked.map(({ at }) => at)].map((at) => at.getTime());
  const halfWay = (Math.min(...times) + Math.max(...times)) / 2;
  return {
    ...base(room, FOUND_HEIGHT.time),
    marginTop: 62,
    marginRight: 16,
    marginBottom: 42,
    marginLeft: 52,
    x: timeAxis([...rows.map(x), ...marked.map(({ at }) => at)], room.width, 'Quarter received'),
    y: {
      label: style.label,
      labelArrow: 'none',
      nice: true,
      ticks: 5,
      ...(style.share ? { domain: [0, Math.max(10, ...rows.map(y))] } : {}),
      ...tickFormat(style),
    },
    marks: [
      Plot.gridY({ ticks: 5, stroke: role.rule, strokeOpacity: 1 }),
      style.signed ? Plot.ruleY([0], { stroke: role.iron }) : null,
      Plot.ruleX(marked, { x: 'at', stroke: role.ink, strokeDasharray: '5 3' }),
      ...marked.map((change, i) =>
        Plot.text([change], {
          x: 'at',
          text: 'word',
          frameAnchor: 'top',
          // Two that lie close would be written over each other on one line.
          dy: i % 2 === 0 ? -16 : -31,
          fill: role.ink,
          textAnchor: change.at.getTime() > halfWay ? 'end' : 'start',
        }),
      ),
      Plot.lineY(rest, { x, y, stroke: role.grey, strokeWidth: 1.5, strokeDasharray: '4 3' }),
      Plot.dot(rest, { x, y, r: 3, symbol: 'diamond2', stroke: role.grey, strokeWidth: 1.5, fill: role.sheet }),
      Plot.lineY(group, { x, y, stroke: role.blue, strokeWidth: 2 }),
      Plot.dot(group, {
        x,
        y,
        r: 3.5,
        stroke: role.blue,
        strokeWidth: 1.5,
        fill: (row: FoundQuarter) => (row.n < FEW_OF_QUARTER ? role.sheet : role.blue),
      }),
      Plot.tip(rows, Plot.pointer({ x, y, fill: role.sheet, stroke: role.iron, title: note })),
    ],
  };
}
