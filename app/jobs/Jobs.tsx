'use client';

import { parseAsString, parseAsStringLiteral, useQueryState, useQueryStates } from 'nuqs';
import type { ReactElement } from 'react';
import { jobList, jobListUsing, type JobRow } from '../../lib/store/questions/jobList';
import { findingWord } from '../../lib/store/questions/findingCounts';
import { answer } from '../../lib/store/questions/rows';
import { logLabel, resultLabel, type Label } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { useFault, useTechnicians } from '../faults/place';
import { Answer } from '../_shell/Answer';
import { useTechniciansLeftOut } from '../_shell/technicians';
import { useFilters } from '../_shell/useFilters';
import { BehindFault } from './BehindFault';
import { JobTable } from './JobTable';

const parseFinding = parseAsStringLiteral(findingWord.options);
const asFinding = (text: string): (typeof findingWord.options)[number] | null =>
  findingWord.options.find((option) => option === text) ?? null;
const parsePass = parseAsStringLiteral(answer.options);
const asPass = (text: string): JobRow['first_pass'] | null => answer.options.find((option) => option === text) ?? null;

const narrowedBy = ['branch', 'complaint', 'technician', 'batch', 'gauge'] as const;
type Narrowing = (typeof narrowedBy)[number];
const narrowings = {
  branch: parseAsString,
  complaint: parseAsString,
  technician: parseAsString,
  batch: parseAsString,
  gauge: parseAsString,
} satisfies Record<Narrowing, unknown>;
const narrowingLabels: Readonly<Record<Narrowing, Label>> = {
  branch: logLabel('jobs', 'branch'),
  complaint: logLabel('jobs', 'complaint'),
  technician: logLabel('jobs', 'technician'),
  batch: logLabel('shims', 'batch'),
  gauge: logLabel('draws', 'instrument_id'),
};

interface ListedProps {
  readonly finding: string | null;
  readonly find: string;
  readonly pass: JobRow['first_pass'] | null;
  /** Numbers of the jobs behind a fault; null for all. */
  readonly among: readonly number[] | null;
  readonly by: Readonly<Record<Narrowing, string | null>>;
  /** Whether technicians are named. */
  readonly named: boolean;
}

function Listed({ finding, find, pass, among, by, named }: ListedProps): ReactElement {
  const [filters] = useFilters();
  const using = by.batch !== null || by.gauge !== null;
  const asked = useAsk(using ? jobListUsing : jobList, { ...filters, finding, ...by, among });
  return (
    <Answer asked={asked} none={`No job ${among === null ? '' : 'of them '}matches these filters.`}>
      {(rows) => <JobTable rows={rows} find={find} pass={pass} named={named} />}
    </Answer>
  );
}

/** The picked jobs as a list to look through. */
export function Jobs(): ReactElement {
  const [find, setFind] = useQueryState('find', parseAsString);
  const [pass, setPass] = useQueryState('pass', parsePass);
  const [finding, setFinding] = useQueryState('finding', parseFinding);
  const [narrowed, narrow] = useQueryStates(narrowings);
  const leftOut = useTechniciansLeftOut();
  const by = leftOut ? { ...narrowed, technician: null } : narrowed;
  const [fault, setFault] = useFault();
  const [technicians, setTechnicians] = useTechnicians();
  return (
    <div className="page">
      <div className="stack">
        <h1>Jobs</h1>
        <div className="row">
          <label className="field">
            <span>{leftOut ? 'Find by job or serial number' : 'Find by job, serial number or technician'}</span>
            <input
              type="search"
              value={find ?? ''}
              onChange={(event) => {
                void setFind(event.currentTarget.value === '' ? null : event.currentTarget.value);
              }}
            />
          </label>
          <label className="field">
            <span>{resultLabel('outcomes', 'first_pass').text}</span>
            <select
              value={pass ?? ''}
              data-set={pass !== null}
              onChange={(event) => {
                void setPass(asPass(event.currentTarget.value));
              }}
            >
              <option value="">Any answer</option>
              {answer.options.map((option) => (
                <option key={option} value={option}>
                  {option}
                </option>
              ))}
            </select>
          </label>
          <label className="field">
            <span>{resultLabel('findings', 'finding').text}</span>
            <select
              value={finding ?? ''}
              data-set={finding !== null}
              onChange={(event) => {
                void setFinding(asFinding(event.currentTarget.value));
              }}
            >
              <option value="">With or without</option>
              {findingWord.options.map((option) => (
                <option key={option} value={option}>
                  {option}
                </option>
              ))}
            </select>
          </label>
        </div>
        {narrowedBy.map((key) =>
          by[key] === null ? null : (
            <p className="row" key={key}>
              <span>
                {narrowingLabels[key].text}: <b>{by[key]}</b>
              </span>
              <button
                type="button"
                onClick={() => {
                  void narrow({ [key]: null });
                }}
              >
                Show all
              </button>
            </p>
          ),
        )}
        {fault === null ? (
          <Listed finding={finding} find={find ?? ''} pass={pass} among={null} by={by} named={!leftOut} />
        ) : (
          <BehindFault
            fault={fault}
            technicians={technicians}
            onLeave={() => {
              void setFault(null);
              setTechnicians?.(false);
            }}
          >
            {(found) => (
              <Listed finding={finding} find={find ?? ''} pass={pass} among={found.jobs} by={by} named={!leftOut} />
            )}
          </BehindFault>
        )}
      </div>
    </div>
  );
}
