import { csvFormatRow } from 'd3-dsv';
import { refusal } from '../sentences';
import type { Column, LogTable, TableName } from '../table';
import { tables } from '../tables';
import { cellReader } from './cells';
import { DistinctRows, FIRST_ROW, type Conflict } from './distinct';
import { elementHeaders, normalName, signature, type Mapping, type Target } from './mapping';

/** Applies a mapping to the rows of a sheet. */

/**
 * Rows of one table of the log, each in the place of the sheet's row that it came from: the first is the sheet's second row.
 * Null where that row holds nothing for this table. A sheet with a column an element gives one of these an element, so that
 * every reading keeps its row number.
 */
export interface ConvertedTable {
  readonly table: TableName;
  readonly element: number | null;
  readonly header: readonly string[];
  readonly rows: readonly (readonly string[] | null)[];
}

export type Conversion =
  | {
      readonly ok: true;
      readonly tables: readonly ConvertedTable[];
      /** Rows of one key that do not agree, where a table's rows are taken once a key. */
      readonly conflicts: readonly Conflict[];
      /** Columns of the sheet that no target takes anything from. */
      readonly unused: readonly string[];
      /** Rows that are not blank and gave nothing to any table, as a spreadsheet counts. */
      readonly idle: readonly number[];
    }
  | { readonly ok: false; readonly reason: string };

type Cells = readonly string[];

/**
 * @param rows all rows of the sheet from its first, blank ones too
 */
export function convert(mapping: Mapping, rows: readonly Cells[]): Conversion {
  const header = rows[mapping.header_row - 1];
  if (header === undefined) return { ok: false, reason: `The sheet has no row ${mapping.header_row} with headers.` };
  const want = signature(mapping.headers);
  const names = signature(header);
  const lacking = want.filter((name) => !names.includes(name));
  if (lacking.length > 0) {
    return { ok: false, reason: `The mapping "${mapping.name}" needs the columns ${lacking.join(', ')}.` };
  }
  const used = usedNames(mapping);
  const doubled = [...used].filter((name) => names.indexOf(name) !== names.lastIndexOf(name));
  if (doubled.length > 0) return { ok: false, reason: refusal.duplicateColumns(doubled) };
  const sheet: Sheet = { mapping, header: header.map(normalName), rows: rows.slice(1) };
  const made = mapping.targets.map((target) => convertTarget(sheet, target));
  const converted = made.flatMap((each) => each.tables);
  return {
    ok: true,
    tables: converted.filter((each) => each.rows.some((row) => row !== null)),
    conflicts: made.flatMap((each) => each.conflicts),
    unused: header.filter((name) => normalName(name) !== '' && !used.has(normalName(name))),
    idle: idleRows(sheet, converted),
  };
}

interface Sheet {
  readonly mapping: Mapping;
  /** Normal names of the columns, in the sheet's order. */
  readonly header: readonly string[];
  /** From the sheet's second row on. */
  readonly rows: readonly Cells[];
}

/** How one cell of the log is had from a row of the sheet. */
interface Taker {
  readonly column: Column;
  readonly take: (row: Cells) => string;
  /** The sheet's column that it stands in; null where it is stated once for all rows. */
  readonly place: number | null;
}

interface Taken extends ConvertedTable {
  /** The rows before those of one key became one. */
  readonly taken: readonly (Cells | null)[];
}

function convertTarget(sheet: Sheet, target: Target): { tables: Taken[]; conflicts: Conflict[] } {
  const table: LogTable = tables[target.table];
  const elements = target.shape === 'a row a reading' ? [null] : elementsOf(target, sheet.header);
  // The element is in the key, so that rows once a key are those of one element.
  const made = elements.map((element) => convertElement(sheet, target, table, element));
  return { tables: made.map((each) => each.taken), conflicts: made.flatMap((each) => each.conflicts) };
}

function convertElement(
  sheet: Sheet,
  target: Target,
  table: LogTable,
  element: number | null,
): { taken: Taken; conflicts: Conflict[] } {
  const takers = takersOf(sheet, target, table, element);
  const header = takers.map((taker) => taker.column.name);
  const taken = convertRows(sheet, target, takers);
  const distinct = target.rows === 'distinct' ? new DistinctRows(table, header) : null;
  const rows = distinct === null ? taken : onceAKey(taken, distinct);
  return { taken: { table: table.name, element, header, taken, rows }, conflicts: distinct?.conflicts() ?? [] };
}

