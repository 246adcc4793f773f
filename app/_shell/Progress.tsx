'use client';

import type { ReactElement } from 'react';
import { count } from '../../lib/words/figures';
import type { LogState } from '../_log/useLog';
import { visible } from '../../lib/words/visible';

type Busy = Extract<LogState, { phase: 'loading' } | { phase: 'calculating' }>;

/** How far reading or recalculating has come, with a way out. */
export function Progress({ state, cancel }: { state: Busy; cancel: () => void }): ReactElement {
  const share = state.phase === 'loading' ? state.share : state.total === 0 ? null : state.done / state.total;
  const words =
    state.phase === 'loading'
      ? `${state.step}${state.file === null ? '' : `: ${visible(state.file)}`}`
      : state.total === 0
        ? 'Recalculating'
        : `Recalculating: ${count(state.done)} of ${count(state.total)} jobs`;
  return (
    <div className="progress">
      <p role="status">{words}</p>
      {share === null ? <progress aria-label={words} /> : <progress aria-label={words} max={1} value={share} />}
      <div>
        <button type="button" onClick={cancel}>
          Cancel
        </button>
      </div>
    </div>
  );
}
