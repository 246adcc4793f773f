'use client';

import type { ReactElement } from 'react';
import { allRemarks } from '../../lib/store/questions/jobRemarks';
import { counted } from '../../lib/words/figures';
import { remarksFile } from '../_log/remarks';
import { useAskBeside } from '../_log/useAsk';
import { save } from '../_shell/save';

/** Hands the remarks of the log to a person as one file, which can be loaded like any other. */
export function RemarksOut(): ReactElement | null {
  const { rows } = useAskBeside(allRemarks, null);
  if (rows === null || rows.length === 0) return null;
  const jobs = new Set(rows.map((row) => row.job_id)).size;
  return (
    <section className="section" aria-labelledby="remarks">
      <h2 id="remarks">Remarks</h2>
      <p>
        {counted(rows.length, 'remark')} on {counted(jobs, 'job')}. Saved, they are a file of the log like any other.
      </p>
      <div>
        <button
          type="button"
          onClick={() => {
            save(remarksFile(rows), 'remarks.csv');
          }}
        >
          Save the remarks
        </button>
      </div>
    </section>
  );
}
