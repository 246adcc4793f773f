import * as Plot from '@observablehq/plot';
import { count, percent } from '../words/figures';
import { base, besideAxis, type Room } from './frame';
import { role } from './roles';

interface Ends {
  readonly low: number;
  readonly high: number;
}

/** A group's rate and where it would lie by chance, shares from 0 to 1. */
export interface FunnelRow {
  readonly name: string;
  readonly n: number;
  readonly share: number;
  readonly expected: number;
  /** 95 and 99.8 of 100 lie here by chance; empty where it can't be told. */
  readonly near: Ends | null;
  readonly far: Ends | null;
  /** Where it stands, in words. */
  readonly word: string;
  readonly outside: boolean;
}

/** A row a group: its rate as a dot, what is expected as a thin line, and the funnel's limits for its own n as bars behind it. */
export function funnelPlot(rows: readonly FunnelRow[], room: Room): Plot.PlotOptions {
  const names = rows.map((row) => row.name);
  const bars = (of: 'near' | 'far') =>
    rows.flatMap(({ name, [of]: ends }) => (ends === null ? [] : [{ name, x1: 100 * ends.low, x2: 100 * ends.high }]));
  return {
    ...base(room, 70 + 34 * rows.length),
    marginLeft: besideAxis(names),
    marginRight: 64,
    marginTop: 14,
    marginBottom: 42,
    x: {
      domain: [0, 100],
      label: 'First pass (% of counted jobs)',
      labelAnchor: 'center',
      labelArrow: 'none',
      ticks: 5,
    },
    y: { domain: names, label: null, tickSize: 0 },
    symbol: { type: 'identity' },
    marks: [
      Plot.gridX({ ticks: 5, stroke: role.rule, strokeOpacity: 1 }),
      Plot.ruleY(bars('far'), { y: 'name', x1: 'x1', x2: 'x2', stroke: role.greyWash, strokeWidth: 14 }),
      Plot.ruleY(bars('near'), { y: 'name', x1: 'x1', x2: 'x2', stroke: role.blueWash, strokeWidth: 14 }),
      Plot.tickX(rows, { y: 'name', x: (row: FunnelRow) => 100 * row.expected, stroke: role.ink, inset: 4 }),
      Plot.dot(rows, {
        y: 'name',
        x: (row: FunnelRow) => 100 * row.share,
        r: 5.5,
        symbol: (row: FunnelRow) => (row.outside ? 'diamond' : 'circle'),
        fill: (row: FunnelRow) => (row.outside ? role.warm : role.blue),
        title: (row: FunnelRow) =>
          `${row.name}: ${percent(row.share)}, expected ${percent(row.expected)}, n ${count(row.n)}, ${row.word}`,
      }),
      Plot.text(rows, {
        y: 'name',
        frameAnchor: 'right',
        textAnchor: 'end',
        dx: 60,
        text: (row: FunnelRow) => `n ${count(row.n)}`,
        fill: role.iron,
      }),
    ],
  };
}
