'use client';

import { useMemo, type ReactElement } from 'react';
import type { Room } from '../../lib/charts/frame';
import { firstPassPlot } from '../../lib/charts/firstPass';
import {
  mostFrequent,
  partCounts,
  reasonCounts,
  type FleetSplit,
  type JudgedJob,
  type ReasonCount,
} from '../../lib/report/many/fleet';
import { rate, type Rate } from '../../lib/store/questions/rows';
import { count, counted, day, percent, percentRange } from '../../lib/words/figures';
import { logLabel, resultLabel, terms } from '../../lib/words/labels';
import { Frame } from '../_shell/Frame';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { FleetTrend } from './FleetTrend';
import type { AuditChange, AuditChoice } from './useAuditChoice';
import { wouldHold } from '../../lib/report/many/readiness';
import { supplyWords } from '../../lib/report/many/reasons';

interface PartRow extends Rate {
  /** As the plot of rates has it. */
  readonly pump_model: string;
}

const shareColumns = (split: 'model' | 'bench'): readonly SheetColumn<PartRow>[] => [
  { label: logLabel('jobs', split === 'model' ? 'pump_model' : 'bench_id'), cell: (row) => row.pump_model },
  { label: { ...terms.shareHolding, unit: null }, cell: (row) => percent(row.share), number: true },
  {
    label: terms.interval,
    cell: (row) => (row.low === null || row.high === null ? '–' : percentRange(row.low, row.high)),
    number: true,
  },
  { label: terms.n, cell: (row) => count(row.n), number: true },
];

function Parts({ judged, split }: { judged: readonly JudgedJob[]; split: 'model' | 'bench' }): ReactElement | null {
  const rows = useMemo(
    (): readonly PartRow[] =>
      partCounts(judged, split, 'holds').map(({ part, k, n }) => ({ pump_model: part, ...rate(k, n) })),
    [judged, split],
  );
  const overall = rate(judged.filter(wouldHold).length, judged.length).share;
  const draw = useMemo(
    () => (room: Room) => firstPassPlot(rows, overall, room, 'Would hold as it is (% of jobs)', 'all together'),
    [rows, overall],
  );
  const [worst] = rows;
  if (worst === undefined) return null;
  const title = `${split === 'model' ? 'Model' : 'Bench'}: ${worst.pump_model} has the lowest share, ${percent(worst.share)}`;
  return (
    <Frame
      title={rows.length === 1 ? `${worst.pump_model}: ${percent(worst.share)} would hold` : title}
      n={counted(
        rows.reduce((sum, { n }) => sum + n, 0),
        'job',
      )}
      method="Share of the jobs ready without a remark, with the Wilson interval at 95 %. Intervals that overlap are no proof of a difference."
      table={
        <Sheet caption={title} hideCaption columns={shareColumns(split)} rows={rows} rowKey={(row) => row.pump_model} />
      }
      draw={draw}
    />
  );
}

function shareWords(k: number, n: number): string {
  const { share, low, high } = rate(k, n);
  return low === null || high === null ? '–' : `${percent(share)}, ${percentRange(low, high)}`;
}

const reasonColumns = (n: number, set: (change: AuditChange) => void): readonly SheetColumn<ReasonCount>[] => [
  {
    label: terms.reason,
    cell: ({ code }) => (
      <button
        type="button"
        className="plain"
        onClick={() => {
          set({ reason: code, state: null });
        }}
      >
        {code}
      </button>
    ),
  },
  { label: resultLabel('findings', 'severity'), cell: ({ severity }) => severity },
  { label: terms.reasonJobs, cell: ({ jobs }) => count(jobs), number: true },
  {
    label: { ...terms.interval, unit: null },
    head: 'share, interval',
    cell: ({ jobs }) => shareWords(jobs, n),
    number: true,
  },
  { label: terms.reasonAlone, cell: ({ alone }) => count(alone), number: true },
  { label: terms.supply, cell: ({ supply }) => supplyWords[supply] },
  { label: terms.firstSeen, cell: ({ first }) => day(first) },
  { label: terms.lastSeen, cell: ({ last }) => day(last) },
];

interface Props {
  readonly judged: readonly JudgedJob[];
  readonly choice: AuditChoice;
  readonly set: (change: AuditChange) => void;
}

const parts: readonly Exclude<FleetSplit, 'none'>[] = ['model', 'bench'];

/** All claims together: what recurs, where, and since when. */
export function Fleet({ judged, choice, set }: Props): ReactElement {
  const reasons = useMemo(() => reasonCounts(judged), [judged]);
  const most = mostFrequent(reasons);
  return (
    <section className="section" aria-labelledby="fleet">
      <h2 id="fleet">Fleet of claims</h2>
      <p className="prose">
        {most === null ? (
          'Nothing stands against any of these records.'
        ) : (
          <>
            What recurs most: <strong>{most.code}</strong>, in {count(most.jobs)} of {counted(judged.length, 'job')} (
            {shareWords(most.jobs, judged.length)}). {most.says}
          </>
        )}
      </p>
      {reasons.length === 0 ? null : (
        <Sheet
          caption="Reasons, by jobs"
          columns={reasonColumns(judged.length, set)}
          rows={reasons}
          rowKey={({ code }) => code}
          tall
        />
      )}
      <div className="two">
        {parts.map((split) => (
          <Parts key={split} judged={judged} split={split} />
        ))}
      </div>
      <FleetTrend judged={judged} choice={choice} set={set} />
    </section>
  );
}
