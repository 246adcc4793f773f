import type { ReactElement } from 'react';
import type { JobCard } from '../../lib/store/questions/jobCard';
import { adjustment } from '../../lib/words/plan';

interface Props {
  readonly mm: number | null;
  readonly adjuster: JobCard['adjuster'];
  readonly decimals?: number;
}

/** A change of a stack or of a screw, with its sign and the way the hand must go. */
export function Adjustment({ mm, adjuster, decimals = 2 }: Props): ReactElement {
  const text = adjustment(mm, adjuster, decimals);
  return mm === null ? (
    <span className="fig">{text}</span>
  ) : (
    <data className="fig" value={mm}>
      {text}
    </data>
  );
}
