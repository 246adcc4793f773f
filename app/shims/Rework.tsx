'use client';

import type { ReactElement } from 'react';
import {
  hoursEach,
  hoursPerBarrel,
  reworkByModel,
  type HoursEach,
  type ReworkOfModel,
} from '../../lib/store/questions/reworkByModel';
import { spareBarrels, type Span } from '../../lib/store/questions/reworkCost';
import { count, counted } from '../../lib/words/figures';
import { logLabel, terms } from '../../lib/words/labels';
import { adjusterWords, changedWords } from '../../lib/words/adjusters';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Figure } from '../_shell/Figure';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useFilters } from '../_shell/useFilters';
import { useUnits } from '../_shell/useUnits';

const between = (low: number, high: number): string => (low === high ? count(low) : `${count(low)} to ${count(high)}`);

const columns: readonly SheetColumn<ReworkOfModel>[] = [
  { label: logLabel('jobs', 'pump_model'), cell: (row) => row.pump_model },
  { label: terms.reworkJobs, cell: (row) => count(row.jobs), number: true },
  { label: terms.reworkedJobs, cell: (row) => count(row.reworked), number: true },
  { label: terms.barrelsDone, cell: (row) => count(row.done), number: true },
  { label: terms.barrelsEnough, cell: (row) => count(row.enough), number: true },
  { label: terms.barrelsSpare, cell: (row) => between(row.spare_low, row.spare_high), number: true },
  { label: terms.movedDone, cell: (row) => <Figure value={row.done_mm} unit="shim" bare />, number: true },
  { label: terms.movedEnough, cell: (row) => <Figure value={row.enough_mm} unit="shim" bare />, number: true },
];

const sum = (rows: readonly ReworkOfModel[], pick: (row: ReworkOfModel) => number): number =>
  rows.reduce((total, row) => total + pick(row), 0);

interface HoursProps {
  /** Hours of all of them; null where they cannot be told. */
  readonly inAll: Span | null;
  readonly basis: HoursEach;
  readonly place: string;
}

/** Hours as a range: the lowest of barrels and of hours a barrel, to the highest of both. */
function Hours({ inAll, basis, place }: HoursProps): ReactElement {
  const { figure } = useUnits();
  const { hours } = basis;
  if (hours === null || inAll === null) {
    return (
      <>
        {' '}
        How many hours that cost cannot be told: the bench hours of {counted(basis.n, 'job')} do not show what one more{' '}
        {place} takes.
      </>
    );
  }
  return (
    <>
      {' '}
      In these jobs a further {place} went with {figure(hours.low, 'hours')} to {figure(hours.high, 'hours')} more on
      the bench ({counted(basis.n, 'job')}, within model and type of work), so that is{' '}
      <strong>{between(Math.round(inAll.low), Math.round(inAll.high))}&nbsp;hours</strong> that need not have been
      spent.
    </>
  );
}

/** What was done to stacks after the first measurement, beside the least that would have been enough. */
export function Rework(): ReactElement {
  const [filters] = useFilters();
  const models = useAsk(reworkByModel, filters);
  const hours = useAsk(hoursPerBarrel, filters);
  const perBarrel = hoursEach(hours.rows ?? []);
  const asked = { rows: hours.rows === null ? null : models.rows, error: models.error ?? hours.error };
  return (
    <Answer asked={asked} none="Nothing was changed after a first measurement in these jobs.">
      {(rows) => {
        const words = adjusterWords(rows.map((row) => row.adjuster));
        const spare = spareBarrels(rows, perBarrel);
        return (
          <div className="stack">
            <p>
              After the first measurement{' '}
              {changedWords(
                sum(rows, (row) => row.done),
                words,
              )}{' '}
              in{' '}
              {counted(
                sum(rows, (row) => row.reworked),
                'job',
              )}
              ; {between(spare.times.low, spare.times.high)} of them need not have been.
              {spare.times.high === 0 ? null : <Hours inAll={spare.hours} basis={perBarrel} place={words.place} />}
            </p>
            <Sheet
              caption="Changes after the first measurement, and what would have been enough"
              hideCaption
              columns={columns}
              rows={rows}
              rowKey={(row) => row.pump_model}
            />
            <p className="quiet">
              Jobs with a complete plan in every run. Enough: the least-rework plan from run 1. Need not have been: the
              lower figure counts, run by run, changes beyond that run&apos;s plan; the upper one takes it that the plan
              after run 1 would have ended the work. Readings have errors of their own, so the truth lies between.
            </p>
          </div>
        );
      }}
    </Answer>
  );
}
