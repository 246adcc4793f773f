import {
  AsyncDuckDB,
  DuckDBDataProtocol,
  VoidLogger,
  type AsyncDuckDBConnection,
  type AsyncPreparedStatement,
} from '@duckdb/duckdb-wasm';
import type { LogFile } from '../../log/inspect';
import { csvRelation, onePiece, type Database, type OpenedFile } from '../database';
import type { SqlValue } from '../question';
import type { Bench } from './bench';
import type { ParquetHead } from './messages';

/** Below this a CSV file is handed over whole, which reads twice as fast; above it the database reads it from disk. */
const WHOLE_FILE_BYTES = 1 << 27;

/** Nothing may be fetched, whatever a statement asks for: extensions come from another host. */
const SHUT = `set autoload_known_extensions = false; set autoinstall_known_extensions = false; set lock_configuration = true`;

/** The log stands in a database of its own, whose rows are packed as they are stored: a tenth of the memory and less. */
const PACKED = `attach ':memory:' as log (compress)`;

/**
 * Full row groups are packed as they come. What is appended in smaller pieces, as results are, stays unpacked until it is settled,
 * which is done whenever so much of it has gathered [bytes of Arrow].
 */
const SETTLED_AT_BYTES = 100e6;

/** A Parquet file whose first piece is on its way. */
interface Ahead {
  readonly blob: Blob;
  readonly head: Promise<ParquetHead>;
  readonly first: Promise<Uint8Array | null>;
}

/** The database in a browser: DuckDB-WASM in its own worker, everything from the page's own origin. */
export class BrowserDatabase implements Database<Uint8Array> {
  private files = 0;
  private ahead: Ahead | null = null;
  private home: 'log' | 'rehearsal' = 'log';
  /** Bytes appended since they were last packed. */
  private unpacked = 0;

  private constructor(
    private readonly db: AsyncDuckDB,
    private readonly connection: AsyncDuckDBConnection,
    private readonly bench: Bench,
    /** Statements that stay planned; null on a connection that changes the log. */
    private readonly kept: Map<string, Promise<AsyncPreparedStatement>> | null = null,
  ) {}

  /** @param memoryMb memory that it may take; null for as much as the browser gives */
  static async open(
    worker: Worker,
    wasmUrl: string,
    bench: Bench,
    memoryMb: number | null = null,
  ): Promise<BrowserDatabase> {
    const db = new AsyncDuckDB(new VoidLogger(), worker);
    await db.instantiate(wasmUrl);
    // Without these whole numbers of 64 bits and decimals reach the page unscaled.
    await db.open({ query: { castBigIntToDouble: true, castDecimalToDouble: true } });
    const connection = await db.connect();
    const bounded = memoryMb === null ? '' : `set memory_limit = '${memoryMb}MB'; `;
    await connection.query(`${bounded}${SHUT}; ${PACKED}; use log`);
    return new BrowserDatabase(db, connection, bench);
  }

  /** A second connection, which sees the log as it was while a load is under way on the first. */
  async beside(): Promise<BrowserDatabase> {
    const connection = await this.db.connect();
    await connection.query('use log');
    return new BrowserDatabase(this.db, connection, this.bench, new Map());
  }

  /** Goes to another database, or back to the log: what is made and read from then on stands there. */
  async turnTo(home: 'log' | 'rehearsal'): Promise<void> {
    await this.connection.query(`use ${home}`);
    this.home = home;
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
    if (this.kept !== null) return (await this.keptStatement(sql, this.kept)).query(...params);
    const statement = await this.connection.prepare(sql);
    try {
      return await statement.query(...params);
    } finally {
      await statement.close();
    }
  }

  /** Plans a statement that may be asked next, on a connection that keeps its plans, and goes through it once. */
  async foresee(sql: string, params: readonly SqlValue[]): Promise<void> {
    if (this.kept !== null) await (await this.keptStatement(sql, this.kept)).query(...params);
  }

  /** A question is planned when it is first asked, or foreseen: to plan it takes as long as to answer it. */
  private async keptStatement(
    sql: string,
    kept: Map<string, Promise<AsyncPreparedStatement>>,
  ): Promise<AsyncPreparedStatement> {
    const planned = kept.get(sql) ?? this.connection.prepare(sql);
    kept.set(sql, planned);
    try {
      return await planned;
    } catch (error) {
      kept.delete(sql);
      throw error;
    }
  }

  async pack(sql: string): Promise<Uint8Array> {
    return this.connection.useUnsafe((db, connection) => db.runQuery(connection, sql));
  }

  async append(table: string, packed: Uint8Array): Promise<void> {
    // The driver takes the bytes with it.
    this.unpacked += packed.byteLength;
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
      ...onePiece,
      close: async () => {
        await this.db.dropFile(name);
      },
    };
  }

  async openParquet(file: LogFile): Promise<OpenedFile> {
    const name = this.nextName();
    const ahead = this.ahead?.blob === file.blob ? this.ahead : this.beginParquet(file.blob);
    this.ahead = null;
    const { reading, columns } = await ahead.head;
    const place = `memory.main.${name}`;
    const first = await ahead.first;
    let next: Promise<Uint8Array | null> = Promise.resolve(null);
    const put = async (piece: Uint8Array): Promise<void> => {
      // The worker takes the next piece apart while the database stores this one; what is wrong with it is met in its turn.
      next = this.bench.nextParquet(reading);
      next.catch(() => undefined);
      // Beside the log, since what is read once is not worth packing.
      await this.connection.query('use memory');
      try {
        await this.connection.insertArrowFromIPCStream(piece, { name, create: true });
      } finally {
        await this.connection.query(`use ${this.home}`);
      }
    };
    if (first === null) await this.run(`create table ${place} (${columns.map((_, i) => `c${i} VARCHAR`).join(', ')})`);
    else await put(first);
    return {
      relation: `${place} as f(${columns.map((_, i) => `c${i}`).join(', ')})`,
      columns,
      pieceRows: async () => {
        const [row] = await this.rows(`select count(*)::integer as n from ${place}`);
        return Number(row?.n ?? 0);
      },
      nextPiece: async () => {
        const piece = await next;
        if (piece === null) return false;
        await this.run(`drop table ${place}`);
        await put(piece);
        return true;
      },
      close: async () => {
        await this.run(`drop table if exists ${place}`);
      },
    };
  }

  async settle(): Promise<void> {
    if (this.unpacked < SETTLED_AT_BYTES) return;
    try {
      this.unpacked = 0;
      await this.connection.query('checkpoint log');
    } catch (error) {
      // While another statement is under way nothing can be packed; the next time it is.
      if (!(error instanceof Error && /checkpoint/i.test(error.message))) throw error;
    }
  }

  readAhead(file: LogFile): void {
    const left = this.ahead;
    this.ahead = this.beginParquet(file.blob);
    // A file that was begun and then not opened is let go of; what was wrong with it is met when it is opened.
    left?.head.then(
      ({ reading }) => this.bench.closeParquet(reading),
      () => undefined,
    );
  }

  private beginParquet(blob: Blob): Ahead {
    const head = this.bench.openParquet(blob);
    const first = head.then(({ reading }) => this.bench.nextParquet(reading));
    first.catch(() => undefined);
    return { blob, head, first };
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
