import { FIRST_DAY, LAST_DAY, type CellKind } from '../log/column';
import { mendsBy } from '../log/mend';
import { normalHeader } from '../log/recognise';
import { cell, row as rowSentence } from '../log/sentences';
import type { Column, LogTable } from '../log/table';
import { sqlText, type OpenedFile } from './database';
import { held, standing } from './tables';

/**
 * Taking a file's rows into its table, in one pass: every cell is read as text (or as the type that Parquet gave it), cast
 * under the schema and judged. The row is held either way; a faulty one keeps its cells as they were written, the number of
 * its first fault, and how many of its columns are at fault.
 *
 * In all SQL here r0, r1, ... are the table's cells as written, v0, v1, ... their values, in the order of its columns, and
 * g0, g1, ... whether the cell is good. Ten million readings pass here, so that a good cell is told by as few steps as can be;
 * which fault a bad one has is worked out for bad rows only, and a property test holds the two to one another.
 */

interface Fault {
  readonly when: string;
  readonly says: string;
}

const TEXTUAL: ReadonlySet<CellKind> = new Set(['text', 'choice', 'list']);
const LIST_PATTERN = '-?[0-9]+(\\.[0-9]+)?([- ]-?[0-9]+(\\.[0-9]+)?)*';

/** The value's SQL for one cell `r` of database type `type`, NULL where it can't be had. */
function valueSql(kind: CellKind, r: string, type: string): string {
  const raw = type === 'VARCHAR' ? r : `${r}::varchar`;
  // Trimming costs five times as much as seeing that there is nothing to trim.
  const text = `nullif(case when starts_with(${raw}, ' ') or ends_with(${raw}, ' ') then trim(${raw}) else ${raw} end, '')`;
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

/** Whether the cell `r` with the value `v` is good: true or false, never NULL. */
function goodSql(column: Column, r: string, v: string): string {
  const or = (test: string): string => {
    const empty = TEXTUAL.has(column.kind) ? `${v} is null` : `${r} is null`;
    return `coalesce(${test}, ${column.required ? 'false' : empty})`;
  };
  const between = `${v} between ${column.min ?? 0} and ${column.max ?? 0}`;
  switch (column.kind) {
    case 'text':
      return or(`strlen(${v}) <= ${column.max ?? 0} or length(${v}) <= ${column.max ?? 0}`);
    case 'number':
      return or(between);
    case 'integer':
      return or(`${between} and ${v} = floor(${v})`);
    case 'choice':
    case 'list':
    case 'date':
    case 'moment':
    case 'yes_no': {
      const faults = faultsOf(column, r, v).map((fault) => `(${fault.when})`);
      return `not coalesce(${faults.join(' or ')}, false)`;
    }
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

/** Takes the apostrophe off that `guarded` put before a cell of a file of rows to mend. */
const unguardedSql = (r: string): string => `case when starts_with(${r}, '''') then substr(${r}, 2) else ${r} end`;

interface NumberedFault extends Fault {
  readonly column: number;
}

/** A table's faults in the order in which they are said; a fault's number is its place here. */
const numberedFaults = (table: LogTable): NumberedFault[] =>
  table.columns.flatMap((column, i) => faultsOf(column, `r${i}`, `v${i}`).map((fault) => ({ ...fault, column: i })));

/**
 * SQL that appends a file's rows to its table, numbered from `firstRow`. Rows that the database could not take apart, and
 * blank ones, are not among them: see renumberSql. Of a file of rows to mend every row keeps its cells as written, and after
 * them the file and row that it names: see markMendsSql.
 */
export function stageSql(table: LogTable, sourceNo: number, file: OpenedFile, firstRow: number): string {
  const mends = mendsBy(file.columns.map((column) => column.name));
  const cellOf = (i: number, type: string): string =>
    mends !== null && type === 'VARCHAR' ? unguardedSql(`c${i}`) : `c${i}`;
  const places = new Map(file.columns.map(({ name, type }, i) => [normalHeader(name), { raw: cellOf(i, type), type }]));
  const cited = mends === null ? [] : [mends.file, mends.row].map((i) => cellOf(i, file.columns[i]?.type ?? ''));
  const cells = table.columns.map((column) => places.get(column.name) ?? { raw: 'null::varchar', type: 'VARCHAR' });
  const each = (sql: (column: Column, i: number) => string, joint = ', '): string => table.columns.map(sql).join(joint);
  const tellings = numberedFaults(table).map((fault, i) => `when ${fault.when} then ${i}`);
  return `insert into ${held(table.name)}
    with written as (select row_number() over () - 1 as k, ${cells.map(({ raw }, i) => `${raw} as r${i}`).join(', ')}
      ${cited.map((raw, i) => `, ${raw} as m${i}`).join('')} from ${file.relation}),
    valued as (select *, ${each((column, i) => `${valueSql(column.kind, `r${i}`, cells[i]?.type ?? 'VARCHAR')} as v${i}`)} from written),
    judged as (select *, ${each((column, i) => `${goodSql(column, `r${i}`, `v${i}`)} as g${i}`)} from valued),
    told as (select *, ${each((_, i) => `g${i}`, ' and ')} as good from judged)
    select ${sourceNo}, (k + ${firstRow})::integer, case when good then ${standing.accepted} else ${standing.format} end,
      ${mends === null ? `case when not good then [${each((_, i) => `r${i}::varchar`)}] end` : `[${each((_, i) => `r${i}::varchar`)}, m0::varchar, m1::varchar]`},
      case when not good then case ${tellings.join(' ')} end end,
      case when not good then ${each((_, i) => `(not g${i})::utinyint`, ' + ')} end,
      ${each((column, i) => (column.kind === 'integer' ? `try_cast(v${i} as integer)` : `v${i}`))}
    from told`;
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

/** SQL that writes down which row each row of a file of rows to mend takes the place of. */
export function markMendsSql(table: LogTable, sourceNo: number): string {
  const cited = table.columns.length;
  return `insert into mend_marks select source_no, row_no, trim(raw[${cited + 1}]), try_cast(raw[${cited + 2}] as integer)
    from ${held(table.name)} where source_no = ${sourceNo} and trim(raw[${cited + 1}]) <> ''
      and try_cast(raw[${cited + 2}] as integer) is not null`;
}

/** SQL that writes down, for each faulty row of a source, its first fault by column, with what was written there. */
export function formatFaultsSql(table: LogTable, sourceNo: number): string {
  const faults = numberedFaults(table);
  const names = faults.map((fault) => sqlText(table.columns[fault.column]?.name ?? ''));
  return `insert into faults
    select ${sourceNo}, ${sqlText(table.name)}, row_no, ([${names.join(', ')}])[fault + 1],
      raw[([${faults.map((fault) => fault.column + 1).join(', ')}])[fault + 1]], 'format',
      ([${faults.map((fault) => sqlText(fault.says)).join(', ')}])[fault + 1]
        || case when at_fault > 1 then ' ' || replace(${sqlText(rowSentence.more('#'))}, '#', (at_fault - 1)::varchar) else '' end
    from ${held(table.name)} where source_no = ${sourceNo} and standing = ${standing.format}`;
}
