'use client';

import { useRef, useState, type ReactElement } from 'react';
import { MOST_RECORDS } from '../../lib/report/many/batch';
import type { JudgedJob } from '../../lib/report/many/fleet';
import { count, counted } from '../../lib/words/figures';
import { asWritten } from '../../lib/words/visible';
import { session } from '../_log/session';
import { save } from '../_shell/save';

type Saving =
  | { readonly phase: 'idle' | 'called off' }
  | { readonly phase: 'saving'; readonly done: number }
  | { readonly phase: 'saved'; readonly saved: number; readonly missing: number }
  | { readonly phase: 'failed'; readonly message: string };

interface Props {
  readonly judged: readonly JudgedJob[];
  /** How the jobs were chosen, for the head of the list in the archive. */
  readonly says: readonly string[];
}

function told(saving: Saving, of: number): string {
  switch (saving.phase) {
    case 'idle':
      return '';
    case 'saving':
      return `Putting records together: ${count(saving.done)} of ${count(of)}`;
    case 'saved':
      return `${counted(saving.saved, 'record')} saved${saving.missing === 0 ? '' : `; ${counted(saving.missing, 'job')} no longer in the log`}.`;
    case 'called off':
      return 'Called off; nothing was saved.';
    case 'failed':
      return `The records could not be saved. ${saving.message}`;
  }
}

/** Saves the records of the listed jobs as one archive, and tells how far it is. */
export function SaveRecords({ judged, says }: Props): ReactElement {
  const [saving, tell] = useState<Saving>({ phase: 'idle' });
  const stop = useRef<AbortController | null>(null);
  const jobs = judged.slice(0, MOST_RECORDS).map(({ job }) => asWritten(job.job_id));
  const begin = async (): Promise<void> => {
    const calling = new AbortController();
    stop.current = calling;
    tell({ phase: 'saving', done: 0 });
    try {
      const { recordsArchive } = await import('../../lib/report/many/batch');
      // Past the answers that pages keep: of so many records none is asked for again.
      const { asking } = await session.workers();
      const { archive, saved, missing } = await recordsArchive((sql, params) => asking.rows(sql, params), jobs, {
        says,
        signal: calling.signal,
        onProgress: (done) => {
          tell({ phase: 'saving', done });
        },
      });
      save(archive, `records-${saved}.zip`);
      tell({ phase: 'saved', saved, missing: missing.length });
    } catch (error) {
      if (calling.signal.aborted) tell({ phase: 'called off' });
      else tell({ phase: 'failed', message: error instanceof Error ? error.message : String(error) });
    }
  };
  const words = told(saving, jobs.length);
  return (
    <div className="stack no-print">
      <div className="row">
        <button
          type="button"
          className="primary"
          disabled={saving.phase === 'saving' || jobs.length === 0}
          onClick={() => {
            void begin();
          }}
        >
          Save {counted(jobs.length, 'record')}
        </button>
        {saving.phase === 'saving' ? (
          <button
            type="button"
            onClick={() => {
              stop.current?.abort();
            }}
          >
            Call off
          </button>
        ) : null}
        {saving.phase === 'saving' ? (
          <progress aria-label="Records put together" max={Math.max(1, jobs.length)} value={saving.done} />
        ) : null}
        <span role="status">{words}</span>
      </div>
      <p className="quiet small">
        One ZIP file: a sheet a job to read, print or check, and a list of them with the state and the SHA-256 of each.
        {judged.length > MOST_RECORDS
          ? ` Only the first ${count(MOST_RECORDS)} of the table: narrow it for the others.`
          : ''}
      </p>
    </div>
  );
}
