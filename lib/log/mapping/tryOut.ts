import { row as rowSays } from '../sentences';
import type { LogTable, TableName } from '../table';
import { tables } from '../tables';
import { faultOf } from '../verdict';
import { convert, type ConvertedTable } from './convert';
import { FIRST_ROW } from './distinct';
import { doubtsOf } from './doubts';
import type { Mapping } from './mapping';
import { decode, parseRows } from './read';

/** What a mapping makes of a sheet's rows, before any of it is in the log. */

export interface TriedTable {
  readonly table: TableName;
  readonly header: readonly string[];
  /** The first of them, each after its row number in the sheet. */
  readonly rows: readonly (readonly string[])[];
  readonly total: number;
  /** How many of them the log would set aside for their cells. */
  readonly aside: number;
}

/** Rows that would be set aside for the same reason. */
export interface TriedFault {
  readonly table: TableName;
  readonly column: string;
  readonly reason: string;
  readonly rows: number;
  /** The first of them, and what stands there. */
  readonly first: number;
  readonly value: string;
}

export type Tried =
  | {
      readonly ok: true;
      /** Rows below the headers that are not blank. */
      readonly looked: number;
      readonly tables: readonly TriedTable[];
      readonly faults: readonly TriedFault[];
      readonly unused: readonly string[];
      /** Rows that give nothing to any table. */
      readonly idle: number;
      /** Values of one key that do not agree from row to row. */
      readonly conflicts: number;
      /** What in the cells speaks against how the mapping reads numbers and days. */
      readonly doubts: readonly string[];
    }
  | { readonly ok: false; readonly reason: string };

const SHOWN_ROWS = 8;

export function tryOut(mapping: Mapping, rows: readonly (readonly string[])[]): Tried {
  const made = convert(mapping, rows);
  if (!made.ok) return made;
  const judged = made.tables.map((table) => ({ table, faults: faultsIn(table) }));
  const names = [...new Set(made.tables.map(({ table }) => table))];
  return {
    ok: true,
    looked: rows.slice(mapping.header_row).filter((row) => row.some((cell) => cell.trim() !== '')).length,
    tables: names.map((name) => {
      const own = judged.filter(({ table }) => table.table === name);
      return together(
        own.map(({ table }) => table),
        own.reduce((sum, { faults }) => sum + faults.length, 0),
      );
    }),
    faults: grouped(judged.flatMap(({ faults }) => faults)),
    unused: made.unused,
    idle: made.idle.length,
    conflicts: made.conflicts.length,
    doubts: doubtsOf(mapping, rows),
  };
}

/** The same of a whole sheet. */
export async function tryOutSheet(blob: Blob, mapping: Mapping): Promise<Tried> {
  const text = decode(new Uint8Array(await blob.arrayBuffer()), mapping.encoding);
  if (!text.ok) return text;
  const rows = parseRows(text.text, mapping.delimiter);
  return rows.ok ? tryOut(mapping, rows.rows) : rows;
}

function together(made: readonly ConvertedTable[], aside: number): TriedTable {
  // Of each of the tables only what can be among the first rows of all.
  const first = made
    .flatMap(({ rows }) =>
      rows.flatMap((row, i) => (row === null ? [] : [{ no: i + FIRST_ROW, row }])).slice(0, SHOWN_ROWS),
    )
    .sort((a, b) => a.no - b.no)
    .slice(0, SHOWN_ROWS);
  return {
    table: made[0]?.table ?? 'jobs',
    header: made[0]?.header ?? [],
    rows: first.map(({ no, row }) => [String(no), ...row]),
    total: made.reduce((sum, { rows }) => sum + rows.filter((row) => row !== null).length, 0),
    aside,
  };
}

type Fault = Omit<TriedFault, 'rows'>;

/** The first fault of each row that has one, as the log names it. */
function faultsIn({ table, header, rows }: ConvertedTable): Fault[] {
  const all: LogTable = tables[table];
  const columns = header.map((name) => all.columns.find((column) => column.name === name));
  const known = columns.map(() => new Map<string, string | null>());
  const faultAt = (c: number, cell: string): string | null => {
    const column = columns[c];
    if (column === undefined) return null;
    // Cells repeat: of most columns a few dozen are judged, whatever the number of rows.
    const before = known[c]?.get(cell);
    if (before !== undefined) return before;
    const fault = faultOf(column, cell);
    known[c]?.set(cell, fault);
    return fault;
  };
  return rows.flatMap((row, i): Fault[] => {
    if (row === null) return [];
    const at = { table, first: i + FIRST_ROW };
    if (row.length > header.length) {
      return [{ ...at, column: '–', value: row.slice(header.length).join(' '), reason: rowSays.tooManyColumns }];
    }
    const found = row.findIndex((cell, c) => faultAt(c, cell) !== null);
    if (found < 0) return [];
    const value = row[found] ?? '';
    return [{ ...at, column: header[found] ?? '', value, reason: faultAt(found, value) ?? '' }];
  });
}

function grouped(faults: readonly Fault[]): TriedFault[] {
  const by = new Map<string, TriedFault>();
  for (const fault of faults) {
    const name = JSON.stringify([fault.table, fault.column, fault.reason]);
    const before = by.get(name);
    if (before === undefined) by.set(name, { ...fault, rows: 1 });
    else {
      const earlier = fault.first < before.first ? fault : before;
      by.set(name, { ...before, first: earlier.first, value: earlier.value, rows: before.rows + 1 });
    }
  }
  return [...by.values()].sort((a, b) => b.rows - a.rows);
}
