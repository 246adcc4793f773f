import { readFile } from 'node:fs/promises';
import type { LogFile } from '../log/inspect';
import { convert, csvOf } from '../log/mapping/convert';
import type { Conflict } from '../log/mapping/distinct';
import { fits, readMapping, signature, type Mapping } from '../log/mapping/mapping';
import { decode, parseRows } from '../log/mapping/read';
import { refusal, remark } from '../log/sentences';
import { UsageError } from './arguments';

/** Files of a shop's own, brought to the log's tables by the mappings that were given. */

/** A file as the log is to take it: a refused one with its reason, and what there is to say of it. */
export interface PreparedFile {
  readonly file: LogFile;
  readonly refused: string | null;
  readonly note: string | null;
}

export interface NamedMapping {
  readonly path: string;
  readonly mapping: Mapping;
}

/** Reads the mappings; two for the same headers can't both be meant. */
export async function mappingsAt(paths: readonly string[]): Promise<NamedMapping[]> {
  const named: NamedMapping[] = [];
  for (const path of paths) {
    const text = await readFile(path, 'utf8').catch(() => {
      throw new UsageError(`There is no readable file ${path}.`);
    });
    const read = readMapping(text);
    if (!read.ok) throw new UsageError(`${path}: ${read.reason}`);
    const same = named.find(({ mapping }) => fits(mapping, read.mapping.headers));
    if (same !== undefined) throw new UsageError(`${same.path} and ${path} are both for the same headers. Give one.`);
    named.push({ path, mapping: read.mapping });
  }
  return named;
}

export interface Prepared {
  readonly files: readonly PreparedFile[];
  /** Mappings whose headers no file has. */
  readonly idle: readonly NamedMapping[];
}

/** Files whose headers are a mapping's are converted; all others are taken as they are. */
export async function prepare(files: readonly LogFile[], mappings: readonly NamedMapping[]): Promise<Prepared> {
  const used = new Set<NamedMapping>();
  const prepared: PreparedFile[] = [];
  for (const file of files) {
    const named = /\.parquet$/i.test(file.name) ? undefined : await mappingFor(file, mappings);
    if (named === undefined) prepared.push({ file, refused: null, note: null });
    else {
      used.add(named);
      prepared.push(...(await convertFile(file, named.mapping)));
    }
  }
  return { files: prepared, idle: mappings.filter((named) => !used.has(named)) };
}

/** As far into a file as its headers can reach. */
const HEAD_BYTES = 1 << 20;

async function mappingFor(file: LogFile, mappings: readonly NamedMapping[]): Promise<NamedMapping | undefined> {
  if (mappings.length === 0) return undefined;
  const head = new Uint8Array(await file.blob.slice(0, HEAD_BYTES).arrayBuffer());
  return mappings.find(({ mapping }) => {
    const header = headerIn(head, file.blob.size > head.length, mapping);
    return header !== null && fits(mapping, header);
  });
}

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

async function convertFile(file: LogFile, mapping: Mapping): Promise<PreparedFile[]> {
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
  return made.tables.map((table, i) => ({
    file: { name: file.name, blob: new Blob([csvOf(table)]), path: null },
    refused: null,
    note: i === 0 ? note : null,
  }));
}

/** How many of a kind are named one by one. */
const TOLD = 5;

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

export const mappingSays = ({ path, mapping }: NamedMapping): string =>
  `${path}: No file has the headers of this mapping (${signature(mapping.headers).slice(0, TOLD).join(', ')}${mapping.headers.length > TOLD ? ', ...' : ''}).`;
