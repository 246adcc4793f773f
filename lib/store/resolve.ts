import { row as rowSentence } from '../log/sentences';
import type { LogTable, Reference, TableName } from '../log/table';
import { tableNames } from '../log/table';
import { tables } from '../log/tables';
import { sqlText, type Database } from './database';
import { held, standing } from './tables';

/**
 * What only shows when all files lie side by side: rows that stand twice, and rows whose counterpart is missing. It is worked
 * out anew after every load, over everything held, so that a draw whose job arrives a week later is then accepted.
 */
export async function resolve(db: Database<unknown>): Promise<void> {
  await db.run(`delete from faults where kind <> 'format'`);
  for (const name of tableNames) {
    const table = tables[name];
    await db.run(
      `update ${held(name)} set standing = ${standing.accepted} where standing not in (${standing.accepted}, ${standing.format})`,
    );
    for (const sql of [repeatsSql(table), astraySql(table)]) {
      if (sql === null) continue;
      await db.run(`create or replace temp table astray as ${sql}`);
      const [found] = await db.rows('select count(*)::integer as n from astray');
      if (Number(found?.n ?? 0) === 0) continue;
      await db.run(`insert into faults select h.source_no, ${sqlText(name)}, h.row_no, a.column_name, a.value, a.kind, a.reason
        from astray a join ${held(name)} h on h.rowid = a.id`);
      await db.run(`update ${held(name)} set standing =
        case astray.kind when 'reference' then ${standing.reference} when 'repeat' then ${standing.repeat} else ${standing.replaced} end
        from astray where ${held(name)}.rowid = astray.id`);
    }
  }
  await db.run('drop table if exists astray');
  await number(db);
}

/** Rows with the key of a later one. Only rows whose key's hash occurs twice are compared, which is next to none of them. */
function repeatsSql(table: LogTable): string {
  const key = table.key.map((column) => `"${column}"`).join(', ');
  const content = table.columns.map((column) => `"${column.name}"`).join(', ');
  const accepted = `standing = ${standing.accepted}`;
  return `with doubled as (select hash(${key}) as h from ${held(table.name)} where ${accepted} group by h having count(*) > 1),
    ranked as (
      select rowid as id, row(${content}) as content, first_value(row(${content})) over newest as latest, row_number() over newest as place
      from ${held(table.name)} where ${accepted} and hash(${key}) in (select h from doubled)
      window newest as (partition by ${key} order by source_no desc, row_no desc))
    select id, ${sqlText(table.key.join(', '))} as column_name, null::varchar as value,
      case when content is not distinct from latest then 'repeat' else 'replaced' end as kind,
      case when content is not distinct from latest then ${sqlText(rowSentence.repeat)} else ${sqlText(rowSentence.replaced)} end as reason
    from ranked where place > 1`;
}

interface Lookup {
  readonly join: string;
  /** Tests that fail a row, first come first said: [condition, column, SQL of the value, SQL of the sentence]. */
  readonly tests: readonly (readonly [string, string, string, string])[];
}

const accepted = (name: TableName): string => `(select * from ${held(name)} where standing = ${standing.accepted})`;

function counterpart(reference: Reference, names: Readonly<Record<string, string>>): Lookup {
  const on = reference.columns.map((column) => `t."${names[column] ?? column}" = h."${column}"`).join(' and ');
  const value = reference.columns.map((column) => `h."${column}"`).join(` || ' ' || `);
  const first = reference.columns[0] ?? '';
  // Whether the counterpart is held at all decides what a person has to do; it is looked up for rows gone astray only.
  const heldAtAll = `exists (select 1 from ${held(reference.table)} t where ${on})`;
  return {
    join: `left join (select ${reference.columns.map((column) => `"${names[column] ?? column}"`).join(', ')}, true as there
      from ${accepted(reference.table)}) t on ${on}`,
    tests: [
      [
        't.there is null',
        first,
        value,
        `case when ${heldAtAll} then ${sqlText(rowSentence.counterpartSetAside(reference))} else ${sqlText(rowSentence.noCounterpart(reference))} end`,
      ],
    ],
  };
}

const listOf = (column: string): string =>
  `list_transform(string_split_regex(h.${column}, '[- ]'), lambda x: try_cast(x as double))`;

/** Checks of a table beyond its cells: `h` is the row, and for rows of a job `s` is the specification it was worked to. */
function astraySql(table: LogTable): string | null {
  const lookups: Lookup[] = table.references.map((reference) => counterpart(reference, { spec_revision: 'revision' }));
  const joinsSpec = `left join (select j.job_id, s.elements, s.spec_id, s.revision from ${accepted('jobs')} j
    join ${accepted('specs')} s on s.spec_id = j.spec_id and s.revision = j.spec_revision) s on s.job_id = h.job_id`;
  if (table.name !== 'jobs' && table.columns.some((column) => column.name === 'element')) {
    lookups.push({
      join: joinsSpec,
      tests: [['h.element > s.elements', 'element', 'h.element::varchar', sqlText(rowSentence.elementBeyond)]],
    });
  }
  if (table.name === 'draws') lookups.push(ofSpec('test_points', 'test_point', rowSentence.noTestPoint));
  if (table.name === 'governor') {
    lookups.push({ join: joinsSpec, tests: [] }, ofSpec('checks', 'check_id', rowSentence.noCheck));
  }
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

function ofSpec(name: TableName, column: string, says: string): Lookup {
  return {
    join: `left join (select distinct spec_id, revision, "${column}", true as known from ${accepted(name)}) p
      on p.spec_id = s.spec_id and p.revision = s.revision and p."${column}" = h."${column}"`,
    tests: [['s.spec_id is not null and p.known is null', column, `h."${column}"`, sqlText(says)]],
  };
}

/** Gives every new job, specification revision and test point name its number; numbers given before stay. */
async function number(db: Database<unknown>): Promise<void> {
  await db.run(`insert into job_numbers select job_id,
      ((select coalesce(max(job_no), 0) from job_numbers) + row_number() over (order by received_on, job_id))::integer
    from ${accepted('jobs')} anti join job_numbers using (job_id)`);
  await db.run(`insert into spec_numbers select spec_id, revision,
      ((select coalesce(max(spec_no), 0) from spec_numbers) + row_number() over (order by spec_id, revision))::integer
    from ${accepted('specs')} anti join spec_numbers using (spec_id, revision)`);
  await db.run(`insert into point_numbers select test_point,
      ((select coalesce(max(point), -1) from point_numbers) + row_number() over (order by test_point))::integer
    from (select distinct test_point from ${accepted('test_points')}) anti join point_numbers using (test_point)`);
}
