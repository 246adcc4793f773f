import { csvFormatRows } from 'd3-dsv';
import { mendColumns, normalHeader } from './recognise';
import type { LogTable } from './table';

/**
 * The file of rows to mend: a table's own columns with the cells as they were written, then `mendColumns`, which say where each
 * row was set aside and why.
 */

const [FILE, ROW] = mendColumns;

/** Where a file says of each row which one it takes the place of: the places of the two columns; null in any other file. */
export function mendsBy(header: readonly string[]): { readonly file: number; readonly row: number } | null {
  const names = header.map(normalHeader);
  const [file, row] = [names.indexOf(FILE), names.indexOf(ROW)];
  return file < 0 || row < 0 ? null : { file, row };
}

const PLAIN_NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;
// The last four are the wide forms of the first four, which some spreadsheets take for the same.
const RUNS = /^\s*[=+\-@\uff1d\uff0b\uff0d\uff20]|^[\t\r\n]/;

/**
 * A cell that a spreadsheet can open without running it: one that it would take for a formula, and one that begins with an
 * apostrophe already, gets an apostrophe in front. So a cell of the file begins with an apostrophe only where one was put
 * there, and `unguarded` gives every cell back unchanged.
 */
export const guarded = (cell: string): string =>
  cell.startsWith("'") || (RUNS.test(cell) && !PLAIN_NUMBER.test(cell)) ? `'${cell}` : cell;

/** Takes the one apostrophe off again. The reader does the same in SQL: see `unguardedSql` in lib/store/stage.ts. */
export const unguarded = (cell: string): string => (cell.startsWith("'") ? cell.slice(1) : cell);

/** The text of a table's file of rows to mend; a row is its cells by column name. */
export const mendCsv = (table: LogTable, rows: readonly Readonly<Record<string, string | null>>[]): string => {
  const names = [...table.columns.map((column) => column.name), ...mendColumns];
  return `${csvFormatRows([names, ...rows.map((row) => names.map((name) => guarded(row[name] ?? '')))])}\n`;
};
