import {
  Bool,
  DateDay,
  Field,
  Float64,
  Int32,
  makeData,
  RecordBatch,
  Schema,
  Struct,
  Table,
  tableToIPC,
  Utf8,
} from 'apache-arrow';
import type { Data, DataType } from 'apache-arrow';
import { csvFormatRows } from 'd3-dsv';
import { closeSync, mkdirSync, openSync, readdirSync, renameSync, rmSync, writeFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { Compression, Table as WasmTable, writeParquet, WriterPropertiesBuilder } from 'parquet-wasm/node';
import type { CellKind } from '../lib/log/column';
import type { Column } from '../lib/log/table';
import { tables } from '../lib/log/tables';
import { shopTables, type Cell, type ShopTable, type WrittenRow } from './rows';

/** A folder that takes the rows of a log, table by table, in any number of pieces. */
export interface Folder {
  add(table: ShopTable, rows: readonly WrittenRow[]): void;
  close(): void;
}

const csvCell = (cell: Cell): string =>
  cell === null || cell === undefined ? '' : typeof cell === 'boolean' ? (cell ? 'yes' : 'no') : String(cell);

/** Makes the folder, and takes away the tables of an earlier log in it; anything else in it stays. */
function clearTables(path: string, ending: 'csv' | 'parquet'): void {
  mkdirSync(path, { recursive: true });
  const ofTable = new RegExp(`^(${shopTables.join('|')})(-[0-9]+)?[.]${ending}$`);
  for (const name of readdirSync(path)) if (ofTable.test(name)) rmSync(join(path, name));
}

const columnNames = new Map(shopTables.map((table) => [table, tables[table].columns.map((column) => column.name)]));

/** One CSV file a table: UTF-8, commas, line feeds. A table without rows has its header alone. */
export function csvFolder(path: string): Folder {
  clearTables(path, 'csv');
  const files = new Map<ShopTable, number>();
  for (const [table, names] of columnNames) {
    const file = openSync(join(path, `${table}.csv`), 'w');
    files.set(table, file);
    writeSync(file, `${csvFormatRows([names])}\n`);
  }
  return {
    add(table, rows) {
      const file = files.get(table);
      const names = columnNames.get(table);
      if (file === undefined || names === undefined || rows.length === 0) return;
      writeSync(file, `${csvFormatRows(rows.map((row) => names.map((name) => csvCell(row[name]))))}\n`);
    },
    close() {
      for (const file of files.values()) closeSync(file);
    },
  };
}

/** Rows of one Parquet file; a longer table goes on in a further file. */
const ROWS_A_FILE = 250_000;
const ROWS_A_GROUP = 125_000;

/** One Parquet file a table, or several numbered ones where the table is long. Cells have the types of the schema. */
export function parquetFolder(path: string, rowsAFile = ROWS_A_FILE): Folder {
  const waiting = new Map<ShopTable, WrittenRow[]>();
  const written = new Map<ShopTable, number>();
  clearTables(path, 'parquet');
  const numbered = (table: ShopTable, n: number) => join(path, `${table}-${String(n).padStart(3, '0')}.parquet`);
  const flush = (table: ShopTable, rows: readonly WrittenRow[], last: boolean) => {
    const n = (written.get(table) ?? 0) + 1;
    written.set(table, n);
    writeFileSync(n === 1 && last ? join(path, `${table}.parquet`) : numbered(table, n), parquetBytes(table, rows));
  };
  return {
    add(table, rows) {
      const held = waiting.get(table) ?? [];
      for (const row of rows) held.push(row);
      if (held.length < rowsAFile) {
        waiting.set(table, held);
        return;
      }
      flush(table, held, false);
      waiting.set(table, []);
    },
    close() {
      for (const [table, rows] of waiting) {
        if (rows.length > 0 || !written.has(table)) flush(table, rows, true);
        else if (written.get(table) === 1) renameSync(numbered(table, 1), join(path, `${table}.parquet`));
      }
    },
  };
}

/** A table as one Parquet file, compressed by zstd, in row groups of a fixed size. */
export function parquetBytes(table: ShopTable, rows: readonly WrittenRow[]): Uint8Array {
  const { columns } = tables[table];
  const schema = new Schema(columns.map((column) => new Field(column.name, arrowType(column.kind), true)));
  const children = columns.map((column) => columnData(column, rows));
  const data = makeData({ type: new Struct(schema.fields), length: rows.length, nullCount: 0, children });
  const ipc = tableToIPC(new Table([new RecordBatch(schema, data)]), 'stream');
  const properties = new WriterPropertiesBuilder()
    .setCompression(Compression.ZSTD)
    .setMaxRowGroupSize(ROWS_A_GROUP)
    .setCreatedBy('shimbook demo log')
    .build();
  return writeParquet(WasmTable.fromIPCStream(ipc), properties);
}

function arrowType(kind: CellKind): DataType {
  switch (kind) {
    case 'number':
      return new Float64();
    case 'integer':
      return new Int32();
    case 'date':
      return new DateDay();
    case 'yes_no':
      return new Bool();
    default:
      return new Utf8();
  }
}

const DAY_MS = 86_400_000;

function columnData(column: Column, rows: readonly WrittenRow[]): Data {
  const length = rows.length;
  const nullBitmap = new Uint8Array((length + 7) >> 3);
  let nullCount = 0;
  const cellAt = (i: number): string | number | boolean | null => {
    const cell = rows[i]?.[column.name] ?? null;
    if (cell === null) nullCount += 1;
    else nullBitmap[i >> 3] = (nullBitmap[i >> 3] ?? 0) | (1 << (i & 7));
    return cell;
  };
  const fill = <A extends Float64Array | Int32Array>(data: A, read: (cell: string | number | boolean) => number): A => {
    for (let i = 0; i < length; i += 1) {
      const cell = cellAt(i);
      if (cell !== null) data[i] = read(cell);
    }
    return data;
  };
  switch (column.kind) {
    case 'number': {
      const data = fill(new Float64Array(length), Number);
      return makeData({ type: new Float64(), length, nullCount, nullBitmap, data });
    }
    case 'integer': {
      const data = fill(new Int32Array(length), Number);
      return makeData({ type: new Int32(), length, nullCount, nullBitmap, data });
    }
    case 'date': {
      const data = fill(new Int32Array(length), (cell) => Date.parse(String(cell)) / DAY_MS);
      return makeData({ type: new DateDay(), length, nullCount, nullBitmap, data });
    }
    case 'yes_no': {
      const data = new Uint8Array((length + 7) >> 3);
      for (let i = 0; i < length; i += 1) if (cellAt(i) === true) data[i >> 3] = (data[i >> 3] ?? 0) | (1 << (i & 7));
      return makeData({ type: new Bool(), length, nullCount, nullBitmap, data });
    }
    default: {
      const valueOffsets = new Int32Array(length + 1);
      const texts: string[] = [];
      let end = 0;
      for (let i = 0; i < length; i += 1) {
        const cell = cellAt(i);
        if (cell !== null) {
          const text = String(cell);
          texts.push(text);
          end += Buffer.byteLength(text);
        }
        valueOffsets[i + 1] = end;
      }
      const data = new Uint8Array(Buffer.from(texts.join('')));
      return makeData({ type: new Utf8(), length, nullCount, nullBitmap, valueOffsets, data });
    }
  }
}
