'use client';

import { useState, type ReactElement } from 'react';
import { mendCsv } from '../../lib/log/mend';
import { tables } from '../../lib/log/tables';
import { rowsToMend, toMend, type ToMend as TableToMend } from '../../lib/store/questions/setAsideToMend';
import { count } from '../../lib/words/figures';
import { terms } from '../../lib/words/labels';
import { answer, useAsk } from '../_log/useAsk';
import { Note } from '../_shell/Notes';
import { save } from '../_shell/save';
import { Sheet, type SheetColumn } from '../_shell/Sheet';

/** Hands a table's rows to the person; answers what went wrong, if anything did. */
async function saveRows(name: TableToMend['log_table']): Promise<string | null> {
  const { rows, error } = await answer(rowsToMend(tables[name]), []);
  if (rows === null) return error;
  save(new Blob([mendCsv(tables[name], rows)], { type: 'text/csv' }), `${name}-to-mend.csv`);
  return null;
}

/** The rows that need a hand, table by table, to be saved, mended and loaded again. */
export function ToMend(): ReactElement | null {
  const { rows } = useAsk(toMend, null);
  const [failed, setFailed] = useState<string | null>(null);
  if (rows === null || rows.length === 0) return null;
  const columns: readonly SheetColumn<TableToMend>[] = [
    { label: terms.table, cell: (row) => row.log_table },
    { label: terms.needsHand, cell: (row) => count(row.rows), number: true },
    {
      label: terms.saveToMend,
      cell: (row) => (
        <button
          type="button"
          aria-label={`Save these rows to mend: ${row.log_table}`}
          onClick={() => {
            void saveRows(row.log_table).then(setFailed);
          }}
        >
          Save these rows to mend
        </button>
      ),
    },
  ];
  return (
    <div className="stack">
      <h3>To mend</h3>
      <ol>
        <li>Save a table&apos;s rows and open the file in a spreadsheet. The last columns say what is wrong.</li>
        <li>
          Mend the cells. Leave the <code>set_aside_…</code> columns as they are: they say which row each one replaces.
        </li>
        <li>Save as CSV and drop the file on this page. Mended rows take the place of these.</li>
      </ol>
      <p className="quiet">
        Begin at the top of the list. Rows that point to a row mended there often come right of themselves.
      </p>
      <Sheet
        caption="Rows to mend, by table"
        hideCaption
        columns={columns}
        rows={rows}
        rowKey={(row) => row.log_table}
      />
      {failed === null ? null : <Note warm>The rows could not be saved. {failed}</Note>}
    </div>
  );
}
