'use client';

import type { ReactElement } from 'react';
import { Note } from './_shell/Notes';

/** Stands in for a page that failed; the log itself is not touched by it. */
export default function PageError({ error, reset }: { error: Error; reset: () => void }): ReactElement {
  return (
    <div className="stack">
      <h1>This page could not be shown</h1>
      <Note warm>{error.message}</Note>
      <p>The log is still open. Other pages may work.</p>
      <div>
        <button type="button" onClick={reset}>
          Try again
        </button>
      </div>
    </div>
  );
}
