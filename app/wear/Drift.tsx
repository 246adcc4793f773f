'use client';

import type { ReactElement } from 'react';
import { serialDrift, type SerialDrift } from '../../lib/store/questions/serialDrift';
import { counted, day, type Writer } from '../../lib/words/figures';
import { useAsk } from '../_log/useAsk';
import { Note } from '../_shell/Notes';
import { useUnits } from '../_shell/useUnits';

const sentence = (row: SerialDrift, { figure }: Writer): string =>
  `The stack under element ${row.element} was left lower at each of ${counted(row.visits, 'visit')} in a row, from ` +
  `${figure(row.first_mm, 'shim')} on ${day(row.first_day)} to ${figure(row.last_mm, 'shim')} on ${day(row.last_day)}: its cam, ` +
  'roller or tappet may be wearing, though this is no proof, as other shims, a new tappet or a closure misread can do the same.';

/** Says which stacks keep shrinking; nothing where none does. */
export function Drift({ serial }: { serial: string }): ReactElement | null {
  const write = useUnits();
  const asked = useAsk(serialDrift, { serial });
  if (asked.error !== null) return <Note warm>This could not be worked out. {asked.error}</Note>;
  if (asked.rows === null) return null;
  return (
    <>
      {asked.rows.map((row) => (
        <Note key={row.element}>{sentence(row, write)}</Note>
      ))}
    </>
  );
}
