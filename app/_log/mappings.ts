import { z } from 'zod';
import type { LogFile } from '../../lib/log/inspect';
import { convert, csvOf } from '../../lib/log/mapping/convert';
import type { Conflict } from '../../lib/log/mapping/distinct';
import { guessDelimiter, guessEncoding } from '../../lib/log/mapping/evidence';
import { fits, mappingSchema, type Mapping } from '../../lib/log/mapping/mapping';
import { decode, parseRows, type Delimiter, type Encoding, type Rows } from '../../lib/log/mapping/read';
import { recognise } from '../../lib/log/recognise';
import { refusal, remark } from '../../lib/log/sentences';
import { tooLargeToMap } from '../../lib/words/mapping';

/** The mappings kept in this browser, and the files that are read by them. */

/** A file as the log is to take it: a refused one with its reason, and what there is to say of it. */
export interface PreparedFile {
  readonly file: LogFile;
  readonly refused: string | null;
  readonly note: string | null;
}

const PLACE = 'shimbook.mappings';

class KeptMappings {
  private kept: readonly Mapping[] | null = null;
  private readonly listeners = new Set<() => void>();

  subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };

  read = (): readonly Mapping[] => {
    this.kept ??= stored();
    return this.kept;
  };

  /** Keeps a mapping in place of the one for the same headers. Answers whether it outlasts this tab. */
  keep = (mapping: Mapping): boolean =>
    this.write([...this.read().filter((each) => !fits(each, mapping.headers)), mapping]);

  forget = (mapping: Mapping): boolean => this.write(this.read().filter((each) => each !== mapping));

  private write(mappings: readonly Mapping[]): boolean {
    this.kept = mappings;
    for (const listener of this.listeners) listener();
    try {
      localStorage.setItem(PLACE, JSON.stringify(mappings));
      return true;
    } catch {
      // A full or barred store: the mappings hold as long as the tab is open.
      return false;
    }
  }
}

/** What the browser kept; an entry that is no mapping, of another version or by another hand, is passed over. */
function stored(): readonly Mapping[] {
  try {
    const entries = z.array(z.unknown()).safeParse(JSON.parse(localStorage.getItem(PLACE) ?? '[]'));
    return (entries.data ?? []).flatMap((entry) => {
      const mapping = mappingSchema.safeParse(entry);
      return mapping.success ? [mapping.data] : [];
    });
  } catch {
    return [];
  }
}

export const keptMappings = new KeptMappings();

/** As much of a sheet as is looked at before it is read. */
export const LOOKED_AT_BYTES = 1 << 16;
/** A larger sheet would hold the page up while it is converted. */
export const MOST_MAPPED_BYTES = 20_000_000;

export interface SheetHead {
  readonly bytes: Uint8Array;
  /** Whether the sheet goes on after them. */
  readonly cut: boolean;
}

export async function headOf(blob: Blob): Promise<SheetHead> {
  const bytes = new Uint8Array(await blob.slice(0, LOOKED_AT_BYTES).arrayBuffer());
  return { bytes, cut: blob.size > bytes.length };
}

/** The whole lines of a sheet's first bytes. */
export function headText({ bytes, cut }: SheetHead, encoding: Encoding): ReturnType<typeof decode> {
  const text = decode(bytes, encoding, cut);
  if (!text.ok || !cut) return text;
  const end = text.text.lastIndexOf('\n');
  return end < 0 ? text : { ok: true, text: text.text.slice(0, end + 1) };
}

export function headRows(head: SheetHead, encoding: Encoding, delimiter: Delimiter): Rows {
  const text = headText(head, encoding);
  return text.ok ? parseRows(text.text, delimiter) : text;
}

/** Whether a file is a text in columns whose headers are no table's. */
export async function isForeignSheet(file: Blob): Promise<boolean> {
  const head = await headOf(file);
  const encoding = guessEncoding(head.bytes).value ?? 'utf-8';
  const text = headText(head, encoding);
  if (!text.ok || text.text.includes('\0') || /^(PAR1|PK\x03\x04)/.test(text.text)) return false;
  const delimiter = guessDelimiter(text.text).value;
  if (delimiter === null) return false;
  const rows = parseRows(text.text, delimiter);
  const plain = delimiter === ',' && encoding === 'utf-8';
  return rows.ok && !(plain && recognise(rows.rows[0] ?? []).table !== null);
}

/** Files whose headers are a kept mapping's are converted; all others are taken as they are. */
export async function prepare(files: readonly File[]): Promise<PreparedFile[]> {
  const kept = keptMappings.read();
  const prepared = await Promise.all(
    files.map(async (blob) => {
      const file: LogFile = { name: blob.name, blob, path: null };
      const mapping = kept.length === 0 || /\.parquet$/i.test(blob.name) ? undefined : await mappingFor(blob, kept);
      return mapping === undefined ? [{ file, refused: null, note: null }] : convertFile(file, mapping);
    }),
  );
  return prepared.flat();
}

async function mappingFor(blob: Blob, kept: readonly Mapping[]): Promise<Mapping | undefined> {
  const head = await headOf(blob);
  return kept.find((mapping) => {
    const text = headText(head, mapping.encoding);
    if (!text.ok) return false;
    // The rows down to the header alone: a fault further down is one to be told, not one to pass over.
    const lines = text.text.split('\n').slice(0, mapping.header_row + HEADER_LINES);
    for (let count = mapping.header_row; count <= lines.length; count += 1) {
      const rows = parseRows(lines.slice(0, count).join('\n'), mapping.delimiter);
      const header = rows.ok ? rows.rows[mapping.header_row - 1] : undefined;
      if (header !== undefined) return fits(mapping, header);
    }
    return false;
  });
}

/** Line ends that the headers themselves may hold, within quotes. */
const HEADER_LINES = 50;

async function convertFile(file: LogFile, mapping: Mapping): Promise<PreparedFile[]> {
  const refuse = (reason: string): PreparedFile[] => [{ file, refused: reason, note: null }];
  if (file.blob.size > MOST_MAPPED_BYTES) return refuse(tooLargeToMap);
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
    ...(made.idle.length > 0 ? [`Nothing was taken from ${counted(made.idle)}.`] : []),
    ...conflictsTold(made.conflicts),
  ].join(' ');
  return made.tables.map((table, i) => ({
    file: { name: file.name, blob: new Blob([csvOf(table)]), path: null },
    refused: null,
    note: i === 0 ? note : null,
  }));
}

/** How many of a kind are named one by one. */
const TOLD = 5;

const counted = (rows: readonly number[]): string =>
  `row${rows.length === 1 ? '' : 's'} ${rows.slice(0, TOLD).join(', ')}${rows.length > TOLD ? ` and ${rows.length - TOLD} more` : ''}`;

/** Longer values are cut; they stand in full among the rows set aside. */
const SHOWN = 40;

function conflictsTold(conflicts: readonly Conflict[]): string[] {
  const told = conflicts.slice(0, TOLD).map(({ table, key, column, values }) => {
    const said = values.map(({ value, row }) => `${value.slice(0, SHOWN)} in row ${row}`).join(', ');
    return `Rows disagree on ${column} of ${table} ${key.join(' ').slice(0, SHOWN)}: ${said}; the last counts.`;
  });
  return conflicts.length > TOLD ? [...told, `${conflicts.length - TOLD} more rows disagree.`] : told;
}
