'use client';

import { useState, type ReactElement } from 'react';
import { takeEverythingOut } from '../_log/archives';
import { save } from '../_shell/save';
import { Note } from '../_shell/Notes';

/** Saves all that is kept as one archive. */
export function TakeOut({ disabled }: { disabled: boolean }): ReactElement {
  const [busy, setBusy] = useState(false);
  const [said, say] = useState<string | null>(null);
  const take = async (): Promise<void> => {
    setBusy(true);
    try {
      const taken = await takeEverythingOut();
      if (taken.ok) save(taken.archive, `shimbook-${new Date().toLocaleDateString('sv')}.zip`);
      say(taken.ok ? null : taken.reason);
    } catch (error) {
      say(`The archive could not be made. ${error instanceof Error ? error.message : ''}`);
    } finally {
      setBusy(false);
    }
  };
  return (
    <>
      <button type="button" disabled={disabled || busy} onClick={() => void take()}>
        {busy ? 'Checking the files …' : 'Take everything out'}
      </button>
      {said === null ? null : <Note warm>{said}</Note>}
    </>
  );
}
