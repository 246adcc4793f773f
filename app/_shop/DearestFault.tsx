'use client';

import Link from 'next/link';
import type { ReactElement } from 'react';
import { dearest, headline } from '../../lib/words/faults';
import { faultKeys } from '../faults/place';
import { useFound } from '../faults/useSearch';
import { useAddress } from '../_shell/useFilters';
import { useUnits } from '../_shell/useUnits';

/** The dearest fault that is certain, once the log was searched; the search itself begins on its own page. */
export function DearestFault(): ReactElement | null {
  const write = useUnits();
  const to = useAddress();
  const answer = useFound();
  const most = answer === null ? null : dearest(answer);
  if (most === null) return null;
  return (
    <p className="prose">
      Dearest fault in the whole log:{' '}
      <Link href={to('/faults/', faultKeys(most.id, false))}>{headline(most, write)}</Link>
    </p>
  );
}
