import { FIRST_DAY, LAST_DAY, type CellKind } from '../log/column';
import { normalHeader } from '../log/recognise';
import { cell, row as rowSentence } from '../log/sentences';
import type { Column, LogTable } from '../log/table';
import { sqlText, type OpenedFile } from './database';
import { held, standing } from './tables';

/**
 * Taking a file's rows into its table, in one pass: every cell is read as text (or as the type that Parquet gave it), cast
 * under the schema and judged. The row is held either way; a faulty one keeps its cells as they were written, so that a
 * second pass over the faulty rows alone can say what is wrong.
 *
 * In all SQL here r0, r1, ... are the table's cells as written and v0, v1, ... their values, in the order of its columns.
 */

interface Fault {
  readonly when: string;
  readonly says: string;
  /** Tells a special case of a later fault apart; to know that a row is faulty it need not be looked at. */
  readonly refines?: true;
}

const TEXTUAL: ReadonlySet<CellKind> = new Set(['text', 'choice', 'list']);
const LIST_PATTERN = '-?[0-9]+(\\.[0-9]+)?([- ]-?[0-9]+(\\.[0-9]+)?)*';

/** The value's SQL for one cell `r` of database type `type`, NULL where it can't be had. */
function valueSql(kind: CellKind, r: string, type: string): string {
  const text = `nullif(trim(${type === 'VARCHAR' ? r : `${r}::varchar`}), '')`;
  switch (kind) {
    case 'text':
      return text;
    case 'choice':
      return `lower(${text})`;
    case 'list':
      // A list column of a Parquet file prints as [1, 5, 3].
      return type.endsWith(']') ? `replace(trim(${r}::varchar, '[]'), ', ', '-')` : text;
    case 'number':
    case 'integer':
      return `try_cast(${r} as double)`;
    case 'date':
      return `try_cast(${r} as date)`;
    case 'moment':
      return `try_cast(${r} as timestamp)`;
    case 'yes_no':
      return type === 'BOOLEAN'
        ? r
        : `case when lower(trim(${r}::varchar)) in ('true', 'yes', 'y', '1') then true
             when lower(trim(${r}::varchar)) in ('false', 'no', 'n', '0') then false end`;
  }
}

/** What can be wrong with the cell `r` whose value is `v`, in the order in which it is said. */
function faultsOf(column: Column, r: string, v: string): Fault[] {
  const unread = `(${v} is null and ${r} is not null)`;
  const missing: Fault[] = column.required
    ? [{ when: `${TEXTUAL.has(column.kind) ? v : r} is null`, says: cell.missing(column) }]
    : [];
  switch (column.kind) {
    case 'text':
      return [...missing, { when: `length(${v}) > ${column.max ?? 0}`, says: cell.tooLong(column) }];
    case 'number':
    case 'integer':
      return [
        ...missing,
        {
          when: `${unread} and regexp_full_match(${r}::varchar, ' *-?[0-9]+,[0-9]+ *')`,
          says: cell.decimalComma(column),
          refines: true,
        },
        { when: unread, says: cell.notNumber(column) },
        // In the database's order a value that is not a number stands above all numbers, so it lies outside too.
        { when: `not (${v} between ${column.min ?? 0} and ${column.max ?? 0})`, says: cell.outside(column) },
        ...(column.kind === 'integer' ? [{ when: `${v} <> floor(${v})`, says: cell.notWhole(column) }] : []),
      ];
    case 'date':
      return [
        ...missing,
        {
          when: `${unread} or trim(${r}::varchar)[5] <> '-' or length(trim(${r}::varchar)) < 10`,
          says: cell.notDate(column),
        },
        { when: `${v} not between '${FIRST_DAY}'::date and '${LAST_DAY}'::date`, says: cell.dateOutside(column) },
      ];
    case 'moment':
      return [
        ...missing,
        {
          when: `${unread} or length(${r}::varchar) < 16 or (${r}::varchar)[5] <> '-' or contains(${r}::varchar, '+') or contains(${r}::varchar, 'Z')`,
          says: cell.notMoment(column),
        },
      ];
    case 'yes_no':
      return [...missing, { when: unread, says: cell.notYesNo(column) }];
    case 'choice':
      return [
        ...missing,
        { when: `${v} not in (${(column.choices ?? []).map(sqlText).join(', ')})`, says: cell.notChoice(column) },
      ];
    case 'list':
      return [...missing, { when: `not regexp_full_match(${v}, '${LIST_PATTERN}')`, says: cell.notList(column) }];
  }
}

