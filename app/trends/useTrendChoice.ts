'use client';

import { parseAsArrayOf, parseAsStringLiteral, useQueryStates } from 'nuqs';
import { logEventKinds } from '../../lib/store/questions/trendEvents';
import {
  splitsOf,
  trendPeriods,
  trendSeries,
  trendSplits,
  type TrendPeriod,
  type TrendSeries,
  type TrendSplit,
} from '../../lib/store/questions/trendPeriods';

export const eventKinds = [...logEventKinds, 'note'] as const;
export type EventKind = (typeof eventKinds)[number];

/** A split by technician is asked for anew at each visit, so that no address leads to it. */
const splitsInAddress = trendSplits.filter((split) => split !== 'technician');

const parsers = {
  series: parseAsStringLiteral(trendSeries).withDefault('first-pass'),
  split: parseAsStringLiteral(splitsInAddress).withDefault('model'),
  period: parseAsStringLiteral(trendPeriods).withDefault('quarter'),
  hide: parseAsArrayOf(parseAsStringLiteral(eventKinds)).withDefault([]),
};

export interface TrendChoice {
  readonly series: TrendSeries;
  readonly split: TrendSplit;
  readonly period: TrendPeriod;
  /** Kinds of events that are not drawn. */
  readonly hide: readonly EventKind[];
}

interface Change {
  readonly series?: TrendSeries;
  readonly split?: Exclude<TrendSplit, 'technician'>;
  readonly period?: TrendPeriod;
  readonly hide?: EventKind[];
}

/** What is looked at, as the address holds it. */
export function useTrendChoice(): readonly [TrendChoice, (change: Change) => void] {
  const [choice, set] = useQueryStates(parsers);
  // Not every series is told of elements.
  const split = splitsOf(choice.series).includes(choice.split) ? choice.split : parsers.split.defaultValue;
  return [{ ...choice, split }, (change) => void set(change)];
}
