import type { codes } from '../../calc/layout';
import { units, type Unit } from '../../units/units';
import { inLogUnits, NO_FIGURE } from '../../words/figures';
import { logLabel, resultLabel } from '../../words/labels';
import type { Label } from '../../words/label';
import type { TableName } from '../../log/table';
import type { decisions } from '../record';
import type { Cell, FigureTable, Row } from '../rows';
import { marked, shown, type Mark, type SheetColumn, type SheetElement } from './nodes';

type Verdict = (typeof codes.verdict)[number];

const verdictMarks: Readonly<Record<Verdict, Mark>> = {
  in: 'good',
  out: 'bad',
  'cannot tell': 'open',
  'not measured': 'none',
};
export const verdictWord = (verdict: Verdict): SheetElement => marked(verdictMarks[verdict], verdict);

const decisionMarks: Readonly<Record<(typeof decisions)[number], Mark>> = {
  conforms: 'good',
  'does not conform': 'bad',
  'cannot be decided': 'open',
  'not measured': 'none',
};
export const decisionWord = (decision: (typeof decisions)[number]): SheetElement =>
  marked(decisionMarks[decision], decision);

/** A number as it was read: every digit of it, with a true minus. */
export const asRead = (value: number): string => String(value).replace('-', '−');

/** A day of the log as it stands there; the sheet is read in many countries. */
export const dayWord = (day: string | null): string => day ?? NO_FIGURE;

export const figure = (value: number | null, unit: Unit, sign = false): string =>
  inLogUnits.figure(value, unit, { sign });

/** An uncertainty has one digit more than its figure. */
export const uncertainty = (value: number | null, unit: Unit): string =>
  inLogUnits.figure(value, unit, { decimals: units[unit].decimals + 1 });

export const runWord = (run: number): string => (run < 0 ? NO_FIGURE : run === 0 ? '0, as received' : String(run));

/** A cell as it stands in the log. */
export function plain(cell: Cell | undefined): string {
  if (cell === null || cell === undefined) return NO_FIGURE;
  if (typeof cell === 'number') return asRead(cell);
  if (typeof cell === 'boolean') return cell ? 'yes' : 'no';
  return shown(cell);
}

export const placeWord = (file: string | null, row: number | null): string =>
  file === null || row === null ? NO_FIGURE : `${shown(file)}, row ${row}`;

const headOf = ({ text, unit }: Label): string => {
  const symbol = inLogUnits.symbol(unit);
  return symbol === '' ? text : `${text} (${symbol})`;
};

/** A column of the log as it was read, under its label. */
export const logColumn = (table: TableName, name: string): SheetColumn<Row> => ({
  head: headOf(logLabel(table, name)),
  cell: (row) => plain(row[name]),
  figure: logLabel(table, name).unit !== null,
});

/** Columns of the log of which some row has something to say. */
export const logColumns = (table: TableName, names: readonly string[], rows: readonly Row[]): SheetColumn<Row>[] =>
  names
    .filter((name) => rows.some((row) => row[name] !== null && row[name] !== undefined))
    .map((name) => logColumn(table, name));

export const fromFile: SheetColumn<Row> = {
  head: 'Stands in',
  cell: (row) =>
    placeWord(typeof row.file === 'string' ? row.file : null, typeof row.row_no === 'number' ? row.row_no : null),
};

/** Columns that are names, codes or counts, and have no unit. */
const asCell = (cell: Cell | undefined, label: Label): string => {
  if (typeof cell !== 'number' || label.unit === null) return plain(cell);
  return inLogUnits.figure(cell, label.unit, { bare: true });
};

const NAMES: Readonly<Record<string, string>> = {
  test_point: 'Test point',
  low_test_point: 'Low-speed point',
  rated_test_point: 'Rated-speed point',
  check_id: 'Check',
};

export function resultColumn(table: FigureTable, name: string): SheetColumn<Row> {
  const named = NAMES[name];
  if (named !== undefined) return { head: named, cell: (row) => plain(row[name]) };
  const label = resultLabel(table, name);
  return { head: headOf(label), cell: (row) => asCell(row[name], label), figure: label.unit !== null };
}
