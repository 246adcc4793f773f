'use client';

import type { ReactElement } from 'react';
import { SOON_DAYS, type GaugeDue } from '../../lib/store/questions/gaugesDue';
import { count, counted, day, NO_FIGURE } from '../../lib/words/figures';
import { logLabel, terms } from '../../lib/words/labels';
import { Sheet, type SheetColumn } from '../_shell/Sheet';

const columns: readonly SheetColumn<GaugeDue>[] = [
  { label: logLabel('instruments', 'instrument_id'), cell: (row) => row.instrument_id },
  { label: logLabel('instruments', 'kind'), cell: (row) => row.kind ?? NO_FIGURE },
  { label: logLabel('instruments', 'bench_id'), cell: (row) => row.bench_id ?? NO_FIGURE },
  { label: terms.lastCalibrated, cell: (row) => day(row.calibrated_on), number: true },
  { label: logLabel('instruments', 'due_on'), cell: (row) => day(row.due_on), number: true },
  {
    label: terms.daysOver,
    cell: ({ days_over: over }) => (over === null ? NO_FIGURE : over > 0 ? `${count(over)} past` : count(-over)),
    number: true,
  },
  { label: terms.gaugeStanding, cell: (row) => row.standing },
  { label: terms.gaugeJobs, cell: (row) => (row.jobs === 0 ? 'not named' : count(row.jobs)), number: true },
  { label: terms.pastJobs, cell: (row) => count(row.past_jobs), number: true },
  {
    label: terms.pastWhen,
    cell: (row) => (row.past_first === null ? NO_FIGURE : `${day(row.past_first)} to ${day(row.past_last)}`),
  },
];

/** Gauges by their date on the last day of the log, and the jobs that were measured past it. */
export function Gauges({ rows }: { rows: readonly GaugeDue[] }): ReactElement {
  const of = (standing: GaugeDue['standing']): number => rows.filter((row) => row.standing === standing).length;
  const last = rows[0]?.last_day ?? null;
  return (
    <>
      <p>
        On {day(last)}, the last day of the log: <strong>{counted(of('past its date'), 'gauge')}</strong> past the date,{' '}
        {count(of('due soon'))} due within {counted(SOON_DAYS, 'day')}, {count(of('no calibration'))} without a
        calibration in the log, {count(of('in date'))} in date.
      </p>
      <Sheet
        caption="Gauges, those past the date first"
        columns={columns}
        rows={rows}
        rowKey={(row) => row.instrument_id}
        mark={(row) => (row.standing === 'past its date' || row.standing === 'no calibration' ? 'out' : null)}
      />
      <p className="quiet prose">
        Dates are held against the last day of the log, not against today. A gauge may not be used from the day it is
        due on. Past the date: jobs that came in on or after the day due of the calibration then in force. Not named: no
        reading of these jobs says that it was taken with that gauge.
      </p>
    </>
  );
}
