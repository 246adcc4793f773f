import type { ReactElement, ReactNode } from 'react';
import { scrollRegion } from '../../_shell/scrollRegion';

interface Props {
  readonly caption: string;
  readonly header: readonly string[];
  /** Rows stand in the order they are given in and are never moved. */
  readonly rows: readonly (readonly ReactNode[])[];
  /** Let the table be as tall as its rows. */
  readonly tall?: boolean;
  /** The column of sentences that may run over several lines. */
  readonly prose?: number;
}

/** A table of cells as they stand in a file, whose columns are not known ahead. */
export function PlainTable({ caption, header, rows, tall, prose }: Props): ReactElement {
  return (
    <div className="sheet-scroll" data-tall={tall === true} {...scrollRegion(caption)}>
      <table className="sheet">
        <caption>{caption}</caption>
        <thead>
          <tr>
            {header.map((name, i) => (
              <th key={i} scope="col">
                {name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row, i) => (
            <tr key={i}>
              {row.map((cell, c) => (
                <td key={c} className={c === prose ? 'prose' : undefined}>
                  {cell}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
