import * as Plot from '@observablehq/plot';
import { base, type Room } from './frame';
import { role } from './roles';

/** A range that a quote tells; `high` is Infinity where nothing bounds it. */
export interface QuotedRange {
  readonly coverage: number;
  readonly low: number;
  readonly high: number;
}
/** What a similar job took. */
export interface SimilarDot {
  readonly value: number;
  /** For the pointer's note and a screen reader. */
  readonly note: string;
  readonly href: string;
}
export interface QuoteStyle {
  /** Title of the axis with its unit. */
  readonly label: string;
  readonly write: (value: number) => string;
}

export const QUOTE_HEIGHT = 150;

const ROWS = { quote: 0.5, jobs: -0.45 } as const;
const NAMES: Readonly<Record<number, string>> = { [ROWS.quote]: 'Quote', [ROWS.jobs]: 'Jobs' };

/** The wider the range, the thinner its bar, so that they are told apart without colour. */
const BARS: readonly { readonly from: number; readonly width: number; readonly hue: string }[] = [
  { from: 0.9, width: 3, hue: role.blue },
  { from: 0.7, width: 10, hue: role.blueWash },
  { from: 0, width: 18, hue: role.blue },
];
const barOf = (coverage: number): number => BARS.findIndex(({ from }) => coverage >= from);

/** A place across the row, the same each time: the golden ratio spreads neighbours apart. */
const across = (i: number): number => ((i * 0.618034) % 1) * 2 - 1;

/** The end of the axis: all that is drawn lies within it, an open range runs up to it. */
function reachOf(median: number, ranges: readonly QuotedRange[], dots: readonly SimilarDot[]): number {
  const ends = [median, ...ranges.flatMap(({ low, high }) => [low, high]), ...dots.map(({ value }) => value)];
  return Math.max(1e-9, ...ends.filter(Number.isFinite)) * 1.05;
}

/** The ranges of one figure over what similar jobs took. */
export function quoteRangesPlot(
  median: number,
  ranges: readonly QuotedRange[],
  dots: readonly SimilarDot[],
  style: QuoteStyle,
  room: Room,
): Plot.PlotOptions {
  const reach = reachOf(median, ranges, dots);
  const bars = ranges
    .filter(({ low, high }) => Number.isFinite(high) || low > 0)
    .toSorted((a, b) => b.coverage - a.coverage);
  const placed = dots
    .filter(({ value }) => Number.isFinite(value))
    .map((dot, i) => ({ ...dot, y: ROWS.jobs + 0.28 * across(i) }));
  return {
    ...base(room, QUOTE_HEIGHT),
    marginLeft: 52,
    marginRight: 16,
    marginTop: 10,
    marginBottom: 42,
    x: {
      domain: [0, reach],
      label: style.label,
      labelAnchor: 'center',
      labelArrow: 'none',
      ticks: Math.max(3, Math.floor(room.width / 90)),
    },
    y: {
      domain: [-1, 1],
      label: null,
      tickSize: 0,
      ticks: [ROWS.jobs, ROWS.quote],
      tickFormat: (value: number) => NAMES[value] ?? '',
    },
    marks: [
      Plot.gridX({ ticks: 5, stroke: role.rule, strokeOpacity: 1 }),
      ...bars.map((bar) =>
        Plot.ruleY([bar], {
          y: ROWS.quote,
          x1: ({ low }: QuotedRange) => low,
          x2: ({ high }: QuotedRange) => Math.min(high, reach),
          stroke: BARS[barOf(bar.coverage)]?.hue ?? role.blue,
          strokeWidth: BARS[barOf(bar.coverage)]?.width ?? 3,
        }),
      ),
      Plot.ruleX([median], { y1: ROWS.quote - 0.38, y2: ROWS.quote + 0.38, stroke: role.ink, strokeWidth: 2.5 }),
      Plot.dot(placed, {
        x: 'value',
        y: 'y',
        r: 4.5,
        fill: role.sheet,
        stroke: role.iron,
        strokeWidth: 1.75,
        href: 'href',
        ariaLabel: 'note',
      }),
      Plot.tip(
        placed,
        Plot.pointer({
          x: 'value',
          y: 'y',
          fill: role.sheet,
          stroke: role.iron,
          title: ({ note }: SimilarDot) => note,
        }),
      ),
    ],
  };
}