const valued = (table: LogTable, types: readonly string[]): string =>
  table.columns.map((column, i) => `${valueSql(column.kind, `r${i}`, types[i] ?? 'VARCHAR')} as v${i}`).join(', ');

/**
 * SQL that appends a file's rows to its table, numbered from `firstRow`. Rows that the database could not take apart, and
 * blank ones, are not among them: see renumberSql.
 */
export function stageSql(table: LogTable, sourceNo: number, file: OpenedFile, firstRow: number): string {
  const places = new Map(
    file.columns.map((column, i) => [normalHeader(column.name), { raw: `c${i}`, type: column.type }]),
  );
  const cells = table.columns.map((column) => places.get(column.name) ?? { raw: 'null::varchar', type: 'VARCHAR' });
  const faulty = table.columns
    .flatMap((column, i) => faultsOf(column, `r${i}`, `v${i}`))
    .filter((fault) => fault.refines !== true)
    .map((fault) => `(${fault.when})`)
    .join(' or ');
  return `insert into ${held(table.name)}
    with written as (select row_number() over () - 1 as k, ${cells.map(({ raw }, i) => `${raw} as r${i}`).join(', ')} from ${file.relation}),
    valued as (select *, ${valued(
      table,
      cells.map(({ type }) => type),
    )} from written),
    judged as (select *, coalesce(${faulty}, false) as faulty from valued)
    select ${sourceNo}, (k + ${firstRow})::integer, case when faulty then ${standing.format} else ${standing.accepted} end,
      case when faulty then [${cells.map((_, i) => `r${i}::varchar`).join(', ')}] end,
      ${table.columns.map((column, i) => (column.kind === 'integer' ? `try_cast(v${i} as integer)` : `v${i}`)).join(', ')}
    from judged`;
}

/**
 * SQL that moves a source's row numbers on past the places that held no readable row (the relation `gaps`, a column
 * `place`), so that each number is the one that a spreadsheet shows.
 */
export const renumberSql = (table: LogTable, sourceNo: number, firstRow: number): string =>
  // Before the i-th gap stand place - firstRow - i readable rows; from there on the count is i + 1 ahead.
  `update ${held(table.name)} set row_no = row_no + moved.shift
    from (with steps as (select place - ${firstRow} - i as k, max(i + 1)::integer as shift
        from (select place, row_number() over (order by place) - 1 as i from gaps) group by k)
      select h.rowid as id, s.shift from ${held(table.name)} h asof join steps s on h.row_no - ${firstRow} >= s.k
      where h.source_no = ${sourceNo}) moved
    where ${held(table.name)}.rowid = moved.id`;

/** SQL that writes down, for each faulty row of a source, its first fault by column, with what was written there. */
export function formatFaultsSql(table: LogTable, sourceNo: number): string {
  const found = table.columns.flatMap((column, i) =>
    faultsOf(column, `r${i}`, `v${i}`).map(
      (fault) =>
        `case when ${fault.when} then {column_name: ${sqlText(column.name)}, value: r${i}, reason: ${sqlText(fault.says)}} end`,
    ),
  );
  return `insert into faults
    with written as (select row_no, ${table.columns.map((_, i) => `raw[${i + 1}] as r${i}`).join(', ')}
      from ${held(table.name)} where source_no = ${sourceNo} and standing = ${standing.format}),
    valued as (select *, ${valued(table, [])} from written),
    found as (select row_no, list_filter([${found.join(', ')}], lambda x: x is not null) as said from valued),
    counted as (select row_no, said[1] as fault, len(list_distinct([x.column_name for x in said])) as n from found)
    select ${sourceNo}, ${sqlText(table.name)}, row_no, fault.column_name, fault.value, 'format',
      fault.reason || case when n > 1 then ' ' || replace(${sqlText(rowSentence.more('#'))}, '#', (n - 1)::varchar) else '' end
    from counted`;
}
