'use client';

import { useCallback, useMemo, type ReactElement } from 'react';
import type { Room } from '../../lib/charts/frame';
import { intervalsPlot } from '../../lib/charts/intervals';
import { earlyReturns, type EarlyRate, type EarlyReturn } from '../../lib/store/questions/earlyReturns';
import { MONTH_DAYS } from '../../lib/store/questions/returnCurves';
import { count, counted, day, NO_FIGURE, percent, percentRange } from '../../lib/words/figures';
import { logLabel, terms } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Frame } from '../_shell/Frame';
import { Note } from '../_shell/Notes';
import { RowLink } from '../_shell/RowLink';
import { LongSheet, Sheet, type SheetColumn } from '../_shell/Sheet';
import { address, useFilters } from '../_shell/useFilters';

/** Fewer jobs of a model do not make a rate (ours). */
const ENOUGH = 10;

const nameOf = (row: EarlyRate): string => row.pump_model ?? terms.overall.text;

const rateColumns: readonly SheetColumn<EarlyRate>[] = [
  { label: logLabel('jobs', 'pump_model'), cell: nameOf },
  { label: terms.outJobs, head: 'watched so long', cell: (row) => count(row.n), number: true },
  { label: terms.cameBack, head: 'back early', cell: (row) => count(row.k), number: true },
  { label: { ...terms.earlyReturn, unit: null }, cell: (row) => percent(row.share, 1), number: true },
  {
    label: { ...terms.interval, unit: null },
    cell: (row) => (row.low === null || row.high === null ? NO_FIGURE : percentRange(row.low, row.high)),
    number: true,
  },
  { label: terms.unwatched, cell: (row) => count(row.unwatched), number: true },
];

function titleOf(told: readonly EarlyRate[], within: number): string {
  const models = told.filter((row) => row.pump_model !== null).toSorted((a, b) => (b.share ?? 0) - (a.share ?? 0));
  const [most, least] = [models[0], models.at(-1)];
  if (most === undefined || least === undefined) return `Share of pumps back within ${counted(within, 'month')}`;
  if (models.length === 1) return `${nameOf(most)}: ${percent(most.share)} are back within ${counted(within, 'month')}`;
  return (most.low ?? 0) > (least.high ?? 1)
    ? `Back within ${counted(within, 'month')} most often: ${nameOf(most)}, ${percent(most.share)}`
    : `No model stands clear of the others in pumps back within ${counted(within, 'month')}`;
}

/** Share of early returns by model. */
export function EarlyRates({ rows, within }: { rows: readonly EarlyRate[]; within: number }): ReactElement {
  const told = useMemo(() => rows.filter((row) => row.n >= ENOUGH), [rows]);
  const thin = rows.filter((row) => row.n < ENOUGH).map(nameOf);
  const draw = useCallback(
    (room: Room) =>
      intervalsPlot(
        told.flatMap((row) =>
          row.share === null || row.low === null || row.high === null
            ? []
            : [{ name: nameOf(row), n: row.n, value: 100 * row.share, low: 100 * row.low, high: 100 * row.high }],
        ),
        {
          label: `Back within ${counted(within, 'month')} (% of jobs)`,
          write: (value) => `${value.toFixed(1)} %`,
          zero: 'the start',
        },
        room,
      ),
    [told, within],
  );
  const few =
    thin.length === 0
      ? null
      : `Not enough data: ${thin.join(', ')}; a rate needs ${ENOUGH} jobs watched for ${counted(within, 'month')}.`;
  if (told.length === 0) return <Note>{few}</Note>;
  const title = titleOf(told, within);
  const all = rows.find((row) => row.pump_model === null);
  return (
    <>
      <Frame
        title={title}
        n={`${counted(all?.k ?? 0, 'early return')} after ${counted(all?.n ?? 0, 'job')}`}
        method={
          `Jobs that the log follows for ${counted(within, 'month')} after they left; ${counted(all?.unwatched ?? 0, 'job')} left later than ` +
          'that and are not counted here, though the list below names their returns too. Line: Wilson interval at 95 %. Models are called different only where the intervals of the highest and the lowest do not overlap.'
        }
        table={<Sheet caption={title} hideCaption columns={rateColumns} rows={rows} rowKey={nameOf} />}
        draw={draw}
      />
      {few === null ? null : <Note>{few}</Note>}
    </>
  );
}

/** Early returns one by one, with what was found the second time. */
export function EarlyTable({ within }: { within: number }): ReactElement {
  const [filters] = useFilters();
  const asked = useAsk(earlyReturns, { ...filters, months: within });
  const told = asked.args ?? filters;
  const job = (id: string): ReactElement => <RowLink href={address('/job/', told, { id })}>{id}</RowLink>;
  const columns: readonly SheetColumn<EarlyReturn>[] = [
    {
      label: logLabel('jobs', 'pump_serial'),
      cell: (row) => <RowLink href={address('/wear/', told, { serial: row.pump_serial })}>{row.pump_serial}</RowLink>,
    },
    { label: logLabel('jobs', 'pump_model'), cell: (row) => row.pump_model },
    { label: terms.firstJob, cell: (row) => job(row.first_job) },
    { label: logLabel('jobs', 'work_type'), head: 'Work then', cell: (row) => row.first_work },
    { label: logLabel('jobs', 'complaint'), head: 'Complaint then', cell: (row) => row.first_complaint ?? NO_FIGURE },
    { label: logLabel('jobs', 'finished_on'), head: 'Left', cell: (row) => day(row.left_on), number: true },
    { label: terms.monthsOut, cell: (row) => (row.days / MONTH_DAYS).toFixed(1), number: true },
    { label: terms.secondJob, cell: (row) => job(row.second_job) },
    { label: logLabel('jobs', 'complaint'), head: 'Complaint now', cell: (row) => row.second_complaint ?? NO_FIGURE },
    { label: logLabel('jobs', 'warranty'), cell: (row) => row.warranty ?? NO_FIGURE },
    {
      label: terms.outReceived,
      prose: true,
      cell: (row) => row.out ?? (row.measured === 'yes' ? 'nothing' : 'not measured as received'),
    },
    { label: terms.foundSecond, prose: true, cell: (row) => row.findings ?? 'none' },
  ];
  return (
    <Answer asked={asked} none={`No pump came back within ${counted(within, 'month')} of a job that matches.`}>
      {(rows) => (
        <LongSheet
          caption={`${counted(rows.length, 'early return')}, the soonest first`}
          columns={columns}
          rows={rows}
          rowKey={(row) => row.second_job}
        />
      )}
    </Answer>
  );
}
