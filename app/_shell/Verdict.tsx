import type { ReactElement } from 'react';
import { VerdictShape, type VerdictWord } from '../../lib/charts/verdictMark';
import { terms } from '../../lib/words/labels';

const meanings: Readonly<Record<VerdictWord, string>> = {
  in: terms.in.meaning,
  out: terms.out.meaning,
  'cannot tell': terms.cannotTell.meaning,
  'not measured': terms.notMeasured.meaning,
};

/** A verdict: the word, and a mark of its own shape. */
export function Verdict({ verdict }: { verdict: VerdictWord }): ReactElement {
  return (
    <span className={verdict === 'out' ? 'verdict verdict-out' : 'verdict'} title={meanings[verdict]}>
      <svg width="14" height="14" viewBox="-7 -7 14 14" aria-hidden="true">
        <VerdictShape verdict={verdict} size={12} />
      </svg>
      {verdict}
    </span>
  );
}

const asVerdict: Readonly<Record<'yes' | 'no' | 'not counted', VerdictWord>> = {
  yes: 'in',
  no: 'out',
  'not counted': 'not measured',
};
const answerMeanings: Readonly<Record<'yes' | 'no' | 'not counted', string>> = {
  yes: terms.yes.meaning,
  no: terms.no.meaning,
  'not counted': terms.notCounted.meaning,
};

/** The answer to "did it pass first time", with the mark of the verdict behind it. */
export function FirstPass({ answer }: { answer: 'yes' | 'no' | 'not counted' }): ReactElement {
  return (
    <span className={answer === 'no' ? 'verdict verdict-out' : 'verdict'} title={answerMeanings[answer]}>
      <svg width="14" height="14" viewBox="-7 -7 14 14" aria-hidden="true">
        <VerdictShape verdict={asVerdict[answer]} size={12} />
      </svg>
      {answer}
    </span>
  );
}
