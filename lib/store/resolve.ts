import { writeCards } from './cards';
import { z } from 'zod';
import { row as rowSentence } from '../log/sentences';
import type { LogTable, Reference, TableName } from '../log/table';
import { tableNames } from '../log/table';
import { tables } from '../log/tables';
import { sqlText, type Database } from './database';
import { holdMends, letMend } from './mends';
import { held, ofJob, standing } from './tables';

const tableName = z.enum(tableNames);

/**
 * What only shows when all files lie side by side: rows that stand twice, and rows whose counterpart is missing. It is worked
 * out anew after every load, over everything held, so that a draw whose job arrives a week later is then accepted.
 *
 * Mended files come after all others, one by one: which rows are to be mended only shows once those are fitted together. `fresh`
 * are the sources just read.
 */
export async function resolve(db: Database<unknown>, fresh: readonly number[]): Promise<void> {
  const mending = await holdMends(db);
  if (mending.length < fresh.length) await fitTogether(db);
  for (const file of mending) {
    await letMend(db, file);
    await fitTogether(db);
  }
}

export async function fitTogether(db: Database<unknown>): Promise<void> {
  await forget(db);
  const doubled = await findDoubled(db);
  for (const name of tableNames) {
    const table = tables[name];
    if (name === 'closures') await db.run(WORKED_TO);
    const astrays = astraySql(table);
    if (astrays !== null) await setAside(db, table, astrays);
    if (doubled.has(name)) {
      await forgetAstray(db, table);
      await setAside(db, table, repeatsSql(table));
    }
  }
  await db.run('drop table worked_to; drop table doubled');
}

const LIFTED = `('reference', 'repeat', 'replaced')`;

/** Lifts what the last resolution set aside; rows with faulty cells, mended ones and those left out stay so. */
async function forget(db: Database<unknown>): Promise<void> {
  const lifted = [standing.reference, standing.repeat, standing.replaced].join(', ');
  for (const row of await db.rows(`select distinct log_table from faults where kind in ${LIFTED}`)) {
    const table = held(tableName.parse(row.log_table));
    await db.run(`update ${table} set standing = ${standing.accepted} where standing in (${lifted})`);
  }
  await db.run(`delete from faults where kind in ${LIFTED}`);
}

/** A row that a later one stands for anyway is told as that alone, not also as one that points nowhere. */
const forgetAstray = (db: Database<unknown>, table: LogTable): Promise<void> =>
  db.run(`delete from faults f using (${repeatsSql(table)}) a, ${held(table.name)} h
    where h.rowid = a.id and f.source_no = h.source_no and f.row_no = h.row_no and f.kind = 'reference'`);

/** Sets rows aside: `sql` answers id, column_name, value, kind and reason for each. */
async function setAside(db: Database<unknown>, table: LogTable, sql: string): Promise<void> {
  const [found] = await db.rows(`insert into faults
    select h.source_no, ${sqlText(table.name)}, h.row_no, a.column_name, a.value, a.kind, a.reason
    from (${sql}) a join ${held(table.name)} h on h.rowid = a.id`);
  if (Number(found?.Count ?? 0) === 0) return;
  await db.run(`update ${held(table.name)} set standing =
      case f.kind when 'reference' then ${standing.reference} when 'repeat' then ${standing.repeat} else ${standing.replaced} end
    from (select * from faults where log_table = ${sqlText(table.name)} and kind in ${LIFTED}) f
    where ${held(table.name)}.source_no = f.source_no and ${held(table.name)}.row_no = f.row_no`);
}

/** Notes the keys' hashes that occur more than once, which in most logs is none; answers the tables they occur in. */
async function findDoubled(db: Database<unknown>): Promise<ReadonlySet<TableName>> {
  const each = tableNames.map(
    (name) => `select ${sqlText(name)} as name, hash(${keyOf(tables[name])}) as h from ${held(name)}
      where standing = ${standing.accepted} group by h having count(*) > 1`,
  );
  await db.run(`create or replace temp table doubled as ${each.join(' union all ')}`);
  return new Set((await db.rows('select distinct name from doubled')).map((row) => tableName.parse(row.name)));
}

const keyOf = (table: LogTable): string => table.key.map((column) => `"${column}"`).join(', ');

/**
 * Rows with the key of a later one. A row that points nowhere takes no place of a good one, and is itself left to be mended, unless
 * a later row stands for it anyway. Only rows whose key's hash occurs twice are compared, which is next to none of them.
 */
