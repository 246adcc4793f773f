import { fileHash, isGone, type LogFile, type Origin } from '../inspect';
import { joined, type PreparedFile } from '../prepared';
import { refusal, remark } from '../sentences';
import { convert, csvOf } from './convert';
import type { Conflict } from './distinct';
import { fits, type Mapping } from './mapping';
import { decode, parseRows } from './read';

/** A shop's own sheet, found to be one that a mapping reads, and brought to the log's tables. */

/** As far into a file as its headers can reach. */
const HEAD_BYTES = 1 << 20;

/** The mapping whose headers a file has; `mappingOf` takes one out of what the caller keeps it in. */
export async function mappingFor<T>(
  file: LogFile,
  mappings: readonly T[],
  mappingOf: (kept: T) => Mapping,
): Promise<T | undefined> {
  if (mappings.length === 0 || /\.parquet$/i.test(file.name)) return undefined;
  const head = new Uint8Array(await file.blob.slice(0, HEAD_BYTES).arrayBuffer());
  return mappings.find((kept) => {
    const mapping = forFile(mappingOf(kept), file);
    const header = headerIn(head, file.blob.size > head.length, mapping);
    return header !== null && fits(mapping, header);
  });
}

/**
 * The mapping as a file is read by it. A workbook's cells say themselves what is a number and what a day, so that of a mapping
 * that was made for a text parted otherwise, what it says of the writing does not count.
 */
function forFile(mapping: Mapping, { origin }: LogFile): Mapping {
  if (origin === undefined || origin.sheet === null || mapping.delimiter === SHEET_DELIMITER) return mapping;
  return { ...mapping, encoding: 'utf-8', delimiter: SHEET_DELIMITER, decimal: 'point', thousands: 'none' };
}

const SHEET_DELIMITER = ',';

function headerIn(head: Uint8Array, cut: boolean, mapping: Mapping): readonly string[] | null {
  const text = decode(head, mapping.encoding, cut);
  if (!text.ok) return null;
  // Only the rows down to the header are taken apart: a fault further down is one to be told, not one to pass over.
  const lines = text.text.split('\n').slice(0, mapping.header_row + HEADER_LINES);
  for (let count = mapping.header_row; count <= lines.length; count += 1) {
    const rows = parseRows(lines.slice(0, count).join('\n'), mapping.delimiter);
    const header = rows.ok ? rows.rows[mapping.header_row - 1] : undefined;
    if (header !== undefined) return header;
  }
  return null;
}

/** Line ends that the headers themselves may hold, within quotes. */
const HEADER_LINES = 50;

/** A file as its mapping reads it, a file a table; refused as a whole, with the reason, where it can't be read so. */
export async function convertFile(file: LogFile, stated: Mapping): Promise<PreparedFile[]> {
  const mapping = forFile(stated, file);
  const refuse = (reason: string): PreparedFile[] => [{ file, refused: reason, note: null }];
  const text = decode(new Uint8Array(await file.blob.arrayBuffer()), mapping.encoding);
  if (!text.ok) return refuse(text.reason);
  if (text.text.includes('\0')) return refuse(refusal.binary);
  const rows = parseRows(text.text, mapping.delimiter);
  if (!rows.ok) return refuse(rows.reason);
  const made = convert(mapping, rows.rows);
  if (!made.ok) return refuse(made.reason);
  if (made.tables.length === 0) return refuse(remark.headerOnly);
  const note = [
    `Read by the mapping "${mapping.name}".`,
    ...(made.unused.length > 0 ? [remark.unknownColumns(made.unused)] : []),
    ...(made.idle.length > 0 ? [`Nothing was taken from row${some(made.idle.map(String))}.`] : []),
    ...conflictsTold(made.conflicts),
  ].join(' ');
  const origin = file.origin ?? (await originOf(file));
  return made.tables.map((table, i) => ({
    file: { name: file.name, blob: new Blob([csvOf(table)]), path: null, origin },
    refused: null,
    note: i === 0 ? note : null,
  }));
}

const originOf = async ({ name, blob }: LogFile): Promise<Origin> => ({
  name,
  bytes: blob.size,
  hash: await fileHash(blob),
  sheet: null,
});

export interface Prepared<T> {
  readonly files: readonly PreparedFile[];
  /** The mappings that were used. */
  readonly used: readonly T[];
}

/**
 * A file as the log can take it: a workbook sheet by sheet; what has the headers of a mapping as that reads it; anything else
 * as it is.
 *
 * @param mostMapped bytes of text that a mapped file may have, and the sentence for a larger one
 */
export async function prepareFile<T>(
  given: PreparedFile,
  mappings: readonly T[],
  mappingOf: (kept: T) => Mapping,
  mostMapped: { readonly bytes: number; readonly reason: string } | null = null,
): Promise<Prepared<T>> {
  try {
    return await prepared(given, mappings, mappingOf, mostMapped);
  } catch (error) {
    if (!isGone(error)) throw error;
    return { files: [{ ...given, refused: refusal.changed }], used: [] };
  }
}

async function prepared<T>(
  given: PreparedFile,
  mappings: readonly T[],
  mappingOf: (kept: T) => Mapping,
  mostMapped: { readonly bytes: number; readonly reason: string } | null,
): Promise<Prepared<T>> {
  // What takes workbooks apart is fetched when the first file comes.
  const { sheetsOf } = await import('../workbook/sheets');
  const files: PreparedFile[] = [];
  const used: T[] = [];
  for (const sheet of (await sheetsOf(given.file)) ?? [given]) {
    const { file, refused, note } = sheet;
    const kept = refused === null ? await mappingFor(file, mappings, mappingOf) : undefined;
    if (kept === undefined) files.push(sheet);
    else if (mostMapped !== null && file.blob.size > mostMapped.bytes) {
      files.push({ file, refused: mostMapped.reason, note });
    } else {
      used.push(kept);
      const made = await convertFile(file, mappingOf(kept));
      files.push(...made.map((each, i) => (i === 0 ? { ...each, note: joined(note, each.note) } : each)));
    }
  }
  return { files, used };
}

/** How many of a kind are named one by one. */
export const TOLD = 5;

const some = (names: readonly string[]): string =>
  `${names.length === 1 ? '' : 's'} ${names.slice(0, TOLD).join(', ')}${names.length > TOLD ? ` and ${names.length - TOLD} more` : ''}`;

/** Longer values are cut; they stand in full among the rows set aside. */
const SHOWN = 40;

function conflictsTold(conflicts: readonly Conflict[]): string[] {
  const told = conflicts.slice(0, TOLD).map(({ table, key, column, values }) => {
    const said = values.map(({ value, row }) => `${value.slice(0, SHOWN)} in row ${row}`).join(', ');
    return `Rows disagree on ${column} of ${table} ${key.join(' ').slice(0, SHOWN)}: ${said}; the last counts.`;
  });
  return conflicts.length > TOLD ? [...told, `${conflicts.length - TOLD} more rows disagree.`] : told;
}
