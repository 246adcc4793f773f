'use client';

import { useRouter } from 'next/navigation';
import Link from 'next/link';
import { useCallback, useMemo, type ReactElement } from 'react';
import { controlPlot, type ControlEvent, type ControlRow } from '../../lib/charts/control';
import type { Room } from '../../lib/charts/frame';
import type { Filters } from '../../lib/store/filters';
import type { TrendPeriod, TrendSplit } from '../../lib/store/questions/trendPeriods';
import type { Trend, TrendPoint } from '../../lib/store/trends';
import { count } from '../../lib/words/figures';
import { terms } from '../../lib/words/labels';
import { Frame } from '../_shell/Frame';
import { Keys } from '../_shell/Keys';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { address, useFilters } from '../_shell/useFilters';
import { useUnits } from '../_shell/useUnits';
import type { SeriesWords } from './series';
import {
  clearChange,
  headline,
  lastDay,
  limitsFrom,
  nextPeriod,
  periodName,
  pointWords,
  resting,
  standingWords,
  type Told,
} from './words';

/** Where a point leads to: the jobs of its month or quarter and of its part. */
export function jobsOf(filters: Filters, split: TrendSplit, part: string, period: TrendPeriod, first: string): string {
  const last = lastDay(period, first);
  const narrowed: Filters = {
    ...filters,
    from: filters.from !== null && filters.from > first ? filters.from : first,
    to: filters.to !== null && filters.to < last ? filters.to : last,
  };
  switch (split) {
    case 'none':
      return address('/jobs/', narrowed);
    case 'model':
    case 'bench':
    case 'work':
      return address('/jobs/', { ...narrowed, [split]: part });
    case 'branch':
    case 'complaint':
    case 'technician':
      return address('/jobs/', narrowed, { [split]: part });
  }
}

interface Props {
  readonly trend: Trend;
  readonly words: SeriesWords;
  readonly split: TrendSplit;
  readonly period: TrendPeriod;
  readonly events: readonly ControlEvent[];
  /** Ends of the axes, the same for all charts of the page. */
  readonly days: readonly [string, string];
  readonly values: readonly [number, number];
}

/** One control chart with its words, its table and the way to its jobs. */
export function TrendFrame({ trend, words, split, period, events, days, values }: Props): ReactElement {
  const [filters] = useFilters();
  const router = useRouter();
  const units = useUnits();
  const write = useMemo(() => words.write(units), [words, units]);
  const name = trend.part === '' ? (filters.model ?? 'All jobs') : trend.part;
  const told: Told = { trend, name, period, write };
  const rows = useMemo((): readonly ControlRow[] => {
    // A figure that can't be below 0 has no limit there.
    const least = words.signed ? -Infinity : 0;
    return trend.points.map((point) => ({
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
      href: jobsOf(filters, split, trend.part, period, point.period),
    }));
  }, [trend, words, period, name, write, filters, split]);
  const draw = useCallback(
    (room: Room) =>
      controlPlot(
        rows,
        trend.centre,
        clearChange(trend),
        events,
        { label: words.axis(units), scale: words.scale(units), write, days, values },
        room,
      ),
    [rows, trend, events, words, units, write, days, values],
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
      cell: (row) => (
        <Link href={jobsOf(filters, split, trend.part, period, row.period)}>{periodName(period, row.period)}</Link>
      ),
    },
    { label: { ...words.label, unit: null }, cell: (row) => write(row.value), number: true },
    { label: terms.n, cell: (row) => count(row.n), number: true },
    {
      label: terms.controlLimits,
      cell: (row) => `${write(words.signed ? row.low : Math.max(0, row.low))} to ${write(row.high)}`,
      number: true,
    },
    { label: terms.standing, cell: (row) => standingWords[row.standing] },
  ];
  const title = headline(told);
  return (
    <Frame
      title={title}
      n={resting(told)}
      method={`${words.method} ${limitsFrom(told)} A point leads to its jobs.`}
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
