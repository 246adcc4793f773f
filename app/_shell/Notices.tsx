'use client';

import type { ReactElement } from 'react';
import { visible } from '../../lib/words/visible';
import { sentences, useKeeping } from '../_log/useKeeping';
import { useLog } from '../_log/useLog';

/** What has to be known on whatever page: files that are not kept, or a log that another tab changed. */
export function Notices(): ReactElement | null {
  const { notices, behind, pen, dismiss } = useKeeping();
  const { openAgain } = useLog();
  if (notices.length === 0 && !behind && pen) return null;
  return (
    <div className="notices" role="status">
      {pen ? null : <p className="note">{sentences.otherTab}</p>}
      {behind ? (
        <div className="note note-warm row">
          <span>{sentences.behind}</span>
          <button type="button" onClick={openAgain}>
            Open it again
          </button>
        </div>
      ) : null}
      {notices
        .filter((notice) => pen || notice !== sentences.otherTab)
        .map((notice) => (
          <div key={notice} className="note note-warm row">
            <span>{visible(notice)}</span>
            <button
              type="button"
              onClick={() => {
                dismiss(notice);
              }}
            >
              Understood
            </button>
          </div>
        ))}
    </div>
  );
}
