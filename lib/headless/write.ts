import { stat } from 'node:fs/promises';
import { join } from 'node:path';
import { resultTables } from '../calc/layout';
import { sqlText } from '../store/database';
import type { NativeDatabase } from '../store/native/database';
import { exportSql, FILES_EXPORT, SET_ASIDE_EXPORT } from '../store/tables';

/** Writing what was worked out: one file a table and kind. */

export const kinds = ['csv', 'parquet'] as const;
export type Kind = (typeof kinds)[number];

const HOW: Readonly<Record<Kind, string>> = {
  csv: 'format csv, header',
  parquet: 'format parquet, compression zstd',
};

export interface Written {
  readonly name: string;
  readonly bytes: number;
}

/** The rows set aside, and the files, of those of the log's files that `where` picks. */
export const listings = (where = 'true'): readonly (readonly [string, string])[] => [
  ['set_aside', `from (${SET_ASIDE_EXPORT}) where ${where} order by file, row_no, kind`],
  ['files', `from (${FILES_EXPORT}) where ${where} order by file, log_table`],
];

export const results: readonly (readonly [string, string])[] = resultTables.map((name) => [name, exportSql(name)]);

export async function writeTable(
  db: NativeDatabase,
  [name, sql]: readonly [string, string],
  kind: Kind,
  to: string,
): Promise<Written> {
  const file = `${name}.${kind}`;
  const path = join(to, file);
  await db.run(`copy (${sql}) to ${sqlText(path)} (${HOW[kind]})`);
  return { name: file, bytes: (await stat(path)).size };
}
