'use client';

import Link from 'next/link';
import type { ReactElement } from 'react';
import { refusedFiles } from '../../lib/store/questions/refusedFiles';
import { setAsideCounts, setAsideKind } from '../../lib/store/questions/setAsideCounts';
import { counted } from '../../lib/words/figures';
import { setAsideKinds } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { address, useFilters } from '../_shell/useFilters';

/** How many rows are not in the log, by reason. The filters do not narrow it: a row without its job has no model. */
export function SetAsideTally(): ReactElement | null {
  const [filters] = useFilters();
  const { rows, error } = useAsk(setAsideCounts, null);
  const refused = useAsk(refusedFiles, null);
  if (rows === null || error !== null) return null;
  const total = rows.reduce((sum, row) => sum + row.rows, 0);
  const kinds = setAsideKind.options.flatMap((kind) => {
    const n = rows.filter((row) => row.kind === kind).reduce((sum, row) => sum + row.rows, 0);
    return n === 0 ? [] : [{ kind, n }];
  });
  const unread = refused.rows?.length ?? 0;
  return (
    <section className="section" aria-labelledby="set-aside">
      <h2 id="set-aside">Set aside</h2>
      <p>
        {total === 0
          ? 'Every row of every file is in the log.'
          : `${counted(total, 'row')} of the files set aside, each with its reason.`}{' '}
        {unread === 0 ? null : (
          <>
            <Link href={address('/log/', filters, {})}>{counted(unread, 'file')}</Link> could not be read at all.
          </>
        )}
      </p>
      {kinds.length === 0 ? null : (
        <ul className="tally">
          {kinds.map(({ kind, n }) => (
            <li key={kind}>
              <Link href={address('/log/', filters, { kind })} title={setAsideKinds[kind].meaning}>
                {counted(n, 'row')} {setAsideKinds[kind].text}
              </Link>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}
