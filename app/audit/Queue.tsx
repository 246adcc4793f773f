'use client';

import type { ReactElement } from 'react';
import type { JudgedJob } from '../../lib/report/many/fleet';
import { readinessStates } from '../../lib/report/many/readiness';
import { reasonCodes, supplyWords } from '../../lib/report/many/reasons';
import type { Filters } from '../../lib/store/filters';
import { count, counted, day, NO_FIGURE } from '../../lib/words/figures';
import { logLabel, terms } from '../../lib/words/labels';
import { Note } from '../_shell/Notes';
import { RowLink } from '../_shell/RowLink';
import { LongSheet, type SheetColumn } from '../_shell/Sheet';
import { address } from '../_shell/useFilters';
import { Readiness } from './Readiness';
import type { AuditChange, AuditChoice } from './useAuditChoice';

function Reasons({ judged }: { judged: JudgedJob }): ReactElement {
  const told = judged.reasons;
  if (told.length === 0) return <>–</>;
  return (
    <ul className="audit-reasons">
      {told.map(({ code, severity, says }) => (
        <li key={code} className={severity === 'for information' ? 'quiet' : undefined}>
          {says}
        </li>
      ))}
    </ul>
  );
}

/** The jobs of the queue that the table is narrowed to. */
export const shownOf = (judged: readonly JudgedJob[], { state, reason }: AuditChoice): readonly JudgedJob[] =>
  judged.filter(
    (each) =>
      (state === null || each.state === state) && (reason === null || each.reasons.some(({ code }) => code === reason)),
  );

interface Props {
  readonly judged: readonly JudgedJob[];
  readonly choice: AuditChoice;
  readonly set: (change: AuditChange) => void;
}
interface QueueProps extends Props {
  /** Those of the jobs. */
  readonly filters: Filters;
}

function Narrow({ judged, choice, set }: Props): ReactElement {
  const present = new Set(judged.flatMap(({ reasons }) => reasons.map(({ code }) => code)));
  return (
    <div className="row no-print">
      <label className="field">
        <span>State of the record</span>
        <select
          value={choice.state ?? ''}
          data-set={choice.state !== null}
          onChange={(event) => {
            set({ state: readinessStates.find((state) => state === event.currentTarget.value) ?? null });
          }}
        >
          <option value="">All</option>
          {readinessStates.map((state) => (
            <option key={state}>{state}</option>
          ))}
        </select>
      </label>
      <label className="field">
        <span>Reason</span>
        <select
          value={choice.reason ?? ''}
          data-set={choice.reason !== null}
          onChange={(event) => {
            set({ reason: reasonCodes.find((code) => code === event.currentTarget.value) ?? null });
          }}
        >
          <option value="">With or without</option>
          {reasonCodes
            .filter((code) => present.has(code) || code === choice.reason)
            .map((code) => (
              <option key={code}>{code}</option>
            ))}
        </select>
      </label>
    </div>
  );
}

/** The jobs, those that would not hold first: what is missing in each, and whether it can still be brought. */
export function Queue({ judged, filters, choice, set }: QueueProps): ReactElement {
  const shown = shownOf(judged, choice);
  const columns: readonly SheetColumn<JudgedJob>[] = [
    {
      label: logLabel('jobs', 'job_id'),
      cell: ({ job }) => <RowLink href={address('/job/', filters, { id: job.job_id })}>{job.job_id}</RowLink>,
    },
    { label: terms.readiness, cell: ({ state }) => <Readiness state={state} /> },
    { label: terms.against, cell: (each) => <Reasons judged={each} />, prose: true },
    { label: terms.supply, cell: ({ supply }) => (supply === null ? '–' : supplyWords[supply]), prose: true },
    {
      label: logLabel('jobs', 'pump_serial'),
      cell: ({ job }) => (
        <RowLink href={address('/wear/', filters, { serial: job.pump_serial })}>{job.pump_serial}</RowLink>
      ),
    },
    { label: logLabel('jobs', 'claim_no'), cell: ({ job }) => job.claim_no ?? NO_FIGURE },
    { label: logLabel('jobs', 'pump_model'), cell: ({ job }) => job.pump_model },
    { label: logLabel('jobs', 'finished_on'), cell: ({ job }) => day(job.finished_on) },
    {
      label: terms.auditRecord,
      cell: ({ job }) => (
        <RowLink href={address('/record/', filters, { id: job.job_id })} aria-label={`Record of ${job.job_id}`}>
          record
        </RowLink>
      ),
    },
  ];
  return (
    <>
      <Narrow judged={judged} choice={choice} set={set} />
      {shown.length === 0 ? (
        <Note>No job among these.</Note>
      ) : (
        <>
          <p className="quiet">
            {counted(shown.length, 'job')}
            {shown.length < judged.length ? ` of ${count(judged.length)}` : ''}, those that would not hold first, then
            the newest first.
          </p>
          <LongSheet
            caption="Jobs in the queue"
            hideCaption
            tall
            columns={columns}
            rows={shown}
            rowKey={({ job }) => job.job_id}
          />
        </>
      )}
    </>
  );
}
