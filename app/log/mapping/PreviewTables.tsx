import type { ReactElement } from 'react';
import { count, counted } from '../../../lib/words/figures';
import { Note } from '../../_shell/Notes';
import { PlainTable } from './PlainTable';
import type { Preview } from './preview';

const LISTED = 20;

/** The first rows as the log would have them, and those that it would set aside. */
export function PreviewTables({ preview }: { preview: Preview }): ReactElement {
  if (!preview.ok) return <Note warm>{preview.reason}</Note>;
  const { conversion, aside } = preview;
  return (
    <div className="stack" role="group" aria-label="Preview">
      {preview.tables.length === 0 ? <Note warm>Nothing of the rows looked at gives a row of the log.</Note> : null}
      {preview.tables.map((table) => (
        <PlainTable
          key={table.table}
          caption={`${table.table}: the first ${count(table.rows.length)} of ${counted(table.total, 'row')} looked at`}
          header={['Row', ...table.header]}
          rows={table.rows}
        />
      ))}
      {conversion.unused.length === 0 ? null : <p className="quiet">Not used: {conversion.unused.join(', ')}.</p>}
      {conversion.idle.length === 0 ? null : (
        <p>Nothing is taken from {counted(conversion.idle.length, 'row')} of those looked at.</p>
      )}
      {conversion.conflicts.length === 0 ? null : (
        <p>{counted(conversion.conflicts.length, 'value')} of one key do not agree from row to row; the last counts.</p>
      )}
      {aside.length === 0 ? (
        <p>No row looked at would be set aside for its cells.</p>
      ) : (
        <PlainTable
          caption={`Would be set aside: ${counted(aside.length, 'row')}${aside.length > LISTED ? `, the first ${LISTED} here` : ''}`}
          header={['Table', 'Row', 'Column', 'Value', 'Reason']}
          prose={4}
          rows={aside
            .slice(0, LISTED)
            .map(({ table, row, column, value, reason }) => [table, String(row), column, value, reason])}
        />
      )}
      <p className="quiet">
        Whether the job, specification and test point of a row are in the log is looked at when it is read.
      </p>
    </div>
  );
}
