import { z } from 'zod';
import { resultTables } from '../calc/layout';
import { tableNames } from '../log/table';
import { writeCards } from './cards';
import type { Database } from './database';
import { digestTables } from './digests';
import { question } from './question';
import { int, text } from './questions/rows';
import { unmend } from './mends';
import { fitTogether, number } from './resolve';
import { held, kept } from './tables';

/**
 * Taking loads out of the log again, the last one first. Results are not touched here: recalculate() drops those of jobs that
 * are gone and works out those that changed, as after a load.
 */

const row = z.object({
  load_no: int,
  loaded_at: text,
  file: text,
  log_table: text,
  rows_read: int,
  rows_accepted: int,
});
export type LastLoadFile = z.infer<typeof row>;

/** The files of the last load with their rows: what undoing it would take out. */
export const lastLoad = question<null, LastLoadFile>(
  'lastLoad',
  row,
  () => [],
  `select load_no::integer as load_no, strftime(loaded_at, '%Y-%m-%d %H:%M') as loaded_at, file, log_table,
    rows_read::integer as rows_read, rows_accepted::integer as rows_accepted
  from sources where load_no = (select max(load_no) from held_sources) order by source_no`,
);

/** The number of the last load, 0 where there is none. */
export const LAST_LOAD_NO = 'select coalesce(max(load_no), 0)::integer as load_no from held_sources';

/** Names and their numbers; those that a load gave stay, as results of other jobs may rest on them. */
const numberTables = [
  'job_numbers',
  'spec_numbers',
  'point_numbers',
  'check_numbers',
  'lever_numbers',
  'gauge_numbers',
] as const;

/**
 * Takes the rows of the last load out and fits the rest together anew, so that rows it had replaced count again and rows that
 * leant on it are set aside again. Refused files of the last load are forgotten. Answers the number of the load, null where the
 * log is empty; all or nothing.
 */
export async function undoLastLoad(db: Database<unknown>): Promise<number | null> {
  const [last] = await db.rows('select max(load_no)::integer as load_no from held_sources');
  const load = z
    .number()
    .int()
    .nullable()
    .parse(last?.load_no ?? null);
  if (load === null) return null;
  const sources = await db.rows('select source_no, log_table from held_sources where load_no = $1', [load]);
  await atOnce(db, async () => {
    for (const name of tableNames) {
      if (!sources.some((source) => source.log_table === name)) continue;
      await db.run(
        `delete from ${held(name)} where source_no in (select source_no from held_sources where load_no = $1)`,
        [load],
      );
    }
    await db.run('delete from faults where source_no in (select source_no from held_sources where load_no = $1)', [
      load,
    ]);
    await db.run('delete from held_sources where load_no = $1', [load]);
    await db.run('update shown set last_source = (select coalesce(max(source_no), 0) from held_sources)');
    await unmend(db);
    await db.run('delete from refused');
    await fitTogether(db);
    await number(db);
  });
  return load;
}

/** Takes everything out: the log is as it was before the first load. */
export async function emptyLog(db: Database<unknown>): Promise<void> {
  const all = ['held_sources', 'refused', 'faults', 'mended', 'mend_marks', 'calculated', ...numberTables];
  await atOnce(db, async () => {
    for (const table of [...all, ...tableNames.map(held), ...resultTables.map(kept), ...digestTables]) {
      await db.run(`delete from ${table}`);
    }
    await db.run('update shown set last_source = 0');
    await writeCards(db);
  });
}

async function atOnce(db: Database<unknown>, change: () => Promise<void>): Promise<void> {
  await db.run('begin transaction');
  try {
    await change();
    await db.run('commit');
  } catch (error) {
    await db.run('rollback');
    throw error;
  }
}
