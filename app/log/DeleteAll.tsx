'use client';

import { useState, type ReactElement } from 'react';
import { counted } from '../../lib/words/figures';
import { filesIn } from '../_log/archives';
import { useKeeping } from '../_log/useKeeping';
import { useLog } from '../_log/useLog';

/** Deletes the kept log, after asking once more. */
export function DeleteAll({ disabled }: { disabled: boolean }): ReactElement {
  const { loads } = useKeeping();
  const { deleteAll } = useLog();
  const [asking, ask] = useState(false);
  if (!asking) {
    return (
      <button
        type="button"
        disabled={disabled}
        onClick={() => {
          ask(true);
        }}
      >
        Delete for good
      </button>
    );
  }
  return (
    <div className="note note-warm stack">
      <p>
        {counted(filesIn(loads), 'file')} of {counted(loads.length, 'load')} go from this browser, and the log closes.
        There is no way back but an archive or the files they came from. Mappings and the recent folder stay; forget
        them where they stand.
      </p>
      <div className="row">
        <button
          type="button"
          className="primary"
          disabled={disabled}
          onClick={() => {
            ask(false);
            deleteAll();
          }}
        >
          Delete it now
        </button>
        <button
          type="button"
          onClick={() => {
            ask(false);
          }}
        >
          Keep it
        </button>
      </div>
    </div>
  );
}
