'use client';

import { useState, type ReactElement, type SubmitEvent } from 'react';
import { MOST_AUTHOR_LETTERS, MOST_REMARK_LETTERS } from '../../lib/log/tables/remarks';
import { jobRemarks, type JobRemark } from '../../lib/store/questions/jobRemarks';
import { day } from '../../lib/words/figures';
import { localTime } from '../_log/incoming';
import { addRemark, takeBack } from '../_log/remarks';
import { useAskBeside } from '../_log/useAsk';
import { ownLogKept, useKeeping } from '../_log/useKeeping';
import { Answer } from '../_shell/Answer';
import { Note } from '../_shell/Notes';
import { place } from './place';

const DAY_LETTERS = 10;
const today = (): string => localTime(new Date()).slice(0, DAY_LETTERS);

function AddRemark({ id, onDone }: { id: string; onDone: (says: string | null) => void }): ReactElement {
  const [on, setOn] = useState(today);
  const [text, setText] = useState('');
  const [author, setAuthor] = useState('');
  const [why, say] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const add = (event: SubmitEvent): void => {
    event.preventDefault();
    setBusy(true);
    void addRemark(id, { remarked_on: on, remark: text, author }).then((failed) => {
      setBusy(false);
      say(failed);
      if (failed === null) onDone('The remark was added.');
    });
  };
  return (
    <form className="stack" onSubmit={add} aria-label="Add a remark">
      <label className="field remark-field">
        <span>Remark</span>
        <textarea
          required
          rows={4}
          maxLength={MOST_REMARK_LETTERS}
          value={text}
          onChange={(event) => {
            setText(event.currentTarget.value);
          }}
        />
      </label>
      <div className="row">
        <label className="field">
          <span>Day</span>
          <input
            type="date"
            required
            value={on}
            onChange={(event) => {
              setOn(event.currentTarget.value);
            }}
          />
        </label>
        <label className="field">
          <span>Your name (may stay empty)</span>
          <input
            type="text"
            maxLength={MOST_AUTHOR_LETTERS}
            value={author}
            onChange={(event) => {
              setAuthor(event.currentTarget.value);
            }}
          />
        </label>
        <button type="submit" className="primary" disabled={busy}>
          Add the remark
        </button>
        <button
          type="button"
          onClick={() => {
            onDone(null);
          }}
        >
          Cancel
        </button>
      </div>
      {why === null ? null : <Note warm>{why}</Note>}
    </form>
  );
}

function RemarkLine({
  remark,
  shut,
  onDone,
}: {
  remark: JobRemark;
  shut: boolean;
  onDone: (says: string) => void;
}): ReactElement {
  const said = [day(remark.remarked_on), ...(remark.author === null ? [] : [remark.author])].join(', ');
  return (
    <li>
      <p className="remark-text">{remark.remark}</p>
      <p className="small quiet">
        {said} · {place(remark.file, remark.row_no)}
      </p>
      <button
        type="button"
        className="plain no-print"
        disabled={shut}
        aria-label={`Take back the remark of ${said}`}
        onClick={() => {
          void takeBack(remark).then((failed) => {
            onDone(failed ?? 'The remark was taken back. “Undo the last load” on the Log page brings it here again.');
          });
        }}
      >
        take back
      </button>
    </li>
  );
}

/** Where remarks of this log go. */
function Lives(): ReactElement {
  const keeping = useKeeping();
  const demo = keeping.loads.some((load) => load.demo);
  return (
    <p className="small quiet no-print">
      {ownLogKept(keeping)
        ? 'Remarks are kept with the log in this browser, each as a small file of its own, and go into its archive.'
        : `${demo ? 'The demo log keeps nothing of yours' : 'This log is not kept'}, so remarks are gone when this tab is closed; the Log page saves them as a file.`}{' '}
      A remark changes no reading and no result.
    </p>
  );
}

/** What an auditor wrote beside the job, and the way to write more. */
export function Remarks({ id }: { id: string }): ReactElement {
  const asked = useAskBeside(jobRemarks, { id });
  const { pen, behind } = useKeeping();
  const [open, setOpen] = useState(false);
  const [said, say] = useState<string | null>(null);
  const shut = !pen || behind;
  return (
    <section className="section" aria-labelledby="remarks">
      <h2 id="remarks">Remarks</h2>
      <Answer asked={asked} none="No remark has been made on this job.">
        {(rows) => (
          <ul className="remarks" aria-label="Remarks on this job">
            {rows.map((remark) => (
              <RemarkLine key={remark.remark_id} remark={remark} shut={shut} onDone={say} />
            ))}
          </ul>
        )}
      </Answer>
      {shut ? <Note>The log is open for writing in another tab; remarks are added there.</Note> : null}
      {open ? (
        <AddRemark
          id={id}
          onDone={(says) => {
            setOpen(false);
            say(says);
          }}
        />
      ) : (
        <div className="no-print">
          <button
            type="button"
            disabled={shut}
            onClick={() => {
              say(null);
              setOpen(true);
            }}
          >
            Add a remark
          </button>
        </div>
      )}
      <p role="status" className="no-print">
        {said}
      </p>
      <Lives />
    </section>
  );
}
