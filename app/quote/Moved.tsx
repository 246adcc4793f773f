'use client';

import { useState, type ReactElement } from 'react';
import { targets, type Estimate, type Target } from '../../lib/quote/types';
import { count } from '../../lib/words/figures';
import { quoteTerms, terms } from '../../lib/words/labels';
import { targetWords } from '../../lib/words/quote';
import { movedRows, type MovedRow } from '../../lib/words/quoteMoved';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { amounts } from './fields';

const columns: readonly SheetColumn<MovedRow>[] = [
  { label: quoteTerms.movedBy, cell: ({ what }) => what },
  { label: quoteTerms.moved, cell: ({ how }) => how },
  { label: terms.n, cell: ({ n }) => count(n), number: true },
  { label: quoteTerms.whose, cell: ({ whose }) => whose, prose: true },
];

/** By how much each group of past jobs and each thing asked moved one figure. */
export function Moved({ estimate }: { estimate: Estimate }): ReactElement | null {
  const [picked, pick] = useState<Target>('hours');
  const told = targets.filter((target) => estimate[target].median !== null);
  const target = told.includes(picked) ? picked : told[0];
  if (target === undefined) return null;
  const { asked, choices } = estimate;
  return (
    <>
      <label className="field quote-pick">
        <span>Figure taken apart</span>
        <select
          value={target}
          onChange={(event) => {
            const next = told.find((each) => each === event.currentTarget.value);
            if (next !== undefined) pick(next);
          }}
        >
          {told.map((each) => (
            <option key={each} value={each}>
              {targetWords[each]}
            </option>
          ))}
        </select>
      </label>
      <Sheet
        caption="What moved the figure"
        columns={columns}
        rows={movedRows(target, estimate[target], asked, choices.currency, amounts)}
        rowKey={({ what }) => what}
        tall
      />
      {target === 'days' ? (
        <p className="quiet small">
          Of days a share is of the days and one more: +20 % makes 12.2 days of 10, and 0.2 of 0.
        </p>
      ) : null}
    </>
  );
}
