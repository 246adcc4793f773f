import { MOST_COLUMNS, type LogFile } from '../log/inspect';
import type { SqlValue } from './question';

/** A file opened for SQL: the text of a relation to select from, and its columns in order with their database types. */
export interface OpenedFile {
  /** SQL that stands after `from`, made of fixed text and numbers only, never of names out of the file. */
  readonly relation: string;
  /** The relation's own column names are c0, c1, ...; these are the names in the file. */
  readonly columns: readonly { readonly name: string; readonly type: string }[];
  /** A large Parquet file comes a piece at a time, each in the same relation: how many rows are in it, where more are to come. */
  pieceRows(): Promise<number>;
  /** Puts the next piece in its place; false after the last. */
  nextPiece(): Promise<boolean>;
  close(): Promise<void>;
}

/** What a file says that comes in one piece. */
export const onePiece = {
  pieceRows: () => Promise.resolve(0),
  nextPiece: () => Promise.resolve(false),
} as const;

/** A file that the database can't make sense of; the message is fit to be shown. */
export class UnreadableFile extends Error {}

/** A file whose pages are few bytes may say any number of rows; a row of a log tells itself from all others, which takes bits. */
const MOST_ROWS_A_BYTE = 50;
const ROWS_FROM = 1_000_000;

/** Refuses a Parquet file by what it says of itself, before its rows are read. */
export function weighParquet(bytes: number, rows: number, columns: number): void {
  if (columns > MOST_COLUMNS) throw new UnreadableFile(`it has ${columns} columns`);
  if (rows > ROWS_FROM && rows > bytes * MOST_ROWS_A_BYTE) {
    throw new UnreadableFile(`it says that it holds ${rows} rows in ${bytes} bytes, which no readings fit into`);
  }
}

/**
 * The one way to the database. `Packed` is how a table of numbers travels between it and the engine: Arrow bytes in a
 * browser, where they cross to a worker without a copy; typed arrays in Node.
 */
export interface Database<Packed> {
  /** Runs statements without an answer. */
  run(sql: string, params?: readonly SqlValue[]): Promise<void>;
  /** A small answer, as plain objects; dates and whole numbers as the query cast them. */
  rows(sql: string, params?: readonly SqlValue[]): Promise<Record<string, unknown>[]>;
  /** A table of whole and real numbers, for the engine. */
  pack(sql: string): Promise<Packed>;
  /** Appends what the engine answered; the table's columns have the same order. */
  append(table: string, packed: Packed): Promise<void>;
  openCsv(file: LogFile, columns: number): Promise<OpenedFile>;
  openParquet(file: LogFile): Promise<OpenedFile>;
  /** Packs what was stored since, where it would stay unpacked otherwise and take several times the memory. */
  settle(): Promise<void>;
  /** Says that this Parquet file will be opened next, so that reading it can begin. */
  readAhead(file: LogFile): void;
  close(): Promise<void>;
}

/** Faults of rows that can't be taken apart, of which each keeps the text of its row; the database leaves out what is beyond. */
export const MOST_REJECTED = 50_000;

/** The columns of a relation with `count` columns, all text: names out of a file never become SQL. */
export const csvRelation = (path: string, count: number): string => {
  const columns = Array.from({ length: count }, (_, i) => `'c${i}': 'VARCHAR'`).join(', ');
  return `read_csv(${sqlText(path)}, header = true, auto_detect = false, delim = ',', quote = '"', escape = '"',
    parallel = false, null_padding = true, store_rejects = true, rejects_limit = ${MOST_REJECTED}, hive_partitioning = false, columns = {${columns}})`;
};

/** A text constant in SQL. Only fixed sentences and names made by this project are written this way. */
export const sqlText = (text: string): string => `'${text.replaceAll("'", "''")}'`;
