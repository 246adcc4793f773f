'use client';

import Link from 'next/link';
import type { ReactElement, ReactNode } from 'react';
import type { Found } from '../../lib/find/types';
import { headline } from '../../lib/words/faults';
import { counted } from '../../lib/words/figures';
import { faultAddress, GONE } from '../faults/place';
import { Searched } from '../faults/Searched';
import { Note } from '../_shell/Notes';
import { useUnits } from '../_shell/useUnits';

interface Props {
  /** Id of the finding that the address names. */
  readonly fault: string;
  readonly technicians: boolean;
  /** Shows all jobs again. */
  readonly onLeave: () => void;
  readonly children: (found: Found) => ReactNode;
}

/** Lists the jobs behind one finding; in a tab where the log was not searched yet, the search runs first. */
export function BehindFault({ fault, technicians, onLeave, children }: Props): ReactElement {
  const write = useUnits();
  const leave = (
    <button type="button" onClick={onLeave}>
      Show all jobs
    </button>
  );
  return (
    <Searched technicians={technicians}>
      {(answer) => {
        const found = answer.found.find(({ id }) => id === fault);
        if (found === undefined)
          return (
            <div className="row">
              <Note warm>{GONE}</Note>
              {leave}
            </div>
          );
        return (
          <>
            <div className="note stack">
              <p>
                Only the {counted(found.jobs.length, 'job')} behind this finding, as far as the filters let them
                through: <Link href={faultAddress(found, technicians)}>{headline(found, write)}</Link>
              </p>
              <div>{leave}</div>
            </div>
            {children(found)}
          </>
        );
      }}
    </Searched>
  );
}
