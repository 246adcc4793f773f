'use client';

import Link from 'next/link';
import { parseAsString, useQueryState } from 'nuqs';
import type { ReactElement } from 'react';
import { jobCard, type JobCard } from '../../lib/store/questions/jobCard';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Note } from '../_shell/Notes';
import { useAddress } from '../_shell/useFilters';
import { BalancePlans } from './BalancePlans';
import { Barrels } from './Barrels';
import './bench.css';
import { Deliveries } from './Deliveries';
import { Excluded } from './Excluded';
import { Findings } from './Findings';
import { Governor } from './Governor';
import { JobFacts } from './JobFacts';
import { JobHead } from './JobHead';
import { OtherReadings } from './OtherReadings';
import { Phasing } from './Phasing';
import { Remarks } from './Remarks';
import { SamePump } from './SamePump';
import { Stages } from './Stages';
import { Timing } from './Timing';
import { TryFigures } from './TryFigures';
import { Wear } from './Wear';

function Card({ card }: { card: JobCard }): ReactElement {
  const to = useAddress();
  const id = card.job_id;
  return (
    <>
      <JobHead card={card}>
        <div className="no-print">
          <Link className="button" href={to('/record/', { id })}>
            Audit record
          </Link>
        </div>
        <TryFigures key={id} card={card} />
      </JobHead>
      <Findings id={id} card={card} />
      <Remarks key={`remarks ${id}`} id={id} />
      <SamePump key={`same ${id}`} id={id} />
      <Timing id={id} card={card} />
      <Phasing id={id} card={card} />
      <Barrels id={id} />
      <Deliveries id={id} />
      <BalancePlans id={id} card={card} />
      <Excluded id={id} />
      <Wear id={id} />
      <Governor id={id} />
      <Stages id={id} />
      <OtherReadings id={id} />
      <JobFacts card={card} />
    </>
  );
}

/** One job: what was read beside what follows from it. */
export function JobPage(): ReactElement {
  const to = useAddress();
  const [id] = useQueryState('id', parseAsString);
  const asked = useAsk(jobCard, { id: id ?? '' });
  const list = <Link href={to('/jobs/')}>Choose one from the jobs</Link>;
  if (id === null || asked.rows?.length === 0) {
    return (
      <div className="stack">
        <h1>No such job</h1>
        <Note>
          {id === null ? 'No job is named in the address.' : `There is no job ${id} in this log.`} {list}.
        </Note>
      </div>
    );
  }
  return (
    <div className="page bench">
      <Answer asked={asked} none={list}>
        {([card]) => (card === undefined ? null : <Card card={card} />)}
      </Answer>
    </div>
  );
}