function repeatsSql(table: LogTable): string {
  const key = keyOf(table);
  const content = table.columns.map((column) => `"${column.name}"`).join(', ');
  return `with ranked as (
      select rowid as id, row(${content}) as content, first_value(row(${content})) over newest as latest, row_number() over newest as place
        , standing, first_value(row(source_no, row_no)) over newest as best, row(source_no, row_no) as here
      from ${held(table.name)} where standing in (${standing.accepted}, ${standing.reference})
        and hash(${key}) in (select h from doubled where name = ${sqlText(table.name)})
      window newest as (partition by ${key} order by standing, source_no desc, row_no desc))
    select id, ${sqlText(table.key.join(', '))} as column_name, null::varchar as value,
      case when content is not distinct from latest then 'repeat' else 'replaced' end as kind,
      case when content is not distinct from latest then ${sqlText(rowSentence.repeat)} else ${sqlText(rowSentence.replaced)} end as reason
    from ranked where place > 1 and (standing = ${standing.accepted} or here < best or content is not distinct from latest)`;
}

interface Lookup {
  readonly join: string;
  /** Tests that fail a row, first come first said: [condition, column, SQL of the value, SQL of the sentence]. */
  readonly tests: readonly (readonly [string, string, string, string])[];
}

const accepted = (name: TableName): string => `(select * from ${held(name)} where standing = ${standing.accepted})`;

type Test = Lookup['tests'][number];

/** A row whose counterpart is not accepted. Whether it is held at all decides what a person has to do. */
function astray(when: string, reference: Reference, names: Readonly<Record<string, string>> = {}): Test {
  const on = reference.columns.map((column) => `c."${names[column] ?? column}" = h."${column}"`).join(' and ');
  const heldAtAll = `exists (select 1 from ${held(reference.table)} c where ${on})`;
  return [
    when,
    reference.columns[0] ?? '',
    reference.columns.map((column) => `h."${column}"`).join(` || ' ' || `),
    `case when ${heldAtAll} then ${sqlText(rowSentence.counterpartSetAside(reference))} else ${sqlText(rowSentence.noCounterpart(reference))} end`,
  ];
}

function counterpart(reference: Reference, names: Readonly<Record<string, string>>): Lookup {
  const columns = reference.columns.map((column) => `"${names[column] ?? column}"`).join(', ');
  const on = reference.columns.map((column) => `t."${names[column] ?? column}" = h."${column}"`).join(' and ');
  return {
    join: `left join (select ${columns}, true as there from ${accepted(reference.table)}) t on ${on}`,
    tests: [astray('t.there is null', reference, names)],
  };
}

/** The accepted jobs with the specification that each was worked to, which is also accepted: one look-up for all readings. */
const WORKED_TO = `create or replace temp table worked_to as
  select j.job_id, s.elements, s.rowid as sheet from ${held('jobs')} j
  join ${held('specs')} s on s.spec_id = j.spec_id and s.revision = j.spec_revision
  where j.standing = ${standing.accepted} and s.standing = ${standing.accepted}`;

/** Names that each specification knows, of its test points or its checks. */
const ofSheet = (name: TableName, column: string): string =>
  `(select distinct s.rowid as sheet, n."${column}", true as known from ${held(name)} n
    join ${held('specs')} s using (spec_id, revision) where n.standing = ${standing.accepted} and s.standing = ${standing.accepted})`;

function ofJobLookups(table: LogTable, reference: Reference): Lookup[] {
  const elementBeyond: Test = [
    'h.element > w.elements',
    'element',
    'h.element::varchar',
    sqlText(rowSentence.elementBeyond),
  ];
  const hasElement = table.columns.some((column) => column.name === 'element');
  const lookups: Lookup[] = [
    {
      join: 'left join worked_to w on w.job_id = h.job_id',
      tests: [astray('w.job_id is null', reference), ...(hasElement ? [elementBeyond] : [])],
    },
  ];
  const named = {
    draws: ['test_points', 'test_point', rowSentence.noTestPoint],
    governor: ['checks', 'check_id', rowSentence.noCheck],
  } as const;
  if (table.name === 'draws' || table.name === 'governor') {
    const [names, column, says] = named[table.name];
    lookups.push({
      join: `left join ${ofSheet(names, column)} p on p.sheet = w.sheet and p."${column}" = h."${column}"`,
      tests: [['p.known is null', column, `h."${column}"`, sqlText(says)]],
    });
  }
  return lookups;
}

