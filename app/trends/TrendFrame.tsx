'use client';

import { useCallback, useMemo, type ReactElement } from 'react';
import type { ControlEvent } from '../../lib/charts/control';
import type { TrendPeriod, TrendSplit } from '../../lib/store/questions/trendPeriods';
import type { Trend } from '../../lib/store/trends';
import { useFilters } from '../_shell/useFilters';
import { useUnits } from '../_shell/useUnits';
import { ControlFrame } from './ControlFrame';
import { jobsOf } from './place';
import type { SeriesWords } from './series';
import { partName } from './words';

interface Props {
  readonly trend: Trend;
  readonly words: SeriesWords;
  readonly split: TrendSplit;
  readonly period: TrendPeriod;
  readonly events: readonly ControlEvent[];
  readonly days: readonly [string, string];
  readonly values: readonly [number, number];
}

/** The control chart of one part of a series. */
export function TrendFrame({ trend, words, split, period, ...axes }: Props): ReactElement {
  const [filters] = useFilters();
  const units = useUnits();
  const figure = useMemo(
    () => ({
      label: { ...words.label, unit: null },
      axis: words.axis(units),
      scale: words.scale(units),
      write: words.write(units),
      least: words.signed ? -Infinity : 0,
      method: words.method,
    }),
    [words, units],
  );
  const jobs = useCallback(
    (first: string) => jobsOf(filters, split, trend.part, period, first),
    [filters, split, trend.part, period],
  );
  return (
    <ControlFrame
      trend={trend}
      name={partName(split, trend.part, filters.model)}
      period={period}
      figure={figure}
      jobsOf={jobs}
      {...axes}
    />
  );
}
