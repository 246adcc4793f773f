import type { codes } from '../../calc/layout';
import { units, type Unit } from '../../units/units';
import { bothHalves, inLogUnits, NO_FIGURE } from '../../words/figures';
import { logLabel, resultLabel } from '../../words/labels';
import type { Label } from '../../words/label';
import type { TableName } from '../../log/table';
import type { decisions } from '../record';
import { tables } from '../../log/tables';
import { num, txt, type Cell, type FigureTable, type Row } from '../rows';
import { marked, shown, table, type Mark, type SheetColumn, type SheetElement } from './nodes';

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

/** A stack as it was read, of a split pair both halves. */
export const stackRead = (first: number | null, second: number | null): string =>
  bothHalves(first, second, (mm) => (mm === null ? NO_FIGURE : asRead(mm)));

/** A day of the log as it stands there; the sheet is read in many countries. */
export const dayWord = (day: string | null): string => day ?? NO_FIGURE;

export const figure = (value: number | null, unit: Unit, sign = false): string =>
  inLogUnits.figure(value, unit, { sign });

/** An uncertainty has one digit more than its figure. */
export const uncertainty = (value: number | null, unit: Unit): string =>
  inLogUnits.figure(value, unit, { decimals: units[unit].decimals + 1, bare: true });

export const runWord = (run: number | null): string => (run === null || run < 0 ? NO_FIGURE : String(run));

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
export function logColumn(name: TableName, column: string): SheetColumn<Row> {
  const fact = tables[name].columns.find((each) => each.name === column);
  const label = logLabel(name, column);
  const kind = label.unit !== null ? 'figure' : fact?.kind === 'text' ? 'free' : 'line';
  return { head: headOf(label), cell: (row) => plain(row[column]), kind };
}

/** Columns of the log of which some row has something to say. */
export const logColumns = (table: TableName, names: readonly string[], rows: readonly Row[]): SheetColumn<Row>[] =>
  names
    .filter((name) => rows.some((row) => row[name] !== null && row[name] !== undefined))
    .map((name) => logColumn(table, name));

export interface Placed {
  readonly file: string | null;
  readonly row_no: number | null;
}

/** Where rows stand: the file is told once where it is the same for all. */
export function standsIn<R>(
  rows: readonly R[],
  of: (row: R) => Placed,
): { readonly from: string; readonly column: SheetColumn<R> } {
  const files = new Set(rows.map((row) => of(row).file));
  const [only] = files;
  if (files.size === 1 && only !== null && only !== undefined) {
    const rowOf = ({ row_no }: Placed): string => (row_no === null ? NO_FIGURE : String(row_no));
    return { from: `, from ${shown(only)}`, column: { head: 'Row', cell: (row) => rowOf(of(row)), kind: 'figure' } };
  }
  return {
    from: '',
    column: { head: 'Stands in', cell: (row) => placeWord(of(row).file, of(row).row_no), kind: 'free' },
  };
}

export const placeOf = (row: Row): Placed => ({ file: txt(row, 'file'), row_no: num(row, 'row_no') });

/** A table with, last, the rows of the files that its rows stand in. */
export function placedTable<R>(
  caption: string,
  columns: readonly SheetColumn<R>[],
  rows: readonly R[],
  of: (row: R) => Placed,
  none?: string,
): SheetElement {
  const { from, column } = standsIn(rows, of);
  return table(`${caption}${from}`, [...columns, column], rows, none);
}

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

export function resultColumn(of: FigureTable, name: string): SheetColumn<Row> {
  const named = NAMES[name];
  if (named !== undefined) return { head: named, cell: (row) => plain(row[name]), kind: 'free' };
  const label = resultLabel(of, name);
  // The engine answers -1 for a stage without a run.
  if (name === 'as_left_run') return { head: headOf(label), cell: (row) => runWord(num(row, name)), kind: 'line' };
  return {
    head: headOf(label),
    cell: (row) => asCell(row[name], label),
    kind: label.unit === null ? 'line' : 'figure',
  };
}
