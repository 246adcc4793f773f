import { AsyncDuckDB, DuckDBDataProtocol, VoidLogger, type AsyncDuckDBConnection } from '@duckdb/duckdb-wasm';
import type { LogFile } from '../../log/inspect';
import { csvRelation, UnreadableFile, type Database, type OpenedFile } from '../database';
import type { SqlValue } from '../question';
import type { Bench } from './bench';

/** Below this a CSV file is handed over whole, which reads twice as fast; above it the database reads it from disk. */
const WHOLE_FILE_BYTES = 1 << 27;

/** Nothing may be fetched, whatever a statement asks for: extensions come from another host. */
const SHUT = `set autoload_known_extensions = false; set autoinstall_known_extensions = false; set lock_configuration = true`;

/** The database in a browser: DuckDB-WASM in its own worker, everything from the page's own origin. */
export class BrowserDatabase implements Database<Uint8Array> {
  private files = 0;

  private constructor(
    private readonly db: AsyncDuckDB,
    private readonly connection: AsyncDuckDBConnection,
    private readonly bench: Bench,
  ) {}

  static async open(worker: Worker, wasmUrl: string, bench: Bench): Promise<BrowserDatabase> {
    const db = new AsyncDuckDB(new VoidLogger(), worker);
    await db.instantiate(wasmUrl);
    // Without these whole numbers of 64 bits and decimals reach the page unscaled.
    await db.open({ query: { castBigIntToDouble: true, castDecimalToDouble: true } });
    const connection = await db.connect();
    await connection.query(SHUT);
    return new BrowserDatabase(db, connection, bench);
  }

  /** A second connection, which sees the log as it was while a load is under way on the first. */
  async beside(): Promise<BrowserDatabase> {
    return new BrowserDatabase(this.db, await this.db.connect(), this.bench);
  }

  async run(sql: string, params: readonly SqlValue[] = []): Promise<void> {
    await this.answer(sql, params);
  }

  async rows(sql: string, params: readonly SqlValue[] = []): Promise<Record<string, unknown>[]> {
    const table = await this.answer(sql, params);
    const names = table.schema.fields.map((field) => field.name);
    const rows: Record<string, unknown>[] = [];
    // Batch by batch: looking a row up in the whole table searches for its batch each time.
    for (const batch of table.batches) {
      const vectors = names.map((name) => batch.getChild(name));
      for (let i = 0; i < batch.numRows; i += 1) {
        rows.push(Object.fromEntries(vectors.map((vector, k): [string, unknown] => [names[k] ?? '', vector?.get(i)])));
      }
    }
    return rows;
  }

  private async answer(sql: string, params: readonly SqlValue[]) {
    if (params.length === 0) return this.connection.query(sql);
    const statement = await this.connection.prepare(sql);
    try {
      return await statement.query(...params);
    } finally {
      await statement.close();
    }
  }

  async pack(sql: string): Promise<Uint8Array> {
    return this.connection.useUnsafe((db, connection) => db.runQuery(connection, sql));
  }

  async append(table: string, packed: Uint8Array): Promise<void> {
    await this.connection.insertArrowFromIPCStream(packed, { name: table, create: false });
  }

  async openCsv(file: LogFile, columns: number): Promise<OpenedFile> {
    const name = this.nextName();
    if (file.blob.size <= WHOLE_FILE_BYTES) {
      await this.db.registerFileBuffer(name, new Uint8Array(await file.blob.arrayBuffer()));
    } else {
      await this.db.registerFileHandle(name, file.blob, DuckDBDataProtocol.BROWSER_FILEREADER, true);
    }
    return {
      relation: csvRelation(name, columns),
      columns: [],
      close: async () => {
        await this.db.dropFile(name);
      },
    };
  }

  async openParquet(file: LogFile): Promise<OpenedFile> {
    const name = this.nextName();
    const columns = await this.bench.openParquet(file.blob);
    let create = true;
    for (let piece = await this.bench.nextParquet(); piece !== null; piece = await this.bench.nextParquet()) {
      await this.connection.insertArrowFromIPCStream(piece, { name, create });
      create = false;
    }
    if (create) throw new UnreadableFile('it has no rows');
    // Bytes that the database can't take in raise no error there; the table then lacks or is empty.
    const described = await this.rows(`describe ${name}`);
    if (described.length !== columns.length) throw new UnreadableFile('its columns are of a kind that can not be read');
    return {
      relation: `${name} as f(${columns.map((_, i) => `c${i}`).join(', ')})`,
      columns: described.map((row) => ({ name: String(row.column_name), type: String(row.column_type) })),
      close: async () => {
        await this.run(`drop table ${name}`);
      },
    };
  }

  private nextName(): string {
    this.files += 1;
    return `file_${this.files}`;
  }

  async close(): Promise<void> {
    await this.connection.close();
    await this.db.terminate();
    this.bench.close();
  }
}
