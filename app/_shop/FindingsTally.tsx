'use client';

import Link from 'next/link';
import type { ReactElement } from 'react';
import { findingCounts, type FindingCount } from '../../lib/store/questions/findingCounts';
import { count, counted, day } from '../../lib/words/figures';
import { resultLabel, terms } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useAddress, useFilters } from '../_shell/useFilters';

/** What was recorded against what follows from the readings, over the picked jobs. */
export function FindingsTally({
  jobs,
  heading = 'Recorded against recomputed',
}: {
  jobs: number;
  heading?: string;
}): ReactElement {
  const [filters] = useFilters();
  const to = useAddress();
  const asked = useAsk(findingCounts, filters);
  const columns: readonly SheetColumn<FindingCount>[] = [
    {
      label: resultLabel('findings', 'finding'),
      cell: (row) => <Link href={to('/jobs/', { finding: row.finding })}>{row.finding}</Link>,
    },
    { label: resultLabel('findings', 'severity'), cell: (row) => row.severity },
    { label: terms.findingJobs, cell: (row) => count(row.jobs), number: true },
    { label: resultLabel('findings', 'rows'), cell: (row) => count(row.rows), number: true },
    { label: terms.firstSeen, cell: (row) => day(row.first_day) },
    { label: terms.lastSeen, cell: (row) => day(row.last_day) },
  ];
  return (
    <section className="section" aria-labelledby="recorded">
      <h2 id="recorded">{heading}</h2>
      <Answer asked={asked} none="Nothing recorded disagrees with what follows from the readings.">
        {(rows) => (
          <>
            <p>
              {counted(rows.length, 'kind')} of disagreement in {counted(jobs, 'job')}; choose one to see its jobs.
            </p>
            <Sheet caption="Findings" hideCaption tall columns={columns} rows={rows} rowKey={(row) => row.finding} />
          </>
        )}
      </Answer>
    </section>
  );
}
