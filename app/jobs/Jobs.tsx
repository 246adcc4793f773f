'use client';

import { parseAsString, parseAsStringLiteral, useQueryState } from 'nuqs';
import type { ReactElement } from 'react';
import { jobList, LISTED_JOBS, type JobRow } from '../../lib/store/questions/jobList';
import { answer } from '../../lib/store/questions/rows';
import { count, counted } from '../../lib/words/figures';
import { resultLabel } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { useFilters } from '../_shell/useFilters';
import { JobTable } from './JobTable';

const parsePass = parseAsStringLiteral(answer.options);
const asPass = (text: string): JobRow['first_pass'] | null => answer.options.find((option) => option === text) ?? null;

/** The picked jobs as a list to look through. */
export function Jobs(): ReactElement {
  const [filters] = useFilters();
  const [find, setFind] = useQueryState('find', parseAsString);
  const [pass, setPass] = useQueryState('pass', parsePass);
  const asked = useAsk(jobList, filters);
  return (
    <div className="page">
      <div className="stack">
        <h1>Jobs</h1>
        <div className="row">
          <label className="field">
            <span>Find by job, serial number or technician</span>
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
        </div>
        <Answer asked={asked} none="No job matches these filters.">
          {(rows) => (
            <>
              <p className="quiet">
                {rows.length === LISTED_JOBS
                  ? `The newest ${count(LISTED_JOBS)} jobs that match. Narrow the dates to see older ones.`
                  : `${counted(rows.length, 'job')}, newest first until a head is pressed.`}
              </p>
              <JobTable rows={rows} find={find ?? ''} pass={pass} />
            </>
          )}
        </Answer>
      </div>
    </div>
  );
}
