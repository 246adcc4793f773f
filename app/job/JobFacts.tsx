'use client';

import Link from 'next/link';
import type { ReactElement, ReactNode } from 'react';
import type { JobCard } from '../../lib/store/questions/jobCard';
import { counted, day } from '../../lib/words/figures';
import { logLabel } from '../../lib/words/labels';
import { Assumed, Figure } from '../_shell/Figure';
import { useAddress } from '../_shell/useFilters';
import { useTechniciansLeftOut } from '../_shell/technicians';
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

/** The job card and the specification worked to. */
export function JobFacts({ card }: { card: JobCard }): ReactElement {
  const to = useAddress();
  const leftOut = useTechniciansLeftOut();
  return (
    <section className="section" aria-labelledby="card">
      <h2 id="card">Job card</h2>
      <dl className="facts">
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
        <Fact column="claim_no">{card.claim_no}</Fact>
        <Fact column="complaint">{card.complaint}</Fact>
        <Fact column="technician">{leftOut ? null : card.technician}</Fact>
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
