import { writeFile, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DuckDBDataChunk, DuckDBInstance, type DuckDBConnection, type DuckDBType } from '@duckdb/node-api';
import type { LogFile } from '../../log/inspect';
import { csvRelation, sqlText, UnreadableFile, type Database, type OpenedFile } from '../database';
import type { NumberTable } from '../numbers';
import type { SqlValue } from '../question';

const CHUNK_ROWS = 2048;

/** The database of the headless command and of tests: DuckDB itself, in memory. */
export class NativeDatabase implements Database<NumberTable> {
  private constructor(
    private readonly instance: DuckDBInstance,
    private readonly connection: DuckDBConnection,
  ) {}

  /** Opens an empty database with as many threads as the machine has, or as given. */
  static async open(threads?: number): Promise<NativeDatabase> {
    const instance = await DuckDBInstance.create(':memory:', {
      autoload_known_extensions: 'false',
      autoinstall_known_extensions: 'false',
      ...(threads === undefined ? {} : { threads: String(threads) }),
    });
    return new NativeDatabase(instance, await instance.connect());
  }

  async run(sql: string, params: readonly SqlValue[] = []): Promise<void> {
    await this.connection.run(sql, [...params]);
  }

  async rows(sql: string, params: readonly SqlValue[] = []): Promise<Record<string, unknown>[]> {
    const reader = await this.connection.runAndReadAll(sql, [...params]);
    return reader.getRowObjectsJS();
  }

  async pack(sql: string): Promise<NumberTable> {
    const reader = await this.connection.runAndReadAll(sql);
    const types = reader.columnTypes();
    const values = reader.getColumns();
    return Object.fromEntries(
      reader.columnNames().map((name, i) => {
        const column = values[i] ?? [];
        const array =
          types[i]?.toString() === 'INTEGER' ? new Int32Array(column.length) : new Float64Array(column.length);
        column.forEach((value, row) => {
          array[row] = Number(value);
        });
        return [name, array];
      }),
    );
  }

  async append(table: string, packed: NumberTable): Promise<void> {
    const columns = Object.values(packed);
    const rows = columns[0]?.length ?? 0;
    if (rows === 0) return;
    const types = (await this.connection.run(`select * from ${table} limit 0`)).columnTypes();
    const appender = await this.connection.createAppender(table);
    for (let start = 0; start < rows; start += CHUNK_ROWS) {
      const end = Math.min(rows, start + CHUNK_ROWS);
      appender.appendDataChunk(chunkOf(types, columns, start, end));
    }
    appender.closeSync();
  }

  async openCsv(file: LogFile, columns: number): Promise<OpenedFile> {
    const place = await onDisk(file);
    return {
      relation: csvRelation(place.path, columns),
      columns: [],
      close: place.remove,
    };
  }

  async openParquet(file: LogFile): Promise<OpenedFile> {
    const place = await onDisk(file);
    try {
      const described = await this.rows(`describe select * from read_parquet(${sqlText(place.path)})`);
      return {
        relation: `read_parquet(${sqlText(place.path)}) as f(${described.map((_, i) => `c${i}`).join(', ')})`,
        columns: described.map((row) => ({ name: String(row.column_name), type: String(row.column_type) })),
        close: place.remove,
      };
    } catch (error) {
      await place.remove();
      const message = error instanceof Error ? (error.message.split('\n')[0] ?? '') : String(error);
      throw new UnreadableFile(message.replaceAll(place.path, file.name));
    }
  }

  /** Files on disk are read when a statement asks for them. */
  readAhead(): void {
    return;
  }

  close(): Promise<void> {
    this.connection.closeSync();
    this.instance.closeSync();
    return Promise.resolve();
  }
}

function chunkOf(
  types: readonly DuckDBType[],
  columns: readonly (Int32Array | Float64Array)[],
  start: number,
  end: number,
) {
  const chunk = DuckDBDataChunk.create(types, end - start);
  columns.forEach((column, i) => {
    const vector = chunk.getColumnVector(i);
    for (let row = start; row < end; row += 1) {
      const value = column[row] ?? Number.NaN;
      vector.setItem(row - start, Number.isNaN(value) ? null : value);
    }
    vector.flush();
  });
  return chunk;
}

/** DuckDB reads paths, not bytes: a file that came as bytes alone is put on disk for as long as it is read. */
async function onDisk(file: LogFile): Promise<{ path: string; remove: () => Promise<void> }> {
  if (file.path !== null) return { path: file.path, remove: () => Promise.resolve() };
  const folder = await mkdtemp(join(tmpdir(), 'shimbook-'));
  const path = join(folder, 'file');
  await writeFile(path, new Uint8Array(await file.blob.arrayBuffer()));
  return { path, remove: () => rm(folder, { recursive: true }) };
}
