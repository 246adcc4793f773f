import * as Plot from '@observablehq/plot';
import { count, percent, percentRange } from '../words/figures';
import { base, besideAxis, type Room } from './frame';
import { role } from './roles';

/** A rate with its interval, shares from 0 to 1; empty where nothing was counted. */
interface Rate {
  readonly n: number;
  readonly share: number | null;
  readonly low: number | null;
  readonly high: number | null;
}
export interface ModelRateRow extends Rate {
  readonly pump_model: string;
}
interface Drawn {
  readonly name: string;
  readonly share: number;
  readonly low: number;
  readonly high: number;
  readonly n: number;
}

const drawable = (name: string, rate: Rate): readonly Drawn[] =>
  rate.share === null || rate.low === null || rate.high === null
    ? []
    : [{ name, share: 100 * rate.share, low: 100 * rate.low, high: 100 * rate.high, n: rate.n }];

const tip = (row: Drawn): string =>
  `${row.name}\n${percent(row.share / 100)}, ${percentRange(row.low / 100, row.high / 100)}, n ${count(row.n)}`;

/**
 * First-pass rate of each model as a dot on its interval, n at the right edge, in the order of the rows; a thin line where
 * all models together stand. Another rate names itself by `label`, the line by `all`.
 */
export function firstPassPlot(
  rows: readonly ModelRateRow[],
  overall: number | null,
  room: Room,
  label = 'First pass (% of counted jobs)',
  all = 'all models',
): Plot.PlotOptions {
  const drawn = rows.flatMap((row) => drawable(row.pump_model, row));
  const names = rows.map((row) => row.pump_model);
  return {
    ...base(room, 66 + 30 * rows.length),
    marginLeft: besideAxis(names),
    marginRight: 64,
    marginTop: 24,
    marginBottom: 42,
    x: {
      domain: [0, 100],
      label,
      labelAnchor: 'center',
      labelArrow: 'none',
      ticks: 5,
    },
    y: { domain: names, label: null, tickSize: 0 },
    marks: [
      Plot.gridX({ ticks: 5, stroke: role.rule, strokeOpacity: 1 }),
      overall === null ? null : Plot.ruleX([100 * overall], { stroke: role.ink, strokeDasharray: '2 3' }),
      overall === null
        ? null
        : Plot.text([100 * overall], {
            x: (x: number) => x,
            text: () => all,
            frameAnchor: 'top',
            dy: -16,
            fill: role.iron,
          }),
      Plot.ruleY(drawn, { y: 'name', x1: 'low', x2: 'high', stroke: role.blue, strokeWidth: 2 }),
      Plot.dot(drawn, { y: 'name', x: 'share', r: 5, fill: role.blue }),
      Plot.text(rows, {
        y: 'pump_model',
        frameAnchor: 'right',
        textAnchor: 'end',
        dx: 60,
        text: (row: ModelRateRow) => `n ${count(row.n)}`,
        fill: role.iron,
      }),
      Plot.tip(drawn, Plot.pointerY({ y: 'name', x: 'share', title: tip, fill: role.sheet, stroke: role.iron })),
    ],
  };
}

export interface LatelyRow {
  readonly pump_model: string;
  readonly before: Rate;
  readonly lately: Rate;
  readonly change: string;
}

/** The rate of each model lately (blue, filled) under its rate before (grey, open); a clear fall in the warm colour. */
export function latelyPlot(rows: readonly LatelyRow[], room: Room): Plot.PlotOptions {
  const side = (when: 'before' | 'lately') =>
    rows.flatMap((row) =>
      drawable(row.pump_model, row[when]).map((drawn) => ({ ...drawn, when, fell: row.change === 'lower' })),
    );
  const before = side('before');
  const lately = side('lately');
  type Side = (typeof lately)[number];
  const hue = (row: Side): string => (row.fell ? role.warm : role.blue);
  const names = rows.map((row) => row.pump_model);
  return {
    ...base(room, 60 + 56 * rows.length),
    marginLeft: 66 + besideAxis(names),
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
    y: { domain: ['before', 'lately'], label: null, tickSize: 0, padding: 0.3 },
    fy: { domain: names, label: null, padding: 0.15, axis: null },
    marks: [
      Plot.gridX({ ticks: 5, stroke: role.rule, strokeOpacity: 1 }),
      Plot.text(names, {
        fy: (name: string) => name,
        text: (name: string) => name,
        frameAnchor: 'left',
        textAnchor: 'end',
        dx: -66,
        fontWeight: 600,
      }),
      Plot.ruleY(before, { fy: 'name', y: 'when', x1: 'low', x2: 'high', stroke: role.grey, strokeWidth: 2 }),
      Plot.dot(before, {
        fy: 'name',
        y: 'when',
        x: 'share',
        r: 4.5,
        fill: role.sheet,
        stroke: role.grey,
        strokeWidth: 2,
      }),
      Plot.ruleY(lately, { fy: 'name', y: 'when', x1: 'low', x2: 'high', stroke: hue, strokeWidth: 2 }),
      Plot.dot(lately, { fy: 'name', y: 'when', x: 'share', r: 5, fill: hue }),
      Plot.text([...before, ...lately], {
        fy: 'name',
        y: 'when',
        frameAnchor: 'right',
        textAnchor: 'end',
        dx: 60,
        text: (row: Side) => `n ${count(row.n)}`,
        fill: role.iron,
      }),
    ],
  };
}
