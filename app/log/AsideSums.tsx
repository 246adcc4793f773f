'use client';

import type { ReactElement } from 'react';
import { setAsideSums } from '../../lib/store/questions/setAsideSums';
import { count, counted } from '../../lib/words/figures';
import { terms } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';

/** The two sums that account for every row of every file. */
export function AsideSums(): ReactElement | null {
  const { rows } = useAsk(setAsideSums, null);
  const sums = rows?.[0];
  if (sums === undefined) return null;
  const parts = [
    [sums.rows_needing_hand, terms.needsHand.text],
    [sums.rows_repeated, terms.repeat.text],
    [sums.rows_replaced, terms.replaced.text],
    [sums.rows_mended, terms.mended.text],
    ...(sums.rows_left_out === 0 ? [] : [[sums.rows_left_out, terms.leftOut.text] as const]),
  ] as const;
  return (
    <>
      <p>
        {counted(sums.rows_read, 'row')} read = {count(sums.rows_accepted)} accepted + {count(sums.rows_set_aside)} set
        aside.
      </p>
      {sums.rows_set_aside === 0 ? null : (
        <p>
          {count(sums.rows_set_aside)} set aside = {parts.map(([rows, word]) => `${count(rows)} ${word}`).join(' + ')}.
        </p>
      )}
    </>
  );
}
