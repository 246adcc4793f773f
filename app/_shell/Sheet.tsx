'use client';

import { useState, type ReactElement, type ReactNode } from 'react';
import { count } from '../../lib/words/figures';
import type { Label } from '../../lib/words/labels';
import { scrollRegion } from './scrollRegion';
import { useUnits } from './useUnits';

/** One column of a table on a page: its label, and what stands in a row's cell. */
export interface SheetColumn<Row> {
  readonly label: Label;
  /** A word for this column where the label alone would stand twice in the table. */
  readonly head?: string;
  readonly cell: (row: Row) => ReactNode;
  readonly number?: boolean;
  readonly source?: boolean;
  /** A sentence that may run over several lines. */
  readonly prose?: boolean;
}

interface Props<Row> {
  readonly caption: string;
  readonly columns: readonly SheetColumn<Row>[];
  readonly rows: readonly Row[];
  readonly rowKey: (row: Row) => string;
  /** Marks the row: out of its limits, or left out of verdicts. */
  readonly mark?: (row: Row) => 'out' | 'excluded' | null;
  /** Let the table be as tall as its rows. */
  readonly tall?: boolean;
  readonly hideCaption?: boolean;
}

/** A table of hundreds of rows takes longer to draw than to ask for, and few are read: the others come when they are asked for. */
const ROWS_AT_ONCE = 50;

const cellClass = <Row,>(column: SheetColumn<Row>): string | undefined =>
  column.number === true ? 'number' : column.source === true ? 'source' : column.prose === true ? 'prose' : undefined;

/** The unit under the head of a column, in those that the reader chose. */
function HeadUnit({ label }: { label: Label }): ReactElement | null {
  const symbol = useUnits().symbol(label.unit);
  return symbol === '' ? null : <span className="unit">{symbol}</span>;
}

/** A plain table. Heads carry the units and, on a longer look, what the column means. */
export function Sheet<Row>({ caption, columns, rows, rowKey, mark, tall, hideCaption }: Props<Row>): ReactElement {
  return (
    <div className="sheet-scroll" data-tall={tall === true} {...scrollRegion(caption)}>
      <table className="sheet">
        <caption className={hideCaption === true ? 'unseen' : undefined}>{caption}</caption>
        <thead>
          <tr>
            {columns.map((column) => (
              <th
                key={column.head ?? column.label.text}
                scope="col"
                className={column.number === true ? 'number' : undefined}
                title={column.label.meaning}
              >
                {column.head ?? column.label.text}
                <HeadUnit label={column.label} />
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => {
            const marked = mark?.(row) ?? null;
            return (
              <tr key={rowKey(row)} data-out={marked === 'out'} data-excluded={marked === 'excluded'}>
                {columns.map((column) => (
                  <td key={column.head ?? column.label.text} className={cellClass(column)}>
                    {column.cell(row)}
                  </td>
                ))}
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}

/** The same with the first rows only, and a button that doubles them. Another list begins anew. */
export function LongSheet<Row>({ rows, ...props }: Props<Row>): ReactElement {
  const [first, last] = [rows[0], rows.at(-1)].map((row) => (row === undefined ? '' : props.rowKey(row)));
  const list = `${rows.length} ${first} ${last}`;
  const [shown, show] = useState({ list, most: ROWS_AT_ONCE });
  const most = shown.list === list ? shown.most : ROWS_AT_ONCE;
  const left = rows.length - most;
  return (
    <>
      <Sheet {...props} rows={rows.slice(0, most)} />
      {left > 0 ? (
        <div className="row">
          <span className="quiet">
            {count(most)} of {count(rows.length)} shown.
          </span>
          <button
            type="button"
            className="no-print"
            onClick={(event) => {
              show({ list, most: 2 * most });
              // The button goes with the last rows: whoever pressed it by keyboard goes on in the table.
              const table = event.currentTarget.parentElement?.previousElementSibling;
              if (left <= most && table instanceof HTMLElement) table.focus();
            }}
          >
            Show {count(Math.min(most, left))} more
          </button>
        </div>
      ) : null}
    </>
  );
}
