import { dsvFormat } from 'd3-dsv';
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';
import { normalHeader, recognise } from './recognise';
import { pieces, scanText, type TextScan } from './scan';
import { refusal, remark } from './sentences';
import type { TableName } from './table';

/** A file as it came: its name and its bytes, which stay on disk until they are read. */
export interface LogFile {
  readonly name: string;
  readonly blob: Blob;
  /** Where it lies on disk; null in a browser, which does not tell. */
  readonly path: string | null;
  /** The file it was converted from, where it does not hold the bytes that came. */
  readonly origin?: Origin | undefined;
}

export interface Origin {
  readonly name: string;
  readonly bytes: number;
  /** SHA-256 of it. */
  readonly hash: string;
  /** The sheet of a workbook; null where the file is a text. */
  readonly sheet: string | null;
}

export interface CsvInspection {
  readonly ok: true;
  readonly format: 'csv';
  /** Of the text that is taken in, which is not the file that came where that was converted. */
  readonly hash: string;
  readonly table: TableName;
  readonly header: readonly string[];
  /** Rows without any cell, counted as a spreadsheet counts (the header is row 1), ascending. */
  readonly blankRows: readonly number[];
  /** Whether rows end in more than one way or in CR alone, which the database refuses or counts in its own way: see withPlainLineEnds. */
  readonly mixedLineEnds: boolean;
  readonly note: string | null;
}
export interface ParquetInspection {
  readonly ok: true;
  readonly format: 'parquet';
  readonly hash: string;
}
export interface Refusal {
  readonly ok: false;
  readonly reason: string;
}
export type Inspection = CsvInspection | ParquetInspection | Refusal;

/** The header must end within so many bytes. */
const HEAD_BYTES = 1 << 18;
/** As many as a spreadsheet has; the widest table of the log has some forty. */
export const MOST_COLUMNS = 16_384;
const delimiters = [
  [';', 'semicolons'],
  ['\t', 'tabs'],
  ['|', 'upright strokes'],
  ['~', 'tildes'],
] as const;

const refuse = (reason: string): Refusal => ({ ok: false, reason });
const startsWith = (bytes: Uint8Array, ...start: number[]) => start.every((byte, i) => bytes[i] === byte);

/** Looks through a whole file once, in pieces, before anything of it is taken into the log. */
export async function inspect(file: LogFile): Promise<Inspection> {
  try {
    return await lookThrough(file);
  } catch (error) {
    if (isGone(error)) return refuse(refusal.changed);
    throw error;
  }
}

/** Whether reading failed because the file was written to, moved or removed after it was chosen. */
export const isGone = (error: unknown): boolean =>
  error instanceof DOMException && ['NotReadableError', 'NotFoundError'].includes(error.name);

async function lookThrough(file: LogFile): Promise<Inspection> {
  if (file.blob.size === 0) return refuse(refusal.empty);
  const head = new Uint8Array(await file.blob.slice(0, HEAD_BYTES).arrayBuffer());
  if (startsWith(head, 0x50, 0x41, 0x52, 0x31)) return inspectParquet(file);
  if (startsWith(head, 0x50, 0x4b, 0x03, 0x04)) return refuse(refusal.workbook);
  if (startsWith(head, 0xff, 0xfe) || startsWith(head, 0xfe, 0xff)) return refuse(refusal.utf16);
  if (head.includes(0)) return refuse(looksLikeUtf16(head) ? refusal.utf16 : refusal.binary);
  const scan = await scanText(file.blob);
  if (scan.failed !== null) return refuse(scan.failed);
  const header = inspectHeader(head, file.blob.size > head.length, scan);
  return header.ok ? { ...header, hash: await fileHash(file.blob) } : header;
}

async function inspectParquet(file: LogFile): Promise<Inspection> {
  const tail = new Uint8Array(await file.blob.slice(-4).arrayBuffer());
  if (file.blob.size < 12 || !startsWith(tail, 0x50, 0x41, 0x52, 0x31)) return refuse(refusal.parquetCut);
  return { ok: true, format: 'parquet', hash: await fileHash(file.blob) };
}

const WHOLE_HASH_BYTES = 1 << 27;

/**
 * SHA-256 of a file in hexadecimal. The browser's own digest is some ten times as fast, but it wants the whole file at
 * once and is there on secure origins only; large files and plain http in a shop's own network go piece by piece.
 */
export async function fileHash(blob: Blob): Promise<string> {
  if (blob.size <= WHOLE_HASH_BYTES && 'subtle' in crypto) {
    return bytesToHex(new Uint8Array(await crypto.subtle.digest('SHA-256', await blob.arrayBuffer())));
  }
  const hash = sha256.create();
  for await (const piece of pieces(blob)) hash.update(piece);
  return bytesToHex(hash.digest());
}

const looksLikeUtf16 = (head: Uint8Array): boolean => {
  let odd = 0;
  let even = 0;
  head.forEach((byte, i) => {
    if (byte === 0) {
      if (i % 2 === 0) even += 1;
      else odd += 1;
    }
  });
  return head.length > 8 && Math.max(odd, even) > head.length / 5 && Math.min(odd, even) < head.length / 50;
};

function inspectHeader(head: Uint8Array, cut: boolean, scan: TextScan): Omit<CsvInspection, 'hash'> | Refusal {
  const headText = new TextDecoder('utf-8').decode(head).replace(/^\ufeff/, '');
  const lines = cut
    ? headText.slice(0, Math.max(headText.lastIndexOf('\n'), headText.lastIndexOf('\r')) + 1)
    : headText;
  const header = dsvFormat(',').parseRows(lines)[0] ?? [];
  if (lines === '' || header.length > MOST_COLUMNS) return refuse(refusal.tooManyColumns(MOST_COLUMNS));
  const found = recognise(header);
  if (found.table === null) {
    for (const [mark, name] of delimiters) {
      const other = dsvFormat(mark).parseRows(lines)[0] ?? [];
      if (recognise(other).table !== null) return refuse(refusal.wrongDelimiter(name));
    }
    return refuse(
      found.nearest === null || found.lacking.length > 4
        ? refusal.noTable(header)
        : refusal.nearTable(found.nearest, found.lacking),
    );
  }
  const doubled = doubledNames(header);
  if (doubled.length > 0) return refuse(refusal.duplicateColumns(doubled));
  const notes = [
    ...(scan.rows <= 1 ? [remark.headerOnly] : []),
    ...(found.unknown.length > 0 ? [remark.unknownColumns(found.unknown)] : []),
  ];
  return {
    ok: true,
    format: 'csv',
    table: found.table,
    header,
    blankRows: scan.blankRows,
    mixedLineEnds: scan.mixedLineEnds,
    note: notes.length === 0 ? null : notes.join(' '),
  };
}

/** Column names that a header holds more than once. */
export function doubledNames(header: readonly string[]): string[] {
  const seen = new Set<string>();
  const doubled = new Set<string>();
  for (const name of header.map(normalHeader)) (seen.has(name) ? doubled : seen).add(name);
  return [...doubled];
}
