'use client';

import { useState, type ReactElement, type SubmitEvent } from 'react';
import { MOST_NOTE_LETTERS, newNoteSchema } from '../../lib/keep/notes';
import { filterChoices } from '../../lib/store/questions/filterChoices';
import { day } from '../../lib/words/figures';
import { useAsk } from '../_log/useAsk';
import { useKeeping } from '../_log/useKeeping';
import { Note } from '../_shell/Notes';
import { useFilters } from '../_shell/useFilters';

function AddNote({ disabled }: { disabled: boolean }): ReactElement {
  const [filters] = useFilters();
  const { addNote } = useKeeping();
  const { rows } = useAsk(filterChoices, null);
  const [on, setOn] = useState('');
  const [text, setText] = useState('');
  const [model, setModel] = useState<string | null>(null);
  const [said, say] = useState<string | null>(null);
  const of = model ?? filters.model ?? '';
  const add = (event: SubmitEvent): void => {
    event.preventDefault();
    const note = newNoteSchema.safeParse({ on, text: text.trim(), model: of === '' ? null : of });
    if (!note.success) {
      say(`A note has a day, and a text of up to ${MOST_NOTE_LETTERS} letters in one line.`);
      return;
    }
    say(null);
    setText('');
    void addNote(note.data);
  };
  return (
    <form className="stack" onSubmit={add} aria-label="Add a note">
      <div className="row">
        <label className="field">
          <span>Day it happened</span>
          <input
            type="date"
            required
            value={on}
            onChange={(event) => {
              setOn(event.currentTarget.value);
            }}
          />
        </label>
        <label className="field trend-note-text">
          <span>What happened</span>
          <input
            type="text"
            required
            maxLength={MOST_NOTE_LETTERS}
            value={text}
            onChange={(event) => {
              setText(event.currentTarget.value);
            }}
          />
        </label>
        <label className="field">
          <span>Concerns</span>
          <select
            value={of}
            onChange={(event) => {
              setModel(event.currentTarget.value);
            }}
          >
            <option value="">All models</option>
            {(rows ?? [])
              .filter(({ kind }) => kind === 'model')
              .map(({ value }) => (
                <option key={value} value={value}>
                  {value}
                </option>
              ))}
          </select>
        </label>
        <button type="submit" disabled={disabled}>
          Add the note
        </button>
      </div>
      {said === null ? null : <Note warm>{said}</Note>}
    </form>
  );
}

/** A person's own marks on the charts: added, listed, removed. */
export function TrendNotes(): ReactElement {
  const { notes, loads, stored, pen, behind, removeNote } = useKeeping();
  const shut = !pen || behind;
  return (
    <section className="section no-print" aria-labelledby="notes">
      <h2 id="notes">Notes on the charts</h2>
      <p>
        Write down what a chart can&apos;t know: new fluid, a repair of a bench, a new hand.{' '}
        {stored === true && loads.length > 0
          ? 'Notes are kept with the log in this browser, and go into its archive.'
          : 'This log is not kept, so notes are gone when this tab is closed.'}
      </p>
      {shut ? <Note>The log is open for writing in another tab; notes are added there.</Note> : null}
      <AddNote disabled={shut} />
      {notes.length === 0 ? null : (
        <ul className="trend-notes" aria-label="Notes">
          {notes
            .toSorted((a, b) => a.on.localeCompare(b.on) || a.no - b.no)
            .map((note) => (
              <li key={note.no}>
                <span>
                  {day(note.on)}, {note.model ?? 'all models'}: {note.text}
                </span>
                <button
                  type="button"
                  className="plain"
                  disabled={shut}
                  aria-label={`Remove the note ${note.text}`}
                  onClick={() => {
                    void removeNote(note.no);
                  }}
                >
                  remove
                </button>
              </li>
            ))}
        </ul>
      )}
    </section>
  );
}
