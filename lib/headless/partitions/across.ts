import { readdir } from 'node:fs/promises';
import { join, relative } from 'node:path';
import { sqlText } from '../../store/database';
import { NativeDatabase } from '../../store/native/database';

/** What no partition can see by itself: rows whose job stands in another one, and jobs that stand in two. */

/** How many are named one by one. */
const TOLD = 20;

export async function lookAcross(to: string, partitions: readonly string[]): Promise<string[]> {
  if (partitions.length < 2) return [];
  const db = await NativeDatabase.open();
  const all = (table: string): string => {
    const paths = partitions.map((name) => sqlText(join(to, name, `${table}.parquet`))).join(', ');
    return `read_parquet([${paths}], hive_partitioning = false, filename = true)`;
  };
  const partition = (path: string): string => relative(to, path).split(/[\\/]/).slice(0, -1).join('/');
  await db.run(`create temp table jobs as select job_id, filename as place from ${all('outcomes')}`);
  const doubled = await db.rows(`select job_id, min(place) as a, max(place) as b, count(*)::integer as places
    from jobs group by job_id having count(*) > 1 order by job_id`);
  const astray =
    await db.rows(`select s.file, count(*)::integer as n, min(s.value) as job_id, arg_min(j.place, s.value) as place
    from ${all('set_aside')} s join jobs j on j.job_id = s.value
    where s.kind = 'reference' and s.column_name = 'job_id' and s.filename <> j.place group by s.file order by s.file`);
  await db.close();
  return [
    ...few(doubled).map(
      (row) =>
        `Job ${String(row.job_id)} stands in ${String(row.places)} partitions (${partition(String(row.a))} and ${partition(String(row.b))}) and its results in each. A job's rows must stand in one partition.`,
    ),
    ...more(doubled, 'jobs stand in several partitions'),
    ...few(astray).map(
      (row) =>
        `${String(row.file)}: ${String(row.n)} rows were set aside, since their jobs stand in another partition (${String(row.job_id)} in ${partition(String(row.place))}). A job's rows must stand in one partition.`,
    ),
    ...more(astray, 'files hold rows of jobs of other partitions'),
  ];
}

const few = <T>(rows: readonly T[]): readonly T[] => rows.slice(0, TOLD);
const more = (rows: readonly unknown[], what: string): string[] =>
  rows.length > TOLD ? [`${rows.length - TOLD} more ${what}.`] : [];

/** Folders of results in the output that none of the partitions wrote: of an earlier run, or of one over everything. */
export async function strangers(to: string, partitions: readonly string[]): Promise<string[]> {
  const own = new Set(partitions);
  const entries = await readdir(to, { recursive: true, withFileTypes: true });
  return entries
    .filter((entry) => entry.isFile() && entry.name === 'outcomes.parquet')
    .map((entry) => relative(to, entry.parentPath).replaceAll('\\', '/'))
    .filter((name) => !own.has(name))
    .sort()
    .map(
      (name) =>
        `${join(to, name)} holds results of no partition of this log. Remove it before the results are read as a whole.`,
    );
}
