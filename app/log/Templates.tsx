'use client';

import type { ReactElement } from 'react';
import type { LogTable } from '../../lib/log/table';
import { tables } from '../../lib/log/tables';
import { logLabel, terms } from '../../lib/words/labels';
import { templateCsv } from '../_log/templates';
import { save } from '../_shell/save';
import { Sheet, type SheetColumn } from '../_shell/Sheet';

type Column = LogTable['columns'][number];

const columns = (table: LogTable): readonly SheetColumn<Column>[] => [
  { label: terms.column, cell: (column) => <code>{column.name}</code> },
  { label: terms.onScreen, cell: (column) => logLabel(table.name, column.name).text },
  { label: terms.needed, cell: (column) => (column.required ? 'yes' : '') },
  {
    label: terms.meaning,
    prose: true,
    cell: (column) => `${column.meaning}${column.choices === null ? '' : `: ${column.choices.join(', ')}`}`,
  },
];

/** An empty table of each kind to take away, with what its columns mean. */
export function Templates(): ReactElement {
  return (
    <section className="section" id="templates" aria-labelledby="templates-head">
      <h2 id="templates-head">Empty tables to fill in</h2>
      <p>One CSV file a table, its header in place. Only the columns marked as needed must be filled.</p>
      {Object.values(tables).map((table) => (
        <details key={table.name} className="block">
          <summary>
            {table.name}: a row is {table.row}
          </summary>
          <div className="stack">
            <div>
              <button
                type="button"
                onClick={() => {
                  save(new Blob([templateCsv(table.name)], { type: 'text/csv' }), `${table.name}.csv`);
                }}
              >
                Save {table.name}.csv
              </button>
            </div>
            <Sheet
              caption={`Columns of ${table.name}`}
              hideCaption
              columns={columns(table)}
              rows={table.columns}
              rowKey={(column) => column.name}
            />
          </div>
        </details>
      ))}
    </section>
  );
}
