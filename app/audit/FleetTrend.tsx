'use client';

import { useCallback, useMemo, type ReactElement } from 'react';
import type { ControlEvent } from '../../lib/charts/control';
import { fleetPeriods, fleetSplits, type Counted, type FleetSplit, type JudgedJob } from '../../lib/report/many/fleet';
import { rate } from '../../lib/store/questions/rows';
import { trendPeriods, type TrendPeriod } from '../../lib/store/questions/trendPeriods';
import { FEWEST_JOBS, FEWEST_PERIODS, trendsOf, type Trend, type TrendPoint } from '../../lib/store/trends';
import { count, counted, percent, percentRange } from '../../lib/words/figures';
import { terms } from '../../lib/words/labels';
import { Note } from '../_shell/Notes';
import { Pick } from '../_shell/Pick';
import type { SheetColumn } from '../_shell/Sheet';
import { address, useFilters } from '../_shell/useFilters';
import { ControlFrame, within } from '../trends/ControlFrame';
import { nextPeriod } from '../trends/words';
import { followed, type AuditChange, type AuditChoice } from './useAuditChoice';

const write = (value: number): string => percent(value);
const MOST_CHARTS = 8;
const NO_EVENTS: readonly ControlEvent[] = [];
const SHARES = [0, 1] as const;

const splitWords: Readonly<Record<FleetSplit, string>> = {
  none: 'Nothing: all together',
  model: 'Model',
  bench: 'Bench',
};
const followWords = (what: Counted): string => (what === 'holds' ? 'would hold as it is' : what);

interface OneProps {
  readonly trend: Trend;
  readonly choice: AuditChoice;
  readonly days: readonly [string, string];
}

/** Wilson's interval of a point's own share. */
const ownInterval: SheetColumn<TrendPoint> = {
  label: terms.interval,
  cell: (row) => {
    const { low, high } = rate(Math.round(row.value * row.n), row.n);
    return low === null || high === null ? '–' : percentRange(low, high);
  },
  number: true,
};

function One({ trend, choice, days }: OneProps): ReactElement {
  const [filters] = useFilters();
  const { period, follow, split, all } = choice;
  const jobsOf = useCallback(
    (first: string): string =>
      address(
        '/audit/',
        {
          ...within(filters, period, first),
          ...(split === 'none' ? {} : { [split]: trend.part }),
        },
        { ...(all ? { all: 'true' } : {}), ...(follow === 'holds' ? {} : { reason: follow }) },
      ),
    [filters, period, split, trend.part, all, follow],
  );
  const figure = useMemo(
    () => ({
      label: { ...terms.shareHolding, unit: null },
      head: followWords(follow),
      axis: follow === 'holds' ? 'Would hold, % of jobs' : 'With it, % of jobs',
      scale: (value: number) => 100 * value,
      write,
      least: 0,
      method: follow === 'holds' ? 'Share of the jobs ready without a remark.' : `Share of the jobs with: ${follow}.`,
      beside: [ownInterval],
    }),
    [follow],
  );
  return (
    <ControlFrame
      trend={trend}
      name={trend.part === '' ? 'All together' : trend.part}
      period={period}
      figure={figure}
      events={NO_EVENTS}
      days={days}
      values={SHARES}
      jobsOf={jobsOf}
    />
  );
}

const periodWords: Readonly<Record<TrendPeriod, string>> = { month: 'month', quarter: 'quarter' };

interface Props {
  readonly judged: readonly JudgedJob[];
  readonly choice: AuditChoice;
  readonly set: (change: AuditChange) => void;
}

/** A share of the claims over months or quarters, as control charts. */
export function FleetTrend({ judged, choice, set }: Props): ReactElement {
  const { split, period, follow } = choice;
  const rows = useMemo(() => fleetPeriods(judged, split, period, follow), [judged, split, period, follow]);
  const { trends, thin } = useMemo(() => trendsOf(rows, 'share'), [rows]);
  const days = useMemo((): readonly [string, string] => {
    const firsts = rows.map((row) => row.period).toSorted();
    return [firsts[0] ?? '', nextPeriod(period, firsts.at(-1) ?? '2000-01-01')];
  }, [rows, period]);
  const shown = trends.toSorted((a, b) => b.jobs - a.jobs).slice(0, MOST_CHARTS);
  const present = useMemo(
    () => new Set<Counted>(judged.flatMap(({ reasons }) => reasons.map(({ code }) => code))),
    [judged],
  );
  return (
    <>
      <h3>Over time</h3>
      <div className="row no-print">
        <Pick
          name="Share that"
          value={follow}
          values={followed.filter((what) => what === 'holds' || what === follow || present.has(what))}
          words={(what) => (what === 'holds' ? followWords(what) : `has: ${what}`)}
          onPick={(picked) => {
            set({ follow: picked });
          }}
        />
        <Pick
          name="A chart for each"
          value={split}
          values={fleetSplits}
          words={(each) => splitWords[each]}
          onPick={(picked) => {
            set({ split: picked });
          }}
        />
        <Pick
          name="A point for each"
          value={period}
          values={trendPeriods}
          words={(each) => periodWords[each]}
          onPick={(picked) => {
            set({ period: picked });
          }}
        />
      </div>
      {thin.length === 0 ? null : (
        <Note>
          Not enough data for a chart ({FEWEST_PERIODS} {period}s and {FEWEST_JOBS} jobs are the least)
          {split === 'none'
            ? '.'
            : `: ${thin
                .slice(0, MOST_CHARTS)
                .map(({ part, jobs }) => `${part}, ${counted(jobs, 'job')}`)
                .join('; ')}${thin.length > MOST_CHARTS ? `; and ${count(thin.length - MOST_CHARTS)} more` : ''}.`}
        </Note>
      )}
      <div className={shown.length > 1 ? 'two' : undefined}>
        {shown.map((trend) => (
          <One key={trend.part} trend={trend} choice={choice} days={days} />
        ))}
      </div>
    </>
  );
}
