import { z } from 'zod';
import { tableNames, type TableName } from '../log/table';
import { sqlText, type Database } from './database';
import { held, standing } from './tables';

/**
 * Rows of mended files take the place of the rows set aside that they name. A row named that is not set aside (any more) is left
 * alone, and the row that names it counts as a row of its own: a slip in those columns can't push a good row out of the log.
 */

const mendFile = z.object({ source_no: z.int(), log_table: z.enum(tableNames), named: z.array(z.int()) });
export type MendFile = z.infer<typeof mendFile>;

/** Of two files of one name the first is named plainly and later ones by a piece of their hash, so that a name says one file. */
export const CITED_AS = `(select source_no, log_table, case
      when row_number() over (partition by log_table, file order by source_no) = 1 then trim(file)
      else trim(file) || ' #' || left(hash, 8) end as cited
    from held_sources)`;

/** Sets the rows of mended files just read aside until their turn; answers the files in the order in which they take it. */
export async function holdMends(db: Database<unknown>): Promise<readonly MendFile[]> {
  const found = await db.rows(`select m.source_no, any_value(s.log_table) as log_table,
      coalesce(string_agg(distinct n.source_no::varchar, ','), '') as named
    from mend_marks m join held_sources s using (source_no)
    left join ${CITED_AS} n on n.log_table = s.log_table and n.cited = m.of_file group by m.source_no order by m.source_no`);
  const files = found.map((row) =>
    mendFile.parse({
      ...row,
      named: String(row.named)
        .split(',')
        .flatMap((no) => (no === '' ? [] : [Number(no)])),
    }),
  );
  for (const { source_no, log_table } of files) {
    await move(db, log_table, source_no, standing.accepted, standing.waiting);
  }
  return inTurn(files);
}

const move = (db: Database<unknown>, table: TableName, sourceNo: number, from: number, to: number): Promise<void> =>
  db.run(`update ${held(table)} set standing = ${to} where source_no = ${sourceNo} and standing = ${from}`);

/** A file that mends rows of another mended file comes after it, whatever their names. */
function inTurn(files: readonly MendFile[]): readonly MendFile[] {
  const left = [...files];
  const order: MendFile[] = [];
  while (left.length > 0) {
    const waiting = new Set(left.map((file) => file.source_no));
    const free = left.findIndex((file) => !file.named.some((no) => no !== file.source_no && waiting.has(no)));
    order.push(...left.splice(Math.max(free, 0), 1));
  }
  return order;
}

/**
 * Lets a mended file's rows take the places of those that they name and lets them in. A row that was mended before is followed to
 * the row that took its place, so that a file may be mended more than once. Of two rows that name the same the first
 * takes its place.
 */
export async function letMend(db: Database<unknown>, { source_no: no, log_table: table }: MendFile): Promise<void> {
  await db.run(`insert into mended
    with recursive named as (select m.row_no as by_row, n.source_no, m.of_row as row_no from mend_marks m
        join ${CITED_AS} n on n.log_table = ${sqlText(table)} and n.cited = m.of_file where m.source_no = ${no}),
      followed as (select * from named union
        select c.by_row, d.by_source, d.by_row from followed c join mended d on d.source_no = c.source_no and d.row_no = c.row_no)
    select c.source_no, c.row_no, ${no}, min(c.by_row) from followed c
    join faults f on f.source_no = c.source_no and f.row_no = c.row_no
    where f.kind in ('format', 'reference') and c.source_no <> ${no} group by c.source_no, c.row_no`);
  const taken = `from mended m where m.by_source = ${no} and m.source_no = t.source_no and m.row_no = t.row_no`;
  await db.run(`update ${held(table)} as t set standing = ${standing.mended} ${taken}`);
  await db.run(`update faults as t set kind = 'mended' ${taken}`);
  await move(db, table, no, standing.waiting, standing.accepted);
}

/** How many rows each mended file of this load took the place of, and how many of its rows named none that could be mended. */
export async function mendTally(
  db: Database<unknown>,
): Promise<ReadonlyMap<number, { readonly mended: number; readonly idle: number }>> {
  const rows =
    await db.rows(`select m.source_no::integer as source_no, count(d.by_row)::integer as mended, (count(*) - count(d.by_row))::integer as idle
    from mend_marks m left join (select distinct by_source, by_row from mended) d
      on d.by_source = m.source_no and d.by_row = m.row_no group by m.source_no`);
  return new Map(rows.map((row) => [Number(row.source_no), { mended: Number(row.mended), idle: Number(row.idle) }]));
}

/**
 * Gives rows whose mended counterpart is no longer in the log their old standing: with a faulty cell they are to be mended again;
 * others count until the log is next fitted together, which tells whether they still point nowhere.
 */
export async function unmend(db: Database<unknown>): Promise<void> {
  const gone = (column: string): string => `m.${column} not in (select source_no from held_sources)`;
  const freed = `from mended m where ${gone('by_source')} and m.source_no = t.source_no and m.row_no = t.row_no`;
  for (const row of await db.rows(`select distinct s.log_table from mended m join held_sources s using (source_no)`)) {
    const table = held(z.enum(tableNames).parse(row.log_table));
    await db.run(
      `update ${table} as t set standing = case when t.fault is null then ${standing.accepted} else ${standing.format} end ${freed}`,
    );
    await db.run(`delete from faults t using mended m, ${table} h where ${gone('by_source')} and m.source_no = t.source_no
      and m.row_no = t.row_no and h.source_no = t.source_no and h.row_no = t.row_no and h.fault is null`);
  }
  await db.run(`update faults as t set kind = 'format' ${freed}`);
  await db.run(`delete from mended m where ${gone('by_source')} or ${gone('source_no')}`);
}