/** Elements that any column of the target has a column of the sheet for, ascending. */
function elementsOf(target: Target, names: readonly string[]): number[] {
  const numbers = Object.values(target.columns).flatMap((from) =>
    from.from === 'elements' ? [...elementHeaders(from, names).keys()] : [],
  );
  return [...new Set(numbers)].sort((a, b) => a - b);
}

function takersOf(sheet: Sheet, target: Target, table: LogTable, element: number | null): Taker[] {
  return table.columns.flatMap((column): Taker[] => {
    const from = Object.hasOwn(target.columns, column.name) ? target.columns[column.name] : undefined;
    if (from === undefined) return [];
    const always = (value: string): Taker => ({ column, take: () => value, place: null });
    if (from.from === 'constant') return [always(from.value)];
    if (from.from === 'element') return [always(element === null ? '' : String(element))];
    const name =
      from.from === 'header' ? normalName(from.header) : elementHeaders(from, sheet.header).get(element ?? 0);
    const place = name === undefined ? -1 : sheet.header.indexOf(name);
    if (place < 0) return [always('')];
    const read = cellReader(column, from, sheet.mapping);
    return [{ column, take: (row) => read(row[place] ?? ''), place }];
  });
}

function convertRows(sheet: Sheet, target: Target, takers: readonly Taker[]): (readonly string[] | null)[] {
  const holds = holdsSomething(target, takers);
  const skipped = sheet.mapping.header_row - 1;
  return sheet.rows.map((row, i): readonly string[] | null => {
    if (i < skipped || isBlank(row) || !holds(row)) return null;
    const cells = takers.map((taker) => taker.take(row));
    // Cells beyond the header have no name; with them the row is set aside as one that has too many.
    const beyond = row.slice(sheet.header.length);
    return isBlank(beyond) ? cells : [...cells, ...beyond];
  });
}

function onceAKey(taken: readonly (Cells | null)[], distinct: DistinctRows): (Cells | null)[] {
  taken.forEach((cells, i) => {
    if (cells !== null) distinct.add(cells, i);
  });
  return taken.map((_, i) => distinct.at(i));
}

function idleRows({ mapping, rows }: Sheet, made: readonly Taken[]): number[] {
  return rows.flatMap((row, i) =>
    i < mapping.header_row - 1 || isBlank(row) || made.some(({ taken }) => taken[i] !== null) ? [] : [i + FIRST_ROW],
  );
}

const isBlank = (row: Cells): boolean => row.every((cell) => cell.trim() === '');

/** Whether a row of the sheet holds a reading for this target; one that does not is no row of its table. */
function holdsSomething(target: Target, takers: readonly Taker[]): (row: Cells) => boolean {
  const asked = target.only_where;
  const elements = Object.entries(target.columns).flatMap(([name, from]) => (from.from === 'elements' ? [name] : []));
  const names = asked ?? elements;
  if (names.length === 0) return () => true;
  const places = takers.flatMap(({ column, place }) => (place !== null && names.includes(column.name) ? [place] : []));
  return (row) => places.some((place) => (row[place] ?? '').trim() !== '');
}

function usedNames(mapping: Mapping): ReadonlySet<string> {
  const names = signature(mapping.headers);
  return new Set(
    mapping.targets.flatMap((target) =>
      Object.values(target.columns).flatMap((from) => {
        if (from.from === 'header') return [normalName(from.header)];
        return from.from === 'elements' ? [...elementHeaders(from, names).values()] : [];
      }),
    ),
  );
}

/**
 * The table as comma separated text, a row of the sheet in the row of the same number; blank where the sheet has none for it,
 * so that the log counts rows as the sheet does.
 */
export function csvOf(made: ConvertedTable): string {
  const last = made.rows.findLastIndex((row) => row !== null);
  const lines = made.rows.slice(0, last + 1).map((row) => (row === null ? '' : csvFormatRow([...row])));
  return `${[csvFormatRow([...made.header]), ...lines].join('\n')}\n`;
}