const listOf = (column: string): string =>
  `list_transform(string_split_regex(h.${column}, '[- ]'), lambda x: try_cast(x as double))`;

/** Checks of a table beyond its cells: `h` is the row, `w` what its job was worked to. */
function astraySql(table: LogTable): string | null {
  const lookups: Lookup[] = table.references.flatMap((reference) =>
    ofJob(table) ? ofJobLookups(table, reference) : [counterpart(reference, { spec_revision: 'revision' })],
  );
  if (table.name === 'specs') {
    const angles = listOf('closure_angles_deg');
    lookups.push({
      join: '',
      tests: [
        [
          `list_sort(${listOf('firing_order')}) <> range(1, h.elements + 1)::double[]`,
          'firing_order',
          'h.firing_order',
          sqlText(rowSentence.firingOrder),
        ],
        [
          `h.closure_angles_deg is not null and (len(${angles}) <> h.elements or ${angles}[1] <> 0 or ${angles}[-1] >= 360
            or list_sort(list_distinct(${angles})) <> ${angles})`,
          'closure_angles_deg',
          'h.closure_angles_deg',
          sqlText(rowSentence.closureAngles),
        ],
      ],
    });
  }
  const bands: Partial<Record<TableName, readonly [string, string]>> = {
    test_points: ['low_mm3', 'high_mm3'],
    checks: ['low', 'high'],
  };
  const band = bands[table.name];
  if (band !== undefined) {
    lookups.push({
      join: '',
      tests: [[`h.${band[0]} > h.${band[1]}`, band[0], `h.${band[0]}::varchar`, sqlText(rowSentence.bandReversed)]],
    });
  }
  const tests = lookups.flatMap((lookup) => lookup.tests);
  if (tests.length === 0) return null;
  return `with looked as (select h.rowid as id, h.*, ${tests.map(([when], i) => `coalesce(${when}, false) as t${i}`).join(', ')}
      from ${held(table.name)} h ${lookups.map((lookup) => lookup.join).join(' ')} where h.standing = ${standing.accepted}),
    failed as (select h.*, case ${tests.map((_, i) => `when t${i} then ${i}`).join(' ')} end as test from looked h
      where ${tests.map((_, i) => `t${i}`).join(' or ')})
    select id, ([${tests.map(([, column]) => sqlText(column)).join(', ')}])[test + 1] as column_name,
      case test ${tests.map(([, , value], i) => `when ${i} then ${value}`).join(' ')} end as value, 'reference' as kind,
      case test ${tests.map(([, , , says], i) => `when ${i} then ${says}`).join(' ')} end as reason
    from failed h`;
}

/** Names that get whole numbers from 0, by which the engine knows them. */
const dictionaries = [
  { numbers: 'point_numbers', name: 'test_point', no: 'point', table: 'test_points' },
  { numbers: 'check_numbers', name: 'check_id', no: 'check_no', table: 'checks' },
  { numbers: 'lever_numbers', name: 'lever', no: 'lever_no', table: 'checks' },
  { numbers: 'gauge_numbers', name: 'instrument_id', no: 'gauge', table: 'instruments' },
] as const satisfies readonly { numbers: string; name: string; no: string; table: TableName }[];

/** Gives every new job, specification revision and name its number, and writes the cards by them; numbers given before stay. */
export async function number(db: Database<unknown>): Promise<void> {
  await db.run(`insert into job_numbers select job_id,
      ((select coalesce(max(job_no), 0) from job_numbers) + row_number() over (order by received_on, job_id))::integer
    from ${accepted('jobs')} anti join job_numbers using (job_id)`);
  await db.run(`insert into spec_numbers select spec_id, revision,
      ((select coalesce(max(spec_no), 0) from spec_numbers) + row_number() over (order by spec_id, revision))::integer
    from ${accepted('specs')} anti join spec_numbers using (spec_id, revision)`);
  for (const { numbers, name, no, table } of dictionaries) {
    await db.run(`insert into ${numbers} select ${name},
        ((select coalesce(max(${no}), -1) from ${numbers}) + row_number() over (order by ${name}))::integer
      from (select distinct ${name} from ${accepted(table)} where ${name} is not null) anti join ${numbers} using (${name})`);
  }
  await writeCards(db);
}
