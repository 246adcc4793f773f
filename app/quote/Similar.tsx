'use client';

import Link from 'next/link';
import type { ReactElement } from 'react';
import type { SimilarJob } from '../../lib/quote/types';
import { count, day, NO_FIGURE } from '../../lib/words/figures';
import { logLabel, quoteTerms } from '../../lib/words/labels';
import { foundWords, nearnessWords } from '../../lib/words/quote';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useAddress } from '../_shell/useFilters';
import { amounts } from './fields';

const number = (value: number | null, decimals: number): string =>
  value === null ? NO_FIGURE : amounts.number(value, decimals);

/** The past jobs nearest to the one on the counter. */
export function Similar({
  similar,
  currency,
}: {
  similar: readonly SimilarJob[];
  currency: string | null;
}): ReactElement {
  const to = useAddress();
  const priced = similar.some(({ cost }) => cost !== null);
  const columns: readonly SheetColumn<SimilarJob>[] = [
    { label: logLabel('jobs', 'job_id'), cell: ({ job }) => <Link href={to('/job/', { id: job })}>{job}</Link> },
    { label: logLabel('jobs', 'pump_model'), cell: ({ model }) => model },
    { label: logLabel('jobs', 'work_type'), cell: ({ work }) => work },
    { label: logLabel('jobs', 'complaint'), cell: ({ complaint }) => complaint ?? NO_FIGURE },
    { label: logLabel('jobs', 'finished_on'), cell: ({ finishedOn }) => day(finishedOn) },
    { label: quoteTerms.tookHours, cell: ({ labourHours }) => number(labourHours, 1), number: true },
    {
      label: quoteTerms.tookParts,
      cell: ({ partsCost, currency: own }) => (partsCost === null ? NO_FIGURE : amounts.about(partsCost, own ?? '')),
      number: true,
    },
    { label: quoteTerms.tookDays, cell: ({ days }) => count(days), number: true },
    ...(priced
      ? [
          {
            label: quoteTerms.costToday,
            cell: ({ cost }: SimilarJob) => (cost === null ? NO_FIGURE : amounts.about(cost, currency ?? '')),
            number: true,
          },
        ]
      : []),
    { label: quoteTerms.found, cell: foundWords, prose: true },
    { label: quoteTerms.whyNear, cell: ({ why }) => nearnessWords(why), prose: true },
  ];
  return (
    <section className="section no-print" aria-labelledby="quote-similar">
      <h2 id="quote-similar">The most similar past jobs</h2>
      {similar.length === 0 ? (
        <Note>The log has no finished job to compare with.</Note>
      ) : (
        <Sheet
          caption="The most similar past jobs, nearest first"
          hideCaption
          columns={columns}
          rows={similar}
          rowKey={({ job }) => job}
          tall
        />
      )}
    </section>
  );
}
