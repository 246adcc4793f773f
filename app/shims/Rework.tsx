'use client';

import type { ReactElement } from 'react';
import {
  hoursPerBarrel,
  reworkByModel,
  type HoursPerBarrel,
  type ReworkOfModel,
} from '../../lib/store/questions/reworkByModel';
import { count, counted, figure } from '../../lib/words/figures';
import { logLabel, terms } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useFilters } from '../_shell/useFilters';

const between = (low: number, high: number): string => (low === high ? count(low) : `${count(low)} to ${count(high)}`);

const columns: readonly SheetColumn<ReworkOfModel>[] = [
  { label: logLabel('jobs', 'pump_model'), cell: (row) => row.pump_model },
  { label: terms.reworkJobs, cell: (row) => count(row.jobs), number: true },
  { label: terms.reworkedJobs, cell: (row) => count(row.reworked), number: true },
  { label: terms.barrelsDone, cell: (row) => count(row.done), number: true },
  { label: terms.barrelsEnough, cell: (row) => count(row.enough), number: true },
  { label: terms.barrelsSpare, cell: (row) => between(row.spare_low, row.spare_high), number: true },
  { label: terms.movedDone, cell: (row) => figure(row.done_mm, 'mm', { bare: true }), number: true },
  { label: terms.movedEnough, cell: (row) => figure(row.enough_mm, 'mm', { bare: true }), number: true },
];

const sum = (rows: readonly ReworkOfModel[], pick: (row: ReworkOfModel) => number): number =>
  rows.reduce((total, row) => total + pick(row), 0);

/** Hours as a range: the lowest of barrels and of hours a barrel, to the highest of both. */
function Hours({ low, high, basis }: { low: number; high: number; basis: HoursPerBarrel | undefined }): ReactElement {
  const hours = basis?.hours ?? null;
  if (basis === undefined || hours === null || hours.low <= 0) {
    return (
      <>
        {' '}
        How many hours that cost cannot be told: the bench hours of {counted(basis?.n ?? 0, 'job')} do not show what one
        more barrel takes.
      </>
    );
  }
  return (
    <>
      {' '}
      In these jobs a further barrel went with {figure(hours.low, 'hours')} to {figure(hours.high, 'hours')} more on the
      bench ({counted(basis.n, 'job')}, within model and type of work), so that is{' '}
      <strong>{between(Math.round(low * hours.low), Math.round(high * hours.high))}&nbsp;hours</strong> that need not
      have been spent.
    </>
  );
}

/** What was done to stacks after the first measurement, beside the least that would have been enough. */
export function Rework(): ReactElement {
  const [filters] = useFilters();
  const models = useAsk(reworkByModel, filters);
  const hours = useAsk(hoursPerBarrel, filters);
  return (
    <Answer asked={models} none="No stack was changed after a first measurement in these jobs.">
      {(rows) => {
        const low = sum(rows, (row) => row.spare_low);
        const high = sum(rows, (row) => row.spare_high);
        return (
          <div className="stack">
            <p>
              After the first measurement{' '}
              {counted(
                sum(rows, (row) => row.done),
                'barrel',
              )}{' '}
              came off in{' '}
              {counted(
                sum(rows, (row) => row.reworked),
                'job',
              )}
              ; {between(low, high)} of them need not have.
              {high === 0 ? null : <Hours low={low} high={high} basis={hours.rows?.[0]} />}
            </p>
            <Sheet
              caption="Barrels changed after the first measurement, and what would have been enough"
              hideCaption
              columns={columns}
              rows={rows}
              rowKey={(row) => row.pump_model}
            />
            <p className="quiet">
              Jobs with a complete plan in every run. Enough: the least-rework plan from run 1. Need not have: the lower
              figure counts, run by run, barrels beyond that run&apos;s plan; the upper one takes it that the plan after
              run 1 would have ended the work. Readings have errors of their own, so the truth lies between.
            </p>
          </div>
        );
      }}
    </Answer>
  );
}
