'use client';

import { lazy, Suspense, useState, type ReactElement } from 'react';
import type { JobCard } from '../../lib/store/questions/jobCard';

// The engine comes with the panel, so that a page that only shows a job does not fetch it.
const TryPanel = lazy(() => import('./TryPanel').then((loaded) => ({ default: loaded.TryPanel })));

/** The way into trying other figures, and the panel once it is open. */
export function TryFigures({ card }: { card: JobCard }): ReactElement {
  const [open, setOpen] = useState(false);
  return (
    <>
      <div className="no-print">
        <button
          type="button"
          aria-expanded={open}
          onClick={() => {
            setOpen(!open);
          }}
        >
          {open ? 'Stop trying figures' : 'Try figures'}
        </button>
      </div>
      {open ? (
        <Suspense fallback={<p className="quiet">Getting the readings …</p>}>
          <TryPanel card={card} />
        </Suspense>
      ) : null}
    </>
  );
}
