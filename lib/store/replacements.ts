import { z } from 'zod';
import { row as rowSentence } from '../log/sentences';
import { tableNames, type LogTable, type TableName } from '../log/table';
import { tables } from '../log/tables';
import { sqlText, type Database } from './database';
import { fitTogether } from './resolve';
import { held, standing, writtenSql } from './tables';

/** Rows that a load brings in another content than the log has them: told before they are applied. */

export interface Change {
  readonly column: string;
  readonly was: string | null;
  readonly is: string | null;
}
export interface Replacement {
  readonly table: TableName;
  /** The key's cells, in the order of the table's key columns. */
  readonly key: readonly string[];
  readonly changes: readonly Change[];
  readonly was: { readonly file: string; readonly row: number };
  readonly is: { readonly file: string; readonly row: number };
}
export interface Replacements {
  readonly count: number;
  readonly byTable: readonly { readonly table: TableName; readonly rows: number }[];
  /** The first of them, to be looked at. */
  readonly listed: readonly Replacement[];
  /** All of them, to be saved; answers only until `confirm` has been answered. */
  readonly all: () => Promise<readonly Replacement[]>;
}

/** How many replacements are listed at most. */
export const LISTED_REPLACEMENTS = 100;

/** Notes which rows are not in the log as a load begins: those that are can be replaced by it. */
export const markAccepted = (db: Database<unknown>): Promise<void> =>
  db.run('create or replace temp table out_before as select source_no, row_no from faults');

/** The rows of the log that rows of sources after `lastSource` take the place of. */
const replacedSql = (lastSource: number): string =>
  `(select * from faults f where f.kind = 'replaced' and f.source_no <= ${lastSource}
    and not exists (select 1 from out_before b where b.source_no = f.source_no and b.row_no = f.row_no))`;

/** Rows that were not in the log as the load began: new ones, and those that waited for a counterpart. */
const freshSql = (n: string, lastSource: number): string =>
  `(${n}.source_no > ${lastSource} or exists (select 1 from out_before b where b.source_no = ${n}.source_no and b.row_no = ${n}.row_no))`;

const counted = z.object({ table: z.enum(tableNames), rows: z.int() });

/** What the load under way would replace; null where it replaces nothing. */
export async function findReplacements(db: Database<unknown>, lastSource: number): Promise<Replacements | null> {
  const found = await db.rows(
    `select log_table as table, count(*)::integer as rows from ${replacedSql(lastSource)} group by log_table`,
  );
  const byTable = z
    .array(counted)
    .parse(found)
    .toSorted((a, b) => tableNames.indexOf(a.table) - tableNames.indexOf(b.table));
  if (byTable.length === 0) return null;
  const list = async (most: number | null): Promise<readonly Replacement[]> => {
    const listed: Replacement[] = [];
    for (const { table } of byTable) {
      const room = most === null ? null : most - listed.length;
      if (room === 0) break;
      listed.push(...(await listIn(db, tables[table], lastSource, room)));
    }
    return listed;
  };
  return {
    count: byTable.reduce((sum, { rows }) => sum + rows, 0),
    byTable,
    listed: await list(LISTED_REPLACEMENTS),
    all: () => list(null),
  };
}

/** Joins the row of the log `o` to the new row `n` that takes its place: of those of its key the newest that counts. */
const joined = (table: LogTable, lastSource: number): string =>
  `${replacedSql(lastSource)} f join ${held(table.name)} o on o.source_no = f.source_no and o.row_no = f.row_no
    join ${held(table.name)} n on ${freshSql('n', lastSource)} and n.standing in (${standing.accepted}, ${standing.reference})
      and ${sameKey(table, 'n', 'o')}
    join held_sources p on p.source_no = o.source_no join held_sources q on q.source_no = n.source_no
    where f.log_table = ${sqlText(table.name)}
    qualify row_number() over (partition by o.source_no, o.row_no order by n.standing, n.source_no desc, n.row_no desc) = 1`;

const sameKey = (table: LogTable, a: string, b: string): string =>
  table.key.map((column) => `${a}."${column}" is not distinct from ${b}."${column}"`).join(' and ');

const place = z.object({ was_file: z.string(), was_row: z.int(), is_file: z.string(), is_row: z.int() });
const cells = z.record(z.string(), z.union([z.string(), z.number(), z.null()]));

async function listIn(
  db: Database<unknown>,
  table: LogTable,
  lastSource: number,
  most: number | null,
): Promise<readonly Replacement[]> {
  const sides = table.columns.flatMap(({ name }, i) => [
    `${writtenSql(`o."${name}"`)} as o${i}`,
    `${writtenSql(`n."${name}"`)} as n${i}`,
  ]);
  const rows =
    await db.rows(`select p.file as was_file, o.row_no as was_row, q.file as is_file, n.row_no as is_row, ${sides.join(', ')}
    from ${joined(table, lastSource)}
    order by o.source_no, o.row_no ${most === null ? '' : `limit ${most}`}`);
  return rows.map((row) => {
    const { was_file, was_row, is_file, is_row } = place.parse(row);
    const written = cells.parse(row);
    const cell = (name: string): string | null => {
      const value = written[name] ?? null;
      return value === null ? null : String(value);
    };
    return {
      table: table.name,
      key: table.key.map((name) => cell(`o${table.columns.findIndex((column) => column.name === name)}`) ?? ''),
      changes: table.columns
        .map(({ name }, i): Change => ({ column: name, was: cell(`o${i}`), is: cell(`n${i}`) }))
        .filter((change) => change.was !== change.is),
      was: { file: was_file, row: was_row },
      is: { file: is_file, row: is_row },
    };
  });
}

/** Sets the new rows of the keys that would be replaced aside for good, so that the log keeps the rows it had. */
export async function leaveOut(db: Database<unknown>, lastSource: number, { byTable }: Replacements): Promise<void> {
  const lifted = [standing.accepted, standing.reference, standing.repeat, standing.replaced].join(', ');
  for (const { table: name } of byTable) {
    const table = tables[name];
    await db.run(`update ${held(name)} as n set standing = ${standing.leftOut} from ${held(name)} o, ${replacedSql(lastSource)} f
      where f.log_table = ${sqlText(name)} and o.source_no = f.source_no and o.row_no = f.row_no
        and ${freshSql('n', lastSource)} and n.standing in (${lifted}) and ${sameKey(table, 'n', 'o')}`);
    await db.run(`delete from faults f using ${held(name)} n
      where n.standing = ${standing.leftOut} and f.source_no = n.source_no and f.row_no = n.row_no and f.kind <> 'left_out'`);
    await db.run(`insert into faults select n.source_no, ${sqlText(name)}, n.row_no, ${sqlText(table.key.join(', '))}, null, 'left_out',
        ${sqlText(rowSentence.leftOut)} from ${held(name)} n anti join faults f using (source_no, row_no) where n.standing = ${standing.leftOut}`);
  }
  await fitTogether(db);
}
