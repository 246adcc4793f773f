'use client';

import { useCallback, useMemo, type ReactElement } from 'react';
import { useRouter } from 'next/navigation';
import Link from 'next/link';
import { controlPlot, type ControlRow } from '../../lib/charts/control';
import type { Room } from '../../lib/charts/frame';
import { fleetPeriods, fleetSplits, type Counted, type FleetSplit, type JudgedJob } from '../../lib/report/fleet';
import { rate } from '../../lib/store/questions/rows';
import { trendPeriods, type TrendPeriod } from '../../lib/store/questions/trendPeriods';
import { FEWEST_JOBS, FEWEST_PERIODS, trendsOf, type Trend, type TrendPoint } from '../../lib/store/trends';
import { count, counted, percent, percentRange } from '../../lib/words/figures';
import { terms } from '../../lib/words/labels';
import { Frame } from '../_shell/Frame';
import { Keys } from '../_shell/Keys';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { address, useFilters } from '../_shell/useFilters';
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
} from '../trends/words';
import { followed, type AuditChange, type AuditChoice } from './useAuditChoice';

const write = (value: number): string => percent(value);
const MOST_CHARTS = 8;

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

function One({ trend, choice, days }: OneProps): ReactElement {
  const [filters] = useFilters();
  const router = useRouter();
  const { period, follow, split, all } = choice;
  const name = trend.part === '' ? 'All together' : trend.part;
  const jobsOf = useMemo(
    () =>
      (first: string): string =>
        address(
          '/audit/',
          {
            ...filters,
            from: filters.from !== null && filters.from > first ? filters.from : first,
            to: filters.to !== null && filters.to < lastDay(period, first) ? filters.to : lastDay(period, first),
            ...(split === 'none' ? {} : { [split]: trend.part }),
          },
          { ...(all ? { all: 'true' } : {}), ...(follow === 'holds' ? {} : { reason: follow }) },
        ),
    [filters, period, split, trend.part, all, follow],
  );
  const rows = useMemo(
    (): readonly ControlRow[] =>
      trend.points.map((point) => ({
        from: point.period,
        to: nextPeriod(period, point.period),
        value: point.value,
        low: point.low,
        high: point.high,
        n: point.n,
        word: pointWords[point.standing],
        beyond: point.standing === 'above' || point.standing === 'below',
        note: `${name}, ${periodName(period, point.period)}: ${write(point.value)}, n ${point.n}${
          point.standing === 'within' ? '' : `, ${standingWords[point.standing]}`
        }`,
        href: jobsOf(point.period),
      })),
    [trend, period, name, jobsOf],
  );
  const draw = useMemo(
    () => (room: Room) =>
      controlPlot(
        rows,
        trend.centre,
        clearChange(trend),
        [],
        {
          label: follow === 'holds' ? 'Would hold, % of jobs' : 'With it, % of jobs',
          scale: (value) => 100 * value,
          write,
          days,
          values: [0, 1],
        },
        room,
      ),
    [rows, trend, follow, days],
  );
  const open = useCallback(
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
      label: { ...terms.shareHolding, unit: null },
      head: followWords(follow),
      cell: (row) => write(row.value),
      number: true,
    },
    {
      label: terms.interval,
      cell: (row) => {
        const { low, high } = rate(Math.round(row.value * row.n), row.n);
        return low === null || high === null ? '–' : percentRange(low, high);
      },
      number: true,
    },
    { label: terms.n, cell: (row) => count(row.n), number: true },
    { label: terms.controlLimits, cell: (row) => `${write(row.low)} to ${write(row.high)}`, number: true },
    { label: terms.standing, cell: (row) => standingWords[row.standing] },
  ];
  const told = { trend, name, period, write };
  const title = headline(told);
  return (
    <Frame
      title={title}
      n={resting(told)}
      method={`${
        follow === 'holds' ? 'Share of the jobs ready without a remark.' : `Share of the jobs with: ${follow}.`
      } ${limitsFrom(told)} A point leads to its jobs.`}
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
      follow={open}
    />
  );
}

interface PickProps<Value extends string> {
  readonly name: string;
  readonly value: Value;
  readonly values: readonly Value[];
  readonly words: (value: Value) => string;
  readonly onPick: (value: Value) => void;
}

function Pick<Value extends string>({ name, value, values, words, onPick }: PickProps<Value>): ReactElement {
  return (
    <label className="field">
      <span>{name}</span>
      <select
        value={value}
        onChange={(event) => {
          const picked = values.find((each) => each === event.currentTarget.value);
          if (picked !== undefined) onPick(picked);
        }}
      >
        {values.map((each) => (
          <option key={each} value={each}>
            {words(each)}
          </option>
        ))}
      </select>
    </label>
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
