'use client';

import Link from 'next/link';
import type { ReactElement, ReactNode } from 'react';
import type { JobCard } from '../../lib/store/questions/jobCard';
import { counted, day, figure } from '../../lib/words/figures';
import { logLabel, resultLabel } from '../../lib/words/labels';
import { Assumed, Figure } from '../_shell/Figure';
import { Note } from '../_shell/Notes';
import { useAddress } from '../_shell/useFilters';
import { FirstPass, Verdict } from '../_shell/Verdict';
import { place } from './place';

function Fact({ column, children }: { column: string; children: ReactNode }): ReactElement | null {
  if (children === null) return null;
  const label = logLabel('jobs', column);
  return (
    <div>
      <dt title={label.meaning}>{label.text}</dt>
      <dd>{children}</dd>
    </div>
  );
}

function Sentence({ card }: { card: JobCard }): ReactElement {
  const asked = `${counted(card.stages_counted, 'stage')} of ${card.stages_asked} asked for were measured at run 1`;
  const words = {
    yes: `It passed first time: all ${counted(card.stages_asked, 'stage')} were in at run 1.`,
    no: 'It did not pass first time.',
    'not counted': `It is not counted for first pass: ${asked}.`,
  } as const;
  return (
    <p className="lead">
      {card.pump_model} {card.pump_serial}, received {day(card.received_on)}. {words[card.first_pass]}{' '}
      {card.received_error_deg === null
        ? 'No closure was read as received.'
        : `Largest phase error as received ${figure(card.received_error_deg, 'cam_deg', { sign: true })}${
            card.left_error_deg === null ? '' : `, as left ${figure(card.left_error_deg, 'cam_deg', { sign: true })}`
          }.`}
    </p>
  );
}

/** The job card, the specification worked to, and how the job came out. */
export function JobFacts({ card }: { card: JobCard }): ReactElement {
  const to = useAddress();
  return (
    <section className="section" aria-labelledby="job">
      <h1 id="job">Job {card.job_id}</h1>
      <Sentence card={card} />
      {card.newer_revision === null ? null : (
        <Note warm>
          Revision {card.newer_revision} of {card.spec_id} was already valid on the day received, but the job was worked
          to revision {card.spec_revision}. The limits here are those of revision {card.spec_revision}.
        </Note>
      )}
      <dl className="facts">
        <div>
          <dt title={resultLabel('outcomes', 'first_pass').meaning}>{resultLabel('outcomes', 'first_pass').text}</dt>
          <dd>
            <FirstPass answer={card.first_pass} />
          </dd>
        </div>
        <div>
          <dt title={resultLabel('outcomes', 'as_left').meaning}>{resultLabel('outcomes', 'as_left').text}</dt>
          <dd>
            <Verdict verdict={card.as_left} />
          </dd>
        </div>
        <Fact column="stated_result">{card.stated_result}</Fact>
        <Fact column="pump_serial">
          <Link href={to('/wear/', { serial: card.pump_serial })}>{card.pump_serial}</Link>
        </Fact>
        <Fact column="pump_model">
          {card.pump_model}, {counted(card.elements, 'element')}
        </Fact>
        <Fact column="spec_id">
          {card.spec_id}, revision {card.spec_revision}
          {card.valid_from === null ? null : <span className="quiet">, valid from {day(card.valid_from)}</span>}
        </Fact>
        <Fact column="received_on">{day(card.received_on)}</Fact>
        <Fact column="finished_on">{card.finished_on === null ? null : day(card.finished_on)}</Fact>
        <Fact column="work_type">{card.work_type}</Fact>
        <Fact column="warranty">{card.warranty === null ? null : card.warranty ? 'yes' : 'no'}</Fact>
        <Fact column="complaint">{card.complaint}</Fact>
        <Fact column="technician">{card.technician}</Fact>
        <Fact column="bench_id">{card.bench_id}</Fact>
        <Fact column="engine_hours">
          {card.engine_hours === null ? null : <Figure value={card.engine_hours} unit="hours" decimals={0} />}
        </Fact>
        <Fact column="labour_hours">
          {card.labour_hours === null ? null : <Figure value={card.labour_hours} unit="hours" />}
        </Fact>
        <Fact column="branch">{card.branch}</Fact>
        <Fact column="note">{card.note}</Fact>
      </dl>
      <p className="small quiet">
        Firing order {card.firing_order}. Lift rate from:{' '}
        {card.lift_rate_basis === 'assumed' ? <Assumed /> : card.lift_rate_basis}. Job card from{' '}
        {place(card.file, card.row_no)}; specification, lift band and phasing tolerance from{' '}
        {place(card.spec_file, card.spec_row_no)}.
      </p>
    </section>
  );
}
