'use client';

import { useMemo, type ReactElement } from 'react';
import { trendEvents } from '../../lib/store/questions/trendEvents';
import { modelOfElement, trendPeriodsOf, type TrendRow, type TrendSplit } from '../../lib/store/questions/trendPeriods';
import { FEWEST_JOBS, FEWEST_PERIODS, trendsOf, type Trend, type Trends } from '../../lib/store/trends';
import { count, counted } from '../../lib/words/figures';
import { useAsk } from '../_log/useAsk';
import { useKeeping } from '../_log/useKeeping';
import { Answer } from '../_shell/Answer';
import { Note } from '../_shell/Notes';
import { useFilters } from '../_shell/useFilters';
import { useUnits } from '../_shell/useUnits';
import { happenings, ticksOf } from './events';
import { EventList } from './EventList';
import { wordsOf, type SeriesWords } from './series';
import { TrendFrame } from './TrendFrame';
import type { TrendChoice } from './useTrendChoice';
import {
  capital,
  clearChange,
  headline,
  MOST_P,
  nextPeriod,
  partName,
  splitNeeds,
  splitNotes,
  thinWords,
} from './words';

/** More charts than these are no longer looked at one by one; those with the most jobs come first then. */
const MOST_CHARTS = 12;

/** The answer to "what changed", over all charts. */
function Lead({ trends, choice, words }: { trends: readonly Trend[]; choice: TrendChoice; words: SeriesWords }) {
  const [filters] = useFilters();
  const write = words.write(useUnits());
  const changed = trends.filter((trend) => clearChange(trend) !== null);
  const told = changed.map((trend) =>
    headline({
      trend,
      name: partName(choice.split, trend.part, filters.model),
      period: choice.period,
      write,
    }),
  );
  return (
    <p className="lead">
      {changed.length === 0 ? (
        `${capital(words.label.text)}: no lasting change in ${trends.length === 1 ? 'this chart' : `these ${count(trends.length)} charts`}.`
      ) : (
        <>
          <strong>
            {capital(words.label.text)}: {told.map((each) => each.replace(': ', ' ')).join('; ')}.
          </strong>
          {trends.length > changed.length
            ? ` No lasting change in ${trends.length - changed.length === 1 ? 'the other one' : `the other ${count(trends.length - changed.length)}`}.`
            : null}
        </>
      )}
    </p>
  );
}

/** The ends that hold every point and every limit. */
function endsOf(trends: readonly Trend[], words: SeriesWords): readonly [number, number] {
  if (words.kind === 'share') return [0, 1];
  const points = trends.flatMap((trend) => trend.points);
  const least = Math.min(...points.map(({ value, low }) => Math.min(value, low)));
  return [
    words.signed ? least : Math.max(0, least),
    Math.max(...points.map(({ value, high }) => Math.max(value, high))),
  ];
}

const byJobs = ({ trends, thin }: Trends) => {
  const shown = new Set(trends.toSorted((a, b) => b.jobs - a.jobs).slice(0, MOST_CHARTS));
  return { shown: trends.filter((trend) => shown.has(trend)), more: trends.length - shown.size, thin };
};

/** The one model that a chart is of; null where it is of several. */
function modelOf(split: TrendSplit, part: string, picked: string | null): string | null {
  if (split === 'model' && part !== '') return part;
  return split === 'element' ? modelOfElement(part) : picked;
}

function Drawn({ rows, choice }: { rows: readonly TrendRow[]; choice: TrendChoice }): ReactElement {
  const [filters] = useFilters();
  const { notes } = useKeeping();
  const events = useAsk(trendEvents, filters);
  const words = wordsOf(choice);
  const { period, split } = choice;
  const { shown, more, thin } = useMemo(() => byJobs(trendsOf(rows, words.kind)), [rows, words]);
  const days = useMemo((): readonly [string, string] => {
    const firsts = rows.map((row) => row.period).toSorted();
    return [firsts[0] ?? '', nextPeriod(period, firsts.at(-1) ?? '')];
  }, [rows, period]);
  const values = useMemo(() => endsOf(shown, words), [shown, words]);
  const all = useMemo(() => happenings(events.rows ?? [], notes, choice.hide), [events.rows, notes, choice.hide]);
  const ticks = useMemo(
    () => new Map(shown.map(({ part }) => [part, ticksOf(all, modelOf(split, part, filters.model), days)])),
    [shown, all, split, filters.model, days],
  );
  return (
    <>
      {shown.length === 0 ? null : <Lead trends={shown} choice={choice} words={words} />}
      {thin.length === 0 ? null : (
        <Note>
          Not enough data for a chart ({FEWEST_PERIODS} {period}s and {FEWEST_JOBS} jobs are the least):{' '}
          {thin
            .slice(0, MOST_CHARTS)
            .map((part) => thinWords(part.part, period, part))
            .join('; ')}
          {thin.length > MOST_CHARTS ? `; and ${count(thin.length - MOST_CHARTS)} more` : ''}.
        </Note>
      )}
      {more === 0 ? null : (
        <Note>
          {counted(more, 'more chart')} would stand here; these {count(MOST_CHARTS)} have the most jobs. The filters
          narrow them.
        </Note>
      )}
      <div className={shown.length > 1 ? 'two' : undefined}>
        {shown.map((trend) => (
          <TrendFrame
            key={trend.part}
            trend={trend}
            words={words}
            split={split}
            period={period}
            events={ticks.get(trend.part) ?? []}
            days={days}
            values={values}
          />
        ))}
      </div>
      {shown.length === 0 ? null : (
        <p className="quiet prose">
          Each chart is searched for one lasting change of level, at every place where it could be; its p is the chance
          of a step as large were the order of the jobs chance, and it is told up to {MOST_P}. Of twenty charts in which
          nothing changed, about one tells a change all the same. A chart says that something changed, not what: look at
          the pump, the bench and the paper before you blame any of them. A figure counts {words.counts}.{' '}
          {splitNotes[split]}
        </p>
      )}
      <EventList events={all.filter(({ on }) => on >= days[0] && on < days[1])} />
    </>
  );
}

/** The charts of one series. A new answer is waited for when the split or the period changes. */
export function Charts({ choice }: { choice: TrendChoice }): ReactElement {
  const [filters] = useFilters();
  const { counts } = wordsOf(choice);
  const needs = splitNeeds[choice.split];
  const asked = useAsk(trendPeriodsOf(choice.series, choice.split), {
    ...filters,
    split: choice.split,
    period: choice.period,
  });
  return (
    <Answer
      asked={asked}
      none={`Not enough data: there are no ${counts} among these${needs === undefined ? '' : `, or none of them ${needs}`}.`}
    >
      {(rows) => <Drawn rows={rows} choice={choice} />}
    </Answer>
  );
}
