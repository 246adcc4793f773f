'use client';

import { useState, type ReactElement } from 'react';
import type { Replacement } from '../../lib/store/replacements';
import { replacementsCsv } from '../../lib/store/replacementsCsv';
import { count, counted } from '../../lib/words/figures';
import { terms } from '../../lib/words/labels';
import { visible } from '../../lib/words/visible';
import { useLog, type Question } from '../_log/useLog';
import { Note } from '../_shell/Notes';
import { Over } from '../_shell/Over';
import { save } from '../_shell/save';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useTechniciansLeftOut } from '../_shell/technicians';

/** How many changed cells of a row are listed; the rest are counted. */
const LISTED_CHANGES = 4;

const place = ({ file, row }: Replacement['was']): string => visible(`${file} row ${row}`);

function Changes({ changes }: Pick<Replacement, 'changes'>): ReactElement {
  const leftOut = useTechniciansLeftOut();
  const more = changes.length - LISTED_CHANGES;
  return (
    <>
      {changes.slice(0, LISTED_CHANGES).map(({ column, was, is }) => (
        <div key={column}>
          {column}:{' '}
          {leftOut && column === 'technician' ? (
            'differs'
          ) : (
            <>
              {visible(was ?? 'empty')} → <b>{visible(is ?? 'empty')}</b>
            </>
          )}
        </div>
      ))}
      {more > 0 ? <div className="quiet">and {count(more)} more</div> : null}
    </>
  );
}

const columns: readonly SheetColumn<Replacement>[] = [
  { label: terms.table, cell: (row) => row.table },
  { label: terms.rowKey, cell: (row) => visible(row.key.join(' · ')) },
  { label: terms.whatDiffers, prose: true, cell: (row) => <Changes changes={row.changes} /> },
  { label: terms.inLog, cell: (row) => place(row.was) },
  { label: terms.newRow, cell: (row) => place(row.is) },
];

function Asked({ replacements, answer }: Extract<Question, { about: 'rows' }>): ReactElement {
  const [failed, setFailed] = useState(false);
  const keep = (): void => {
    answer('keep');
  };
  const { count: rows, byTable, listed, all } = replacements;
  return (
    <Over
      title={rows === 1 ? '1 row of the log would be replaced' : `${count(rows)} rows of the log would be replaced`}
      says={
        <>
          The new files have other figures for the same rows (
          {byTable.map((each) => `${each.table}: ${count(each.rows)}`).join(', ')}
          ). Nothing is changed until you answer.
        </>
      }
      list
      onLeave={keep}
    >
      <Sheet
        caption={
          rows > listed.length ? `The first ${count(listed.length)} of ${counted(rows, 'row')}` : counted(rows, 'row')
        }
        columns={columns}
        rows={listed}
        rowKey={(row) => `${place(row.was)} ${place(row.is)} ${row.table}`}
      />
      <div className="row">
        <button
          type="button"
          className="primary"
          onClick={() => {
            answer('take');
          }}
        >
          Take the new rows
        </button>
        <button
          type="button"
          onClick={() => {
            answer('leave out');
          }}
        >
          Leave these rows out
        </button>
        <button type="button" onClick={keep}>
          Keep the log as it was
        </button>
        <button
          type="button"
          onClick={() => {
            all().then(
              (found) => {
                save(new Blob([replacementsCsv(found)], { type: 'text/csv' }), 'rows-to-be-replaced.csv');
              },
              () => {
                setFailed(true);
              },
            );
          }}
        >
          Save the list
        </button>
      </div>
      {failed ? <Note warm>The list could not be saved.</Note> : null}
      <p className="quiet">
        Leaving these rows out takes in the rest of the files. Keeping the log as it was takes in nothing of them.
      </p>
    </Over>
  );
}

/** Asks, wherever the person is, before a load replaces rows of the log. The page behind goes on showing the log as it is. */
export function Replacing(): ReactElement | null {
  const { state } = useLog();
  return state.phase === 'asking' && state.question.about === 'rows' ? <Asked {...state.question} /> : null;
}
