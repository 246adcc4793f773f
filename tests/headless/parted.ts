import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises';
import { dirname, join, relative } from 'node:path';
import { csvFormat, type DSVRowString } from 'd3-dsv';
import { shopTables } from '../../data-demo/rows';
import { tables } from '../../lib/log/tables';
import { NativeDatabase } from '../../lib/store/native/database';

/** A piece of the demo log, laid out in folders, and results read back. */

export interface DemoPiece {
  /** CSV text of the tables that are no job's. */
  readonly sheets: Readonly<Record<string, string>>;
  /** Rows of the tables of jobs, as the demo log writes them. */
  readonly rows: Readonly<Record<string, readonly DSVRowString[]>>;
  readonly jobs: readonly string[];
}

/** Every so many-th job of the demo log, and all that are set aside for a fault in their own row. */
export async function demoPiece(everyNth: number): Promise<DemoPiece> {
  const db = await NativeDatabase.open();
  const sheets: Record<string, string> = {};
  const rows: Record<string, DSVRowString[]> = {};
  const read = async (name: string, where: string): Promise<DSVRowString[]> => {
    const found = await db.rows(
      `select columns(*)::varchar from read_parquet('data-demo/log/${name}*.parquet', union_by_name = true) where ${where}`,
    );
    return found.map((row) =>
      Object.fromEntries(
        Object.entries(row).map(([column, value]) => [column, typeof value === 'string' ? value : '']),
      ),
    );
  };
  for (const table of shopTables.map((name) => tables[name])) {
    const ofJobs = table.columns.some((column) => column.name === 'job_id');
    if (ofJobs) rows[table.name] = await read(table.name, `coalesce(hash(trim(job_id)) % ${everyNth} = 0, true)`);
    else sheets[table.name] = csvFormat(await read(table.name, 'true'));
  }
  await db.close();
  const jobs = [...new Set(Object.values(rows).flatMap((all) => all.map(jobOf)))].sort();
  return { sheets, rows, jobs };
}

const jobOf = (row: DSVRowString): string => (row.job_id ?? '').trim();

/** Lays a piece out: `place` gives the folder of a job's rows. */
export async function layOut(
  { sheets, rows }: DemoPiece,
  to: string,
  place: (job: string, table: string) => string,
): Promise<void> {
  for (const [name, text] of Object.entries(sheets)) await put(join(to, `${name}.csv`), text);
  for (const [name, all] of Object.entries(rows)) {
    const byFolder = new Map<string, DSVRowString[]>();
    for (const row of all) {
      const folder = place(jobOf(row), name);
      byFolder.set(folder, [...(byFolder.get(folder) ?? []), row]);
    }
    for (const [folder, own] of byFolder) await put(join(to, name, folder, 'part-0.csv'), csvFormat(own));
  }
}

async function put(path: string, text: string): Promise<void> {
  await mkdir(dirname(path), { recursive: true });
  await writeFile(path, text);
}

/** One for all: to open one takes longer than to read a few small files. */
const reader = NativeDatabase.open(1);

/** All rows of one result table under a folder, as text, in an order of their own values. */
export async function rowsUnder(folder: string, ...names: readonly string[]): Promise<readonly string[]> {
  const paths = (await filesUnder(folder)).filter((path) =>
    names.some((name) => path === `${name}.parquet` || path.endsWith(`/${name}.parquet`)),
  );
  const db = await reader;
  const list = paths.map((path) => `'${join(folder, path)}'`).join(', ');
  const rows = await db.rows(`from read_parquet([${list}], hive_partitioning = false)`);
  return rows.map((row) => JSON.stringify(Object.entries(row))).sort();
}

export const filesUnder = async (folder: string): Promise<string[]> =>
  (await readdir(folder, { recursive: true, withFileTypes: true }))
    .filter((entry) => entry.isFile())
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)))
    .sort();

/** Every file of a folder with its bytes. */
export async function bytesUnder(folder: string): Promise<ReadonlyMap<string, string>> {
  const paths = await filesUnder(folder);
  return new Map(
    await Promise.all(
      paths.map(async (path) => [path, (await readFile(join(folder, path))).toString('base64')] as const),
    ),
  );
}
