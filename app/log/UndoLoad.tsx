'use client';

import { useState, type ReactElement } from 'react';
import { lastLoad, type LastLoadFile } from '../../lib/store/undo';
import { counted, day } from '../../lib/words/figures';
import { useAsk } from '../_log/useAsk';
import { useKeeping } from '../_log/useKeeping';
import { useLog } from '../_log/useLog';

/** As many files are named one by one. */
const NAMED = 6;

function named(rows: readonly LastLoadFile[]): string {
  const names = [...new Set(rows.map((row) => row.file))];
  const rest = names.length - NAMED;
  return `${names.slice(0, NAMED).join(', ')}${rest > 0 ? ` and ${counted(rest, 'more file')}` : ''}`;
}

/** Takes the last load out again, after saying what that is. */
export function UndoLoad(): ReactElement | null {
  const { rows } = useAsk(lastLoad, null);
  const { undo } = useLog();
  const { pen, behind } = useKeeping();
  const [asking, ask] = useState(false);
  const [first] = rows ?? [];
  if (rows === null || first === undefined) return null;
  const files = new Set(rows.map((row) => row.file)).size;
  const read = rows.reduce((sum, row) => sum + row.rows_read, 0);
  const when = `${day(first.loaded_at)}, ${first.loaded_at.slice(11)}`;
  return (
    <div className="stack" role="group" aria-label="Undo the last load">
      <p>
        Last load, {when}: {named(rows)}; {counted(read, 'row')}.
      </p>
      {asking ? (
        <>
          <p>
            Take out {counted(files, 'file')} with {counted(read, 'row')}? Rows that they took the place of count again.
            The files on your disk stay as they are.
          </p>
          <div className="row">
            <button
              type="button"
              className="primary"
              onClick={() => {
                ask(false);
                undo();
              }}
            >
              Take them out
            </button>
            <button
              type="button"
              onClick={() => {
                ask(false);
              }}
            >
              Leave them in
            </button>
          </div>
        </>
      ) : (
        <div>
          <button
            type="button"
            disabled={!pen || behind}
            onClick={() => {
              ask(true);
            }}
          >
            Undo the last load
          </button>
        </div>
      )}
    </div>
  );
}
