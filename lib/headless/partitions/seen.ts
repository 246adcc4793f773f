import { dsvFormat } from 'd3-dsv';
import type { LogFile } from '../../log/inspect';
import { recognise } from '../../log/recognise';
import type { TableName } from '../../log/table';
import { UnreadableFile } from '../../store/database';
import { NativeDatabase } from '../../store/native/database';
import { prepare, type NamedMapping } from '../mapped';
import type { Seen } from './plan';

/** What each file holds, by its head alone: a large log is not read to be parted. */

const HEAD_BYTES = 1 << 18;
const PARQUET = 'PAR1';

export async function look(files: readonly LogFile[], mappings: readonly NamedMapping[]): Promise<Seen[]> {
  const db = await NativeDatabase.open(1);
  const seen: Seen[] = [];
  for (const file of files) {
    const own = await tableOf(db, file);
    seen.push({ file, holds: own === null ? await mappedTables(db, file, mappings) : [own] });
  }
  await db.close();
  return seen;
}

async function tableOf(db: NativeDatabase, file: LogFile): Promise<TableName | null> {
  const head = new TextDecoder().decode(await file.blob.slice(0, HEAD_BYTES).arrayBuffer());
  if (!head.startsWith(PARQUET)) return recognise(dsvFormat(',').parseRows(firstRows(head))[0] ?? []).table;
  try {
    const opened = await db.openParquet(file);
    await opened.close();
    return recognise(opened.columns.map((column) => column.name)).table;
  } catch (error) {
    if (error instanceof UnreadableFile) return null;
    throw error;
  }
}

/** Lines that a header with line ends in its names may take. */
const HEADER_LINES = 50;
const firstRows = (head: string): string => head.split('\n').slice(0, HEADER_LINES).join('\n').replaceAll('\r', '');

/** A sheet of the shop's own holds what it is brought to. */
async function mappedTables(
  db: NativeDatabase,
  file: LogFile,
  mappings: readonly NamedMapping[],
): Promise<readonly TableName[]> {
  const { files } = await prepare([file], mappings);
  const made = files.filter((prepared) => prepared.file !== file && prepared.refused === null);
  const found = await Promise.all(made.map((prepared) => tableOf(db, prepared.file)));
  return [...new Set(found)].filter((name) => name !== null);
}
