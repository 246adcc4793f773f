'use client';

import type { ReactElement } from 'react';
import type { VerdictWord } from '../../lib/charts/verdictMark';
import { besideFindings, readinessOf } from '../../lib/report/many/readiness';
import { amongAll, auditQueue } from '../../lib/store/questions/auditQueue';
import type { JobCard } from '../../lib/store/questions/jobCard';
import {
  jobFindingRows,
  jobFindings,
  type FindingEvidence,
  type JobFinding,
} from '../../lib/store/questions/jobFindings';
import {
  evidencePlace,
  findingFigures,
  findingRows,
  findingSays,
  proofSentence,
  untoldOrder,
} from '../../lib/words/plan';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { useUnits } from '../_shell/useUnits';
import { Marked } from '../_shell/Verdict';

const marks: Readonly<Record<JobFinding['severity'], VerdictWord>> = {
  'breaks the proof': 'out',
  'weakens the proof': 'cannot tell',
  'for information': 'not measured',
};

type Key = Pick<JobFinding, 'finding' | 'run' | 'test_point' | 'element'>;
const keyOf = ({ finding, run, test_point, element }: Key): string =>
  `${finding} ${run} ${test_point ?? ''} ${element}`;

/** Where in the job: run, test point, element, as far as the finding has them. */
export function whereabouts({ run, test_point, element }: Omit<JobFinding, 'rows'>): string {
  return [
    ...(run < 0 ? [] : [`run ${run}`]),
    ...(test_point === null ? [] : [test_point]),
    ...(element === 0 ? [] : [`element ${element}`]),
  ].join(', ');
}

export function Severity({ severity }: Pick<JobFinding, 'severity'>): ReactElement {
  return <Marked word={severity} as={marks[severity]} />;
}

function FindingLine({ row, evidence }: { row: JobFinding; evidence: readonly FindingEvidence[] }): ReactElement {
  const write = useUnits();
  const where = whereabouts(row);
  const figures = findingFigures(row, write);
  const rows = findingRows(row.finding, row.rows);
  return (
    <li>
      <Severity severity={row.severity} />
      <div>
        <p>{findingSays(row.finding, write)}</p>
        <p className="small quiet">
          {[
            ...(where === '' ? ['the job as a whole'] : [where]),
            ...(figures === '' ? [] : [figures]),
            ...(evidence.length > 0 ? evidence.map(evidencePlace) : rows === '' ? [] : [rows]),
          ].join(' · ')}
        </p>
      </div>
    </li>
  );
}

/** What does not agree in the job, what breaks the proof of the calibration first. */
export function Findings({ id, card }: { id: string; card: JobCard }): ReactElement {
  const asked = useAsk(jobFindings, { id });
  const evidence = useAsk(jobFindingRows, { id });
  const queued = useAsk(auditQueue, amongAll([id])).rows?.find(({ job_id }) => job_id === id);
  const beside = queued === undefined ? [] : besideFindings(readinessOf(queued));
  return (
    <section className="section" aria-labelledby="findings">
      <h2 id="findings">What stands against the proof</h2>
      <p>{proofSentence(card.breaking, card.weakening, beside.length > 0)}</p>
      {beside.length === 0 ? null : (
        <ul className="findings" aria-label="What else stands against it">
          {beside.map(({ code, severity, says }) => (
            <li key={code}>
              <Severity severity={severity} />
              <p>{says}</p>
            </li>
          ))}
        </ul>
      )}
      {asked.rows?.length === 0 ? null : (
        <Answer asked={asked} none="Nothing in this job disagrees.">
          {(rows) => (
            <ul className="findings" aria-label="Findings">
              {rows.map((row) => (
                <FindingLine
                  key={keyOf(row)}
                  row={row}
                  evidence={(evidence.rows ?? []).filter((each) => keyOf(each) === keyOf(row))}
                />
              ))}
            </ul>
          )}
        </Answer>
      )}
      <p className="small quiet">{untoldOrder}</p>
    </section>
  );
}
