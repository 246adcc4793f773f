import { writeFile, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DuckDBInstance, type DuckDBConnection } from '@duckdb/node-api';
import type { LogFile } from '../../log/inspect';
import {
  csvRelation,
  onePiece,
  sqlText,
  UnreadableFile,
  weighParquet,
  type Database,
  type OpenedFile,
} from '../database';
import type { NumberTable } from '../numbers';
import type { SqlValue } from '../question';
import { appendNumbers, readNumbers } from './columns';

/** How much memory the database may take, and the folder that what does not fit goes to. */
export interface Room {
  readonly memoryMb: number;
  readonly spillTo: string;
}

/** The database of the headless command and of tests: DuckDB itself, in memory. */
export class NativeDatabase implements Database<NumberTable> {
  private constructor(
    private readonly instance: DuckDBInstance,
    private readonly connection: DuckDBConnection,
  ) {}

  /** Opens an empty database with as many threads as the machine has, or as given, and room as given or all there is. */
  static async open(threads?: number, room?: Room): Promise<NativeDatabase> {
    const instance = await DuckDBInstance.create(':memory:', {
      autoload_known_extensions: 'false',
      autoinstall_known_extensions: 'false',
      ...(threads === undefined ? {} : { threads: String(threads) }),
      ...(room === undefined ? {} : { memory_limit: `${room.memoryMb}MB`, temp_directory: room.spillTo }),
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

  pack(sql: string): Promise<NumberTable> {
    return readNumbers(this.connection, sql);
  }

  append(table: string, packed: NumberTable): Promise<void> {
    return appendNumbers(this.connection, table, packed);
  }

  async openCsv(file: LogFile, columns: number): Promise<OpenedFile> {
    const place = await onDisk(file);
    return {
      relation: csvRelation(place.path, columns),
      columns: [],
      ...onePiece,
      close: place.remove,
    };
  }

  async openParquet(file: LogFile): Promise<OpenedFile> {
    const place = await onDisk(file);
    try {
      // A folder named branch=north is a name, not a column: what the file does not hold is not read out of its path.
      const relation = `read_parquet(${sqlText(place.path)}, hive_partitioning = false)`;
      const [says] = await this.rows(
        `select num_rows::double as rows from parquet_file_metadata(${sqlText(place.path)})`,
      );
      weighParquet(file.blob.size, Number(says?.rows ?? 0), 0);
      const described = await this.rows(`describe select * from ${relation}`);
      weighParquet(file.blob.size, 0, described.length);
      return {
        relation: `${relation} as f(${described.map((_, i) => `c${i}`).join(', ')})`,
        columns: described.map((row) => ({ name: String(row.column_name), type: String(row.column_type) })),
        ...onePiece,
        close: place.remove,
      };
    } catch (error) {
      await place.remove();
      const message = error instanceof Error ? (error.message.split('\n')[0] ?? '') : String(error);
      throw new UnreadableFile(message.replaceAll(place.path, file.name));
    }
  }

  /** Here memory is bounded by what goes to disk. */
  settle(): Promise<void> {
    return Promise.resolve();
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

/** DuckDB reads paths, not bytes: a file that came as bytes alone is put on disk for as long as it is read. */
async function onDisk(file: LogFile): Promise<{ path: string; remove: () => Promise<void> }> {
  if (file.path !== null) return { path: file.path, remove: () => Promise.resolve() };
  const folder = await mkdtemp(join(tmpdir(), 'shimbook-'));
  const path = join(folder, 'file');
  await writeFile(path, new Uint8Array(await file.blob.arrayBuffer()));
  return { path, remove: () => rm(folder, { recursive: true }) };
}
