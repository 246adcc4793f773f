import type { ReactElement } from 'react';
import { VerdictShape, type VerdictWord } from '../../lib/charts/verdictMark';
import type { ReadinessState } from '../../lib/report/readiness';
import { stateMeanings } from './words';

const shapes: Readonly<Record<ReadinessState, VerdictWord>> = {
  ready: 'in',
  'ready with remarks': 'cannot tell',
  'not ready': 'out',
};

/** Whether a record would hold: the word, and a mark of its own shape. */
export function Readiness({ state }: { state: ReadinessState }): ReactElement {
  return (
    <span className={state === 'not ready' ? 'verdict verdict-out' : 'verdict'} title={stateMeanings[state]}>
      <svg width="14" height="14" viewBox="-7 -7 14 14" aria-hidden="true">
        <VerdictShape verdict={shapes[state]} size={12} />
      </svg>
      {state}
    </span>
  );
}
