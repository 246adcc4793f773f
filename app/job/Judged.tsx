import type { ReactElement } from 'react';
import type { VerdictWord } from '../../lib/charts/verdictMark';
import { decisionWords } from '../../lib/words/plan';
import { Verdict } from '../_shell/Verdict';

/** The same in a row where most have no uncertainty: the words stand only where there is one. */
export function JudgedWhereStated(props: Parameters<typeof Judged>[0]): ReactElement {
  return props.uncertainty === null && props.decision === props.verdict ? (
    <Verdict verdict={props.verdict} />
  ) : (
    <Judged {...props} />
  );
}

/** The plain verdict, and under it what the gauge's uncertainty makes of it. */
export function Judged({
  verdict,
  decision,
  uncertainty,
}: {
  verdict: VerdictWord;
  decision: VerdictWord;
  uncertainty: number | null;
}): ReactElement {
  const words = decisionWords(verdict, decision, uncertainty);
  return (
    <span className="judged">
      <Verdict verdict={verdict} />
      {words === '' ? null : <span className="judged-decision">{words}</span>}
    </span>
  );
}
