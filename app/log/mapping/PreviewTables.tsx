import type { ReactElement } from 'react';
import { MOST_TRIED_BYTES } from '../../../lib/log/mapping/most';
import type { Tried } from '../../../lib/log/mapping/tryOut';
import { count, counted } from '../../../lib/words/figures';
import { Note } from '../../_shell/Notes';
import { PlainTable } from './PlainTable';

const LISTED = 20;

/** How much of the sheet was gone through. */
export type Extent = 'whole' | 'counting' | 'first rows';

interface Props {
  readonly tried: Tried;
  readonly extent: Extent;
}

/** The first rows as the log would have them, and how many it would set aside and why. */
export function PreviewTables({ tried, extent }: Props): ReactElement {
  if (!tried.ok) return <Note warm>{tried.reason}</Note>;
  const { faults } = tried;
  const total = tried.tables.reduce((sum, table) => sum + table.total, 0);
  const aside = tried.tables.reduce((sum, table) => sum + table.aside, 0);
  return (
    <div className="stack" role="group" aria-label="Preview">
      <h3>What the log would get</h3>
      <p role="status">
        {extentSays(extent, tried.looked)} {counted(total, 'row')} of the log come of it: {count(total - aside)} would
        be accepted, {count(aside)} set aside for their cells.
      </p>
      {tried.doubts.map((doubt) => (
        <Note key={doubt} warm>
          The cells speak against what is chosen above. {doubt}
        </Note>
      ))}
      {tried.tables.length === 0 ? <Note warm>Nothing of the rows looked at gives a row of the log.</Note> : null}
      {tried.tables.map((table) => (
        <PlainTable
          key={table.table}
          caption={`${table.table}: the first ${count(table.rows.length)} of ${counted(table.total, 'row')}, ${count(table.aside)} of them to be set aside`}
          header={['Row', ...table.header]}
          rows={table.rows}
        />
      ))}
      {tried.unused.length === 0 ? null : <p className="quiet">Not used: {tried.unused.join(', ')}.</p>}
      {tried.idle === 0 ? null : <p>Nothing is taken from {counted(tried.idle, 'row')} of the sheet.</p>}
      {tried.conflicts === 0 ? null : (
        <p>{counted(tried.conflicts, 'value')} of one key do not agree from row to row; the last counts.</p>
      )}
      {faults.length === 0 ? null : (
        <PlainTable
          caption={`Would be set aside: ${counted(aside, 'row')}${faults.length > LISTED ? `, the ${LISTED} commonest reasons here` : ''}`}
          header={['Table', 'Rows', 'First in row', 'Column', 'Value there', 'Reason']}
          prose={5}
          rows={faults
            .slice(0, LISTED)
            .map(({ table, rows, first, column, value, reason }) => [
              table,
              count(rows),
              String(first),
              column,
              value,
              reason,
            ])}
        />
      )}
      <p className="quiet">
        Whether the job, specification and test point of a row are in the log, and whether a row is there twice, is
        looked at when it is read.
      </p>
    </div>
  );
}

function extentSays(extent: Extent, looked: number): string {
  if (extent === 'whole') return `The whole sheet was gone through, ${counted(looked, 'row')}.`;
  const first = `The first ${counted(looked, 'row')} of the sheet were gone through`;
  return extent === 'counting'
    ? `${first}; the others are being counted.`
    : `${first}; of sheets above ${MOST_TRIED_BYTES / 1e6} MB no more are counted ahead.`;
}
