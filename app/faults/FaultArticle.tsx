'use client';

import Link from 'next/link';
import { useEffect, useRef, type ReactElement } from 'react';
import type { Found } from '../../lib/find/types';
import { behindWords, costWords, headline, howSure, otherWords, sinceWords } from '../../lib/words/faults';
import { count, counted } from '../../lib/words/figures';
import { terms } from '../../lib/words/labels';
import { later } from '../_shell/later';
import { useAddress } from '../_shell/useFilters';
import { useUnits } from '../_shell/useUnits';
import { CopyLink } from './CopyLink';
import { articleId, faultAddress, faultKeys } from './place';

const FoundPlot = later(() => import('./FoundPlot').then((m) => m.FoundPlot));

/** A filled mark for what is certain, an open one for what is not: told apart without colour. */
function Certainty({ certainty }: Pick<Found, 'certainty'>): ReactElement {
  const certain = certainty === 'certain';
  return (
    <p className="fault-certainty" title={(certain ? terms.certain : terms.worthALook).meaning}>
      <svg width="14" height="14" viewBox="0 0 14 14" aria-hidden="true">
        {certain ? (
          <rect x="1" y="1" width="12" height="12" fill="var(--ink)" />
        ) : (
          <circle cx="7" cy="7" r="5.5" fill="none" stroke="var(--iron)" strokeWidth="1.75" strokeDasharray="3 2" />
        )}
      </svg>
      {certain ? terms.certain.text : terms.worthALook.text}
    </p>
  );
}

interface Props {
  readonly found: Found;
  readonly comparisons: number;
  readonly technicians: boolean;
  /** How many of its jobs the filters let through; null where none is set. */
  readonly matching: number | null;
  /** Whether the address leads to this one. */
  readonly chosen: boolean;
}

/** One recurring fault: the sentence, its plot, how sure it is, and the way to its jobs. */
export function FaultArticle({ found, comparisons, technicians, matching, chosen }: Props): ReactElement {
  const write = useUnits();
  const to = useAddress();
  const head = useRef<HTMLHeadingElement | null>(null);
  useEffect(() => {
    if (!chosen) return;
    head.current?.focus({ preventScroll: true });
    head.current?.closest('article')?.scrollIntoView({ block: 'start' });
  }, [chosen]);
  const behind = behindWords(found);
  const id = articleId(found);
  const headId = `${id}-head`;
  return (
    <article className="fault" id={id} data-chosen={chosen} aria-labelledby={headId}>
      <div className="fault-head">
        <Certainty certainty={found.certainty} />
        <h3 id={headId} ref={head} tabIndex={-1}>
          {headline(found, write)}
        </h3>
      </div>
      <div className="fault-body">
        <FoundPlot found={found} />
        <div className="stack">
          <dl className="fault-facts">
            <div>
              <dt>Cost</dt>
              <dd>{costWords(found)}</dd>
            </div>
            <div>
              <dt>Since when</dt>
              <dd>{sinceWords(found)}</dd>
            </div>
            <div>
              <dt>How sure</dt>
              <dd>{howSure(found, comparisons, write)}</dd>
            </div>
            <div>
              <dt>What else could explain it</dt>
              {otherWords(found, write).map((words) => (
                <dd key={words}>{words}</dd>
              ))}
            </div>
          </dl>
          <div className="row">
            <Link className="button" href={to('/jobs/', faultKeys(found.id, technicians))}>
              The {counted(found.jobs.length, 'job')} behind it
            </Link>
            <CopyLink path={faultAddress(found, technicians)} />
          </div>
          {behind === '' ? null : <p className="quiet small">{behind}</p>}
          {matching === null ? null : (
            <p className="quiet small">
              {matching === 0 ? 'None' : count(matching)} of them {matching === 1 ? 'matches' : 'match'} the filters.
            </p>
          )}
        </div>
      </div>
    </article>
  );
}
