'use client';

import Link from 'next/link';
import type { ReactElement, ReactNode } from 'react';
import { samePump, type Level, type PumpVisit, type SamePump as Story } from '../../lib/report/many/samePump';
import { faultSays, otherSays, type Said } from '../../lib/report/many/samePumpWords';
import { samePumpElements, samePumpFindings, samePumpJobs } from '../../lib/store/questions/samePump';
import { counted, day, NO_FIGURE, percent, type Writer } from '../../lib/words/figures';
import { logLabel, resultLabel, terms } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { EarlyMonths, useEarlyMonths } from '../_shell/EarlyMonths';
import { Figure } from '../_shell/Figure';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useAddress } from '../_shell/useFilters';
import { useUnits } from '../_shell/useUnits';
import { FirstPass } from '../_shell/Verdict';

/** As received, and as left. */
const level = ({ received, left }: Level, said: (value: number | null) => string): string =>
  received === null && left === null ? NO_FIGURE : `${said(received)} → ${said(left)}`;

function movedSaid(visit: PumpVisit, write: Writer): string {
  const parts = [
    ...(visit.shimsMoved === 0
      ? []
      : [`${counted(visit.shimsMoved, 'stack')}, most ${write.shimChange(visit.shimMost, {}, null)}`]),
    ...(visit.barrelsTurned === 0
      ? []
      : [`${counted(visit.barrelsTurned, 'barrel')}, most ${write.figure(visit.turnedMost, 'deg', { sign: true })}`]),
    ...(visit.renewed === 0 ? [] : [counted(visit.renewed, 'new barrel')]),
  ];
  return parts.length === 0 ? NO_FIGURE : parts.join('; ');
}

function Visits({ visits, id }: { visits: readonly PumpVisit[]; id: string }): ReactElement {
  const to = useAddress();
  const write = useUnits();
  const columns: readonly SheetColumn<PumpVisit>[] = [
    {
      label: logLabel('jobs', 'job_id'),
      cell: ({ job }) =>
        job.job_id === id ? (
          <b>{job.job_id}, this one</b>
        ) : (
          <Link href={to('/job/', { id: job.job_id })}>{job.job_id}</Link>
        ),
    },
    { label: logLabel('jobs', 'received_on'), cell: ({ job }) => day(job.received_on), number: true },
    { label: logLabel('jobs', 'work_type'), cell: ({ job }) => job.work_type },
    {
      label: logLabel('jobs', 'complaint'),
      prose: true,
      cell: ({ job, sameComplaint }) => (
        <>
          {job.complaint ?? NO_FIGURE}
          {sameComplaint ? <span className="under">the same as now</span> : null}
        </>
      ),
    },
    {
      label: terms.hoursBetween,
      cell: ({ hours }) => <Figure value={hours} unit="hours" bare decimals={0} />,
      number: true,
    },
    { label: resultLabel('outcomes', 'first_pass'), cell: ({ job }) => <FirstPass answer={job.first_pass} /> },
    { label: terms.movedInJob, prose: true, cell: (visit) => movedSaid(visit, write) },
    {
      label: { ...resultLabel('retention', 'retention'), unit: null },
      cell: ({ retention }) => level(retention, (value) => percent(value, 1)),
      number: true,
    },
    {
      label: { ...resultLabel('leakage', 'slope_mm3_rpm'), unit: 'leak_slope' },
      cell: ({ leak }) => level(leak, (value) => write.figure(value, 'leak_slope', { bare: true })),
      number: true,
    },
    {
      label: { ...terms.lightScatter, unit: null },
      cell: ({ scatter }) => level(scatter, (value) => percent(value === null ? null : value / 100, 1)),
      number: true,
    },
    {
      label: terms.rotationUsed,
      cell: ({ rotationUsed }) => <Figure value={rotationUsed} unit="deg" sign bare />,
      number: true,
    },
  ];
  return (
    <Sheet
      caption="Jobs of the same pump, as received → as left"
      columns={columns}
      rows={visits}
      rowKey={({ job }) => job.job_id}
    />
  );
}

function Lines({ title, lines, none }: { title: string; lines: readonly Said[]; none: string }): ReactElement {
  return (
    <div className="stack">
      <h3>{title}</h3>
      {lines.length === 0 ? (
        <Note>{none}</Note>
      ) : (
        <ul className="evidence" aria-label={title}>
          {lines.map(({ says, basis }) => (
            <li key={says}>
              <p>{says}</p>
              <p className="small quiet">{basis}</p>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}

function Evidence({ story }: { story: Story }): ReactElement {
  const write = useUnits();
  const to = useAddress();
  const { repair, fault, other } = story;
  if (repair === null)
    return <Note>No repair of this pump before this job is in the log, so there is nothing to set it beside.</Note>;
  return (
    <>
      <p>
        Held against the last repair, job <Link href={to('/job/', { id: repair.job_id })}>{repair.job_id}</Link>, which
        left on {day(repair.left_on)}. Nothing is weighed here: the practitioner decides. Where a figure is missing
        nothing is said.
      </p>
      <EarlyMonths />
      <div className="evidence-sides">
        <Lines
          title="Speaks for a fault of the last repair"
          lines={fault.map((line) => faultSays(line, write))}
          none="Nothing in the log."
        />
        <Lines
          title="Speaks for wear or another cause"
          lines={other.map((line) => otherSays(line, write))}
          none="Nothing in the log."
        />
      </div>
    </>
  );
}

function Section({ children }: { children: ReactNode }): ReactElement {
  return (
    <section className="section" aria-labelledby="same-pump">
      <h2 id="same-pump">The same pump before</h2>
      {children}
    </section>
  );
}

/** The other jobs of this pump, and what of them speaks for a fault of the last repair or for another cause. */
export function SamePump({ id }: { id: string }): ReactElement {
  const [months] = useEarlyMonths();
  const jobs = useAsk(samePumpJobs, { id });
  const elements = useAsk(samePumpElements, { id });
  const findings = useAsk(samePumpFindings, { id });
  const error = jobs.error ?? elements.error ?? findings.error;
  if (error !== null) {
    return (
      <Section>
        <Note warm>This could not be worked out. {error}</Note>
      </Section>
    );
  }
  if (jobs.rows === null || elements.rows === null || findings.rows === null) {
    return (
      <Section>
        <p className="quiet" aria-busy="true">
          Reading the log …
        </p>
      </Section>
    );
  }
  if (jobs.rows.length < 2) {
    return (
      <Section>
        <Note>No other job of this serial number is in the log.</Note>
      </Section>
    );
  }
  const story = samePump({ jobs: jobs.rows, elements: elements.rows, findings: findings.rows }, id, months);
  return (
    <Section>
      <Evidence story={story} />
      <Visits visits={story.visits} id={id} />
    </Section>
  );
}
