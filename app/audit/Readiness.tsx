import type { ReactElement } from 'react';
import type { VerdictWord } from '../../lib/charts/verdictMark';
import type { ReadinessState } from '../../lib/report/many/readiness';
import { Marked } from '../_shell/Verdict';
import { stateMeanings } from './words';

const shapes: Readonly<Record<ReadinessState, VerdictWord>> = {
  ready: 'in',
  'ready with remarks': 'cannot tell',
  'not ready': 'out',
};

/** Whether a record would hold: the word, and a mark of its own shape. */
export function Readiness({ state }: { state: ReadinessState }): ReactElement {
  return <Marked word={state} as={shapes[state]} meaning={stateMeanings[state]} />;
}
