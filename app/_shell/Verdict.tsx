import type { ReactElement } from 'react';
import { VerdictShape, type VerdictWord } from '../../lib/charts/verdictMark';
import { terms } from '../../lib/words/labels';

const meanings: Readonly<Record<VerdictWord, string>> = {
  in: terms.in.meaning,
  out: terms.out.meaning,
  'cannot tell': terms.cannotTell.meaning,
  'not measured': terms.notMeasured.meaning,
};

interface MarkedProps {
  readonly word: string;
  /** The verdict whose mark it has. */
  readonly as: VerdictWord;
  readonly meaning?: string;
}

/** A word with the mark of a verdict; `out` stands out. */
export function Marked({ word, as, meaning }: MarkedProps): ReactElement {
  return (
    <span className={as === 'out' ? 'verdict verdict-out' : 'verdict'} title={meaning}>
      <svg width="14" height="14" viewBox="-7 -7 14 14" aria-hidden="true">
        <VerdictShape verdict={as} size={12} />
      </svg>
      {word}
    </span>
  );
}

/** A verdict: the word, and a mark of its own shape. */
export function Verdict({ verdict }: { verdict: VerdictWord }): ReactElement {
  return <Marked word={verdict} as={verdict} meaning={meanings[verdict]} />;
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
  return <Marked word={answer} as={asVerdict[answer]} meaning={answerMeanings[answer]} />;
}
