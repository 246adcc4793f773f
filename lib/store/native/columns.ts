import bindings from '@duckdb/node-bindings';
import { DuckDBDataChunk, DuckDBTypeId, type DuckDBConnection, type DuckDBType } from '@duckdb/node-api';
import type { NumberTable } from '../numbers';

/**
 * Numbers between DuckDB and typed arrays, a vector's memory at a time. The node-api's own vectors hand over value by value and
 * write each empty cell through a 64-bit integer object, which took longer than the engine itself.
 */

type Values = Int32Array | Float64Array;

const CHUNK_ROWS = bindings.vector_size();
const BITS = 8;
const ALL_VALID = 0xff;
/** DuckDB keeps which cells are filled in words of so many bits. */
const WORD_BITS = 64;
const validityBytes = (rows: number): number => Math.ceil(rows / WORD_BITS) * (WORD_BITS / BITS);

/** The whole answer of a query whose columns are INTEGER or DOUBLE without empty cells; throws TypeError on any other. */
export async function readNumbers(connection: DuckDBConnection, sql: string): Promise<NumberTable> {
  const result = await connection.run(sql);
  const names = result.columnNames();
  const chunks: DuckDBDataChunk[] = [];
  let rows = 0;
  for (let chunk = await result.fetchChunk(); chunk !== null && chunk.rowCount > 0; chunk = await result.fetchChunk()) {
    chunks.push(chunk);
    rows += chunk.rowCount;
  }
  const columns = names.map((name, i) => room(name, result.columnTypeId(i), rows));
  let filled = 0;
  for (const chunk of chunks) {
    const count = chunk.rowCount;
    columns.forEach((column, i) => {
      copyOut(names[i] ?? '', chunk, i, count, column, filled);
    });
    filled += count;
  }
  return Object.fromEntries(names.map((name, i) => [name, columns[i] ?? new Int32Array(0)]));
}

function room(name: string, type: DuckDBTypeId, rows: number): Values {
  if (type === DuckDBTypeId.INTEGER) return new Int32Array(rows);
  if (type === DuckDBTypeId.DOUBLE) return new Float64Array(rows);
  throw new TypeError(`Column ${name} is neither INTEGER nor DOUBLE`);
}

function copyOut(name: string, chunk: DuckDBDataChunk, i: number, count: number, to: Values, at: number): void {
  const vector = bindings.data_chunk_get_vector(chunk.chunk, i);
  if (hasEmpty(bindings.vector_get_validity(vector, validityBytes(count)), count)) {
    throw new TypeError(`Column ${name} has an empty cell`);
  }
  const bytes = bindings.vector_get_data(vector, count * to.BYTES_PER_ELEMENT);
  to.set(
    to instanceof Int32Array
      ? new Int32Array(bytes.buffer, bytes.byteOffset, count)
      : new Float64Array(bytes.buffer, bytes.byteOffset, count),
    at,
  );
}

/** The bindings answer null where every cell is filled, which their types leave out. */
function hasEmpty(validity: Uint8Array | null, count: number): boolean {
  if (validity === null) return false;
  const whole = Math.floor(count / BITS);
  for (let i = 0; i < whole; i += 1) if (validity[i] !== ALL_VALID) return true;
  const rest = (1 << (count % BITS)) - 1;
  return ((validity[whole] ?? 0) & rest) !== rest;
}

/** Appends columns to a table of INTEGER, TINYINT and DOUBLE columns in the same order; NaN becomes an empty cell. */
export async function appendNumbers(connection: DuckDBConnection, table: string, packed: NumberTable): Promise<void> {
  const columns = Object.values(packed);
  const rows = columns[0]?.length ?? 0;
  if (rows === 0) return;
  const types = (await connection.run(`select * from ${table} limit 0`)).columnTypes();
  if (types.length !== columns.length)
    throw new TypeError(`${table} has ${types.length} columns, not ${columns.length}`);
  const appender = await connection.createAppender(table);
  for (let start = 0; start < rows; start += CHUNK_ROWS) {
    const count = Math.min(rows - start, CHUNK_ROWS);
    const chunk = DuckDBDataChunk.create(types, count);
    columns.forEach((column, i) => {
      copyIn(chunk, i, types[i], column.subarray(start, start + count));
    });
    appender.appendDataChunk(chunk);
  }
  appender.closeSync();
}

function copyIn(chunk: DuckDBDataChunk, i: number, type: DuckDBType | undefined, values: Values): void {
  const vector = bindings.data_chunk_get_vector(chunk.chunk, i);
  const data = asStored(type, values);
  bindings.copy_data_to_vector(vector, 0, data.buffer, data.byteOffset, data.byteLength);
  if (!(values instanceof Float64Array)) return;
  const validity = filledCells(values);
  if (validity === null) return;
  bindings.vector_ensure_validity_writable(vector);
  bindings.copy_data_to_vector_validity(vector, 0, validity.buffer, 0, validity.byteLength);
}

function asStored(
  type: DuckDBType | undefined,
  values: Values,
): (Values | Int8Array) & { readonly buffer: ArrayBuffer } {
  const given = values instanceof Int32Array ? DuckDBTypeId.INTEGER : DuckDBTypeId.DOUBLE;
  if (type?.typeId === DuckDBTypeId.TINYINT && values instanceof Int32Array) return Int8Array.from(values);
  if (type?.typeId !== given) throw new TypeError(`A column of ${String(type)} was given other numbers`);
  return values as Values & { readonly buffer: ArrayBuffer };
}

/** One bit a cell, set where it is a number; null where all are. */
function filledCells(values: Float64Array): Uint8Array<ArrayBuffer> | null {
  let bits: Uint8Array<ArrayBuffer> | null = null;
  for (let row = 0; row < values.length; row += 1) {
    if (!Number.isNaN(values[row])) continue;
    bits ??= new Uint8Array(validityBytes(values.length)).fill(ALL_VALID);
    const at = row >> 3;
    bits[at] = (bits[at] ?? 0) & ~(1 << (row & 7));
  }
  return bits;
}
