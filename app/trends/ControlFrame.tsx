'use client';

import { useRouter } from 'next/navigation';
import Link from 'next/link';
import { useCallback, useMemo, type ReactElement } from 'react';
import { controlPlot, type ControlEvent, type ControlRow } from '../../lib/charts/control';
import type { Room } from '../../lib/charts/frame';
import type { TrendPeriod } from '../../lib/store/questions/trendPeriods';
import type { Trend, TrendPoint } from '../../lib/store/trends';
import { count } from '../../lib/words/figures';
import { terms, type Label } from '../../lib/words/labels';
import { Frame } from '../_shell/Frame';
import { Keys } from '../_shell/Keys';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import {
  clearChange,
  headline,
  limitsFrom,
  nextPeriod,
  periodName,
  pointWords,
  resting,
  standingWords,
  type Told,
} from './words';

export { within } from './place';

/** What a chart is of, and how it is written. */
export interface ControlFigure {
  readonly label: Label;
  /** What its column is headed with; left out, the label. */
  readonly head?: string;
  /** What stands at the axis, with its unit. */
  readonly axis: string;
  /** From the figure's own unit to that of the axis. */
  readonly scale: (value: number) => number;
  readonly write: (value: number) => string;
  /** Below this no limit is drawn: a figure that can't be below 0 has none there. */
  readonly least: number;
  readonly method: string;
  /** Columns of the table that stand beside the figure. */
  readonly beside?: readonly SheetColumn<TrendPoint>[];
}

interface Props {
  readonly trend: Trend;
  readonly name: string;
  readonly period: TrendPeriod;
  readonly figure: ControlFigure;
  readonly events: readonly ControlEvent[];
  /** Ends of the axes, the same for all charts of the page. */
  readonly days: readonly [string, string];
  readonly values: readonly [number, number];
  /** Where the point of the month or quarter with this first day leads to. */
  readonly jobsOf: (first: string) => string;
}

/** One control chart with its words, its table and the way to its jobs. */
export function ControlFrame({ trend, name, period, figure, events, days, values, jobsOf }: Props): ReactElement {
  const router = useRouter();
  const { write, least, axis, scale } = figure;
  const told: Told = { trend, name, period, write };
  const rows = useMemo(
    (): readonly ControlRow[] =>
      trend.points.map((point) => ({
        from: point.period,
        to: nextPeriod(period, point.period),
        value: point.value,
        low: Math.max(least, point.low),
        high: point.high,
        n: point.n,
        word: pointWords[point.standing],
        beyond: point.standing === 'above' || point.standing === 'below',
        note: `${name}, ${periodName(period, point.period)}: ${write(point.value)}, n ${point.n}${
          point.standing === 'within' ? '' : `, ${standingWords[point.standing]}`
        }`,
        href: jobsOf(point.period),
      })),
    [trend, least, period, name, write, jobsOf],
  );
  const draw = useCallback(
    (room: Room) =>
      controlPlot(rows, trend.centre, clearChange(trend), events, { label: axis, scale, write, days, values }, room),
    [rows, trend, events, axis, scale, write, days, values],
  );
  const follow = useCallback(
    (to: string) => {
      router.push(to);
    },
    [router],
  );
  const columns: readonly SheetColumn<TrendPoint>[] = [
    {
      label: terms.trendPeriod,
      cell: (row) => <Link href={jobsOf(row.period)}>{periodName(period, row.period)}</Link>,
    },
    {
      label: figure.label,
      ...(figure.head === undefined ? {} : { head: figure.head }),
      cell: (row) => write(row.value),
      number: true,
    },
    ...(figure.beside ?? []),
    { label: terms.n, cell: (row) => count(row.n), number: true },
    {
      label: terms.controlLimits,
      cell: (row) => `${write(Math.max(least, row.low))} to ${write(row.high)}`,
      number: true,
    },
    { label: terms.standing, cell: (row) => standingWords[row.standing] },
  ];
  const title = headline(told);
  return (
    <Frame
      title={title}
      n={resting(told)}
      method={`${figure.method} ${limitsFrom(told)} A point leads to its jobs.`}
      keys={
        <Keys
          marks={[
            ['limit', 'limits'],
            ...(clearChange(trend) === null ? [] : ([['band', 'level before and after']] as const)),
            ...(rows.some((row) => row.beyond) ? ([['diamond', 'beyond a limit']] as const) : []),
            ...(rows.some((row) => row.word !== '' && !row.beyond) ? ([['square', 'in a run']] as const) : []),
          ]}
        />
      }
      table={<Sheet caption={title} hideCaption columns={columns} rows={trend.points} rowKey={(row) => row.period} />}
      draw={draw}
      follow={follow}
    />
  );
}
