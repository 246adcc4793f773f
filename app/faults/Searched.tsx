'use client';

import type { ReactElement, ReactNode } from 'react';
import type { SearchAnswer } from '../../lib/find/types';
import { count } from '../../lib/words/figures';
import { Note } from '../_shell/Notes';
import { CALLED_OFF, useSearch } from './useSearch';

interface Props {
  readonly technicians: boolean;
  readonly children: (answer: SearchAnswer) => ReactNode;
}

/** What the search answers; until then how far it has come, with a way out. */
export function Searched({ technicians, children }: Props): ReactElement {
  const { answer, progress, error, cancel, again } = useSearch({ technicians });
  if (answer !== null) return <>{children(answer)}</>;
  if (error !== null) {
    return (
      <div className="row">
        <Note warm>{error === CALLED_OFF ? error : `The search could not be done. ${error}`}</Note>
        <button type="button" onClick={again}>
          Search
        </button>
      </div>
    );
  }
  const { done, of } = progress ?? { done: 0, of: 0 };
  const words = 'Searching the log for faults that come back';
  return (
    <div className="progress" aria-busy="true">
      <p role="status">{words}</p>
      {of > 0 ? (
        <>
          <progress aria-label={words} max={of} value={done} />
          <p className="quiet small">
            Step {count(done)} of {count(of)}
          </p>
        </>
      ) : (
        <progress aria-label={words} />
      )}
      <div>
        <button type="button" onClick={cancel}>
          Cancel
        </button>
      </div>
    </div>
  );
}
