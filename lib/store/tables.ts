import type { CellKind } from '../log/column';
import type { LogTable, TableName } from '../log/table';
import { row as rowSentence } from '../log/sentences';
import { tables } from '../log/tables';
import { codes, layout, resultTables, type ResultColumn, type ResultTable } from '../calc/layout';
import { cardTablesSql, isCarded, readView } from './cards';
import { sqlText } from './database';
import { DIGEST_TABLES } from './digests';

/** The database's own shape: what is held of the files, the numbers given to names, the results, and the views over them. */

const sqlType: Readonly<Record<CellKind, string>> = {
  text: 'VARCHAR',
  number: 'DOUBLE',
  integer: 'INTEGER',
  date: 'DATE',
  moment: 'TIMESTAMP',
  yes_no: 'BOOLEAN',
  choice: 'VARCHAR',
  list: 'VARCHAR',
};
export const sqlTypeOf = (kind: CellKind): string => sqlType[kind];

export const held = (name: TableName): string => `held_${name}`;
export const kept = (name: ResultTable): string => `kept_${name}`;

/** A stored cell as a person would write it: 40 and not 40.0. */
export const writtenSql = (cell: string): string => `regexp_replace(${cell}::varchar, '^(-?[0-9]+)\\.0$', '\\1')`;

/**
 * Where a held row stands; only accepted ones are seen by calculation and questions. Reference, repeat and replaced are worked out
 * anew with every load; the others stay. A row that waits is one of a mended file whose turn has not come within a load.
 */
export const standing = {
  accepted: 0,
  format: 1,
  reference: 2,
  repeat: 3,
  replaced: 4,
  mended: 5,
  leftOut: 6,
  waiting: 7,
} as const;

/** Why a row is set aside, as the table of faults says it. The first two need a hand. */
export const faultKinds = ['format', 'reference', 'repeat', 'replaced', 'mended', 'left_out'] as const;

export const ofJob = (table: LogTable): boolean =>
  table.name !== 'jobs' && table.columns.some((c) => c.name === 'job_id');

const heldTable = (table: LogTable): string => `create table ${held(table.name)} (
  source_no INTEGER, row_no INTEGER, standing UTINYINT, raw VARCHAR[], fault UTINYINT, at_fault UTINYINT,
  ${table.columns.map((column) => `"${column.name}" ${sqlType[column.kind]}`).join(', ')});`;

/** Whether a row `h` of a table has been let into the log. */
export const SHOWN = 'h.source_no <= (select last_source from shown)';

const logView = (table: LogTable): string => {
  const columns = table.columns.map((column) => `h."${column.name}"`).join(', ');
  const base = `h.source_no, h.row_no, ${columns}`;
  const from = `from ${held(table.name)} h`;
  const where = `where h.standing = ${standing.accepted} and ${SHOWN}`;
  switch (table.name) {
    case 'specs':
      return `select n.spec_no, ${base} ${from} join spec_numbers n using (spec_id, revision) ${where}`;
    case 'test_points':
      return `select n.spec_no, p.point, ${base} ${from} join spec_numbers n using (spec_id, revision)
        join point_numbers p using (test_point) ${where}`;
    case 'checks':
      return `select n.spec_no, c.check_no, coalesce(l.lever_no, -1) as lever_no, ${base} ${from}
        join spec_numbers n using (spec_id, revision) join check_numbers c using (check_id)
        left join lever_numbers l using (lever) ${where}`;
    case 'cam_lift':
      return `select n.spec_no, ${base} ${from} join spec_numbers n using (spec_id, revision) ${where}`;
    case 'jobs':
      return `select j.job_no, n.spec_no, ${base} ${from} join job_numbers j using (job_id)
        join spec_numbers n on n.spec_id = h.spec_id and n.revision = h.spec_revision ${where}`;
    case 'draws':
      return `select j.job_no, p.point, ${base} ${from} join job_numbers j using (job_id)
        join point_numbers p using (test_point) ${where}`;
    case 'instruments':
      return `select g.gauge, ${base} ${from} join gauge_numbers g using (instrument_id) ${where}`;
    default:
      return `select j.job_no, ${base} ${from} join job_numbers j using (job_id) ${where}`;
  }
};

export const resultType = (column: ResultColumn): string =>
  column.type === 'real' ? 'DOUBLE' : column.type === 'int' ? 'INTEGER' : 'TINYINT';

export const columnsOf = (name: ResultTable): readonly (readonly [string, ResultColumn])[] =>
  Object.entries<ResultColumn>(layout[name].columns);

const keptTable = (name: ResultTable): string =>
  `create table ${kept(name)} (${columnsOf(name)
    .map(([column, facts]) => `"${column}" ${resultType(facts)}`)
    .join(', ')});`;

/** Test point numbers in results; each gets a name column of its own beside it in the view. */
const pointNames: Readonly<Record<string, { readonly name: string; readonly meaning: string }>> = {
  point: { name: 'test_point', meaning: 'The test point; empty for a stage that is none' },
  low_point: { name: 'low_test_point', meaning: 'The low-speed test point' },
  rated_point: { name: 'rated_test_point', meaning: 'The test point it is held against, at the same rack' },
};
const checkName = { name: 'check_id', meaning: 'The check' };

export interface ViewColumn {
  readonly name: string;
  /** Null for a name that stands in for a number. */
  readonly facts: ResultColumn | null;
  readonly meaning: string;
  readonly sql: string;
}

/** The columns of a result view and export: job_id and test point names beside the numbers, codes as their words. */
export const viewColumns = (name: ResultTable): readonly ViewColumn[] => [
  { name: 'job_id', facts: null, meaning: 'The job card number', sql: 'j.job_id' },
  ...columnsOf(name).flatMap(([column, facts]): ViewColumn[] => {
    const named = pointNames[column];
    const self: ViewColumn = {
      name: column,
      facts,
      meaning: facts.meaning,
      sql:
        facts.type === 'code' ? `([${codes[facts.list].map(sqlText).join(', ')}])[r."${column}" + 1]` : `r."${column}"`,
    };
    if (column === 'check') {
      return [
        self,
        {
          ...checkName,
          facts: null,
          sql: `(select list(check_id order by check_no) from check_numbers)[r."check" + 1]`,
        },
      ];
    }
    if (named === undefined) return [self];
    return [
      self,
      { ...named, facts: null, sql: `(select list(test_point order by point) from point_numbers)[r."${column}" + 1]` },
    ];
  }),
];

/**
 * Some columns of a result table, as a relation to select from: job_no and codes as their words, as in its view. The view has all
 * columns, and to plan a statement over it takes as long as to answer it.
 */
export function told<N extends ResultTable>(
  name: N,
  ...columns: readonly (keyof (typeof layout)[N]['columns'] & string)[]
): string {
  const wanted: readonly string[] = columns;
  const sql = viewColumns(name).filter((column) => column.facts !== null && wanted.includes(column.name));
  return `(select ${sql.map((column) => `${column.sql} as "${column.name}"`).join(', ')} from ${kept(name)} r)`;
}

const resultView = (name: ResultTable): string => `create view ${name} as
  select ${viewColumns(name)
    .map((column) => `${column.sql} as "${column.name}"`)
    .join(', ')}
  from ${kept(name)} r join job_numbers j using (job_no);`;

/** What became of a mended row, by where the row stands that took its place. */
const MENDED_SAYS = `replace(case n.kind ${Object.entries({
  format: rowSentence.mended.faulty,
  reference: rowSentence.mended.faulty,
  mended: rowSentence.mended.again,
  left_out: rowSentence.mended.leftOut,
})
  .map(([kind, says]) => `when ${sqlText(kind)} then ${sqlText(says)}`)
  .join(' ')} else ${sqlText(rowSentence.mended.done)} end, '#', b.file || ' row ' || m.by_row)`;

/** The columns that count a file's rows set aside, by what is to be done about them: together they are rows_set_aside. */
export const asideColumns = {
  rows_needing_hand: ['format', 'reference'],
  rows_repeated: ['repeat'],
  rows_replaced: ['replaced'],
  rows_mended: ['mended'],
  rows_left_out: ['left_out'],
} as const satisfies Record<string, readonly (typeof faultKinds)[number][]>;
const asideNames = Object.keys(asideColumns).join(', ');

const kindCounts = Object.entries(asideColumns)
  .map(([name, kinds]) => `count(*) filter (kind in (${kinds.map(sqlText).join(', ')}))::integer as ${name}`)
  .join(', ');

/** Everything an empty log consists of; run once, in a new database. */
export const EMPTY_LOG = [
  `create table held_sources (source_no INTEGER primary key, file VARCHAR, bytes DOUBLE, hash VARCHAR, format VARCHAR,
    log_table VARCHAR, rows_read INTEGER, loaded_at TIMESTAMP, note VARCHAR, taken_hash VARCHAR, load_no INTEGER);`,
  // Rows of later sources are stored and not yet in the log: their load is under way.
  `create table shown (last_source INTEGER); insert into shown values (0);`,
  `create table refused (file VARCHAR, reason VARCHAR);`,
  `create table faults (source_no INTEGER, log_table VARCHAR, row_no INTEGER, column_name VARCHAR, value VARCHAR,
    kind VARCHAR, reason VARCHAR);`,
  // Which row each row of a mended file names, until its load is fitted together; and which row was mended by which.
  `create table mend_marks (source_no INTEGER, row_no INTEGER, of_file VARCHAR, of_row INTEGER);`,
  `create table mended (source_no INTEGER, row_no INTEGER, by_source INTEGER, by_row INTEGER);`,
  `create table job_numbers (job_id VARCHAR, job_no INTEGER);`,
  `create table spec_numbers (spec_id VARCHAR, revision VARCHAR, spec_no INTEGER);`,
  `create table point_numbers (test_point VARCHAR, point INTEGER);`,
  `create table check_numbers (check_id VARCHAR, check_no INTEGER);`,
  `create table lever_numbers (lever VARCHAR, lever_no INTEGER);`,
  `create table gauge_numbers (instrument_id VARCHAR, gauge INTEGER);`,
  `create table calculated (job_no INTEGER, inputs UBIGINT);`,
  ...Object.values(tables).map(heldTable),
  ...resultTables.map(keptTable),
  ...Object.values(tables).map(
    (table) => `create view ${isCarded(table.name) ? readView(table.name) : table.name} as ${logView(table)};`,
  ),
  ...cardTablesSql(['job_no', 'spec_no', 'source_no', 'row_no', ...tables.jobs.columns.map(({ name }) => `"${name}"`)]),
  ...resultTables.map(resultView),
  ...DIGEST_TABLES,
  `create view set_aside as select f.source_no, s.file, f.log_table, f.row_no, f.column_name, f.value, f.kind,
      case when m.by_source is null then f.reason else ${MENDED_SAYS} end as reason
    from faults f join held_sources s using (source_no)
    left join mended m on m.source_no = f.source_no and m.row_no = f.row_no
    left join held_sources b on b.source_no = m.by_source
    left join faults n on n.source_no = m.by_source and n.row_no = m.by_row;`,
  `create view sources as select s.*, s.rows_read - coalesce(f.n, 0) as rows_accepted, coalesce(f.n, 0) as rows_set_aside,
      ${Object.keys(asideColumns)
        .map((name) => `coalesce(f.${name}, 0) as ${name}`)
        .join(', ')}
    from held_sources s left join (select source_no, count(*)::integer as n, ${kindCounts} from faults group by all) f
      using (source_no);`,
].join('\n');

/** Numbers given by this log alone; exports carry the names beside them instead. */
const internal: ReadonlySet<string> = new Set(['job_no', 'check', ...Object.keys(pointNames)]);

/** The columns of an exported result table. */
export const exportedColumns = (name: ResultTable): readonly ViewColumn[] =>
  viewColumns(name).filter((column) => !internal.has(column.name));

/** The rows of an exported result table, in the order of jobs and of the work in them. */
export function exportSql(name: ResultTable): string {
  const columns = exportedColumns(name);
  const order = [
    'job_no',
    'run',
    'stage',
    'finding',
    'point',
    'check',
    'element',
    'repeat',
    'at_rpm',
    'at_boost_kpa',
  ].filter((column) => column in layout[name].columns);
  const written = columns.map((column) =>
    column.facts?.type === 'int' || column.facts?.type === 'real'
      ? `r."${column.name}"`
      : `${spreadsheetSafe(`(${column.sql})`)} as "${column.name}"`,
  );
  return `select ${written.join(', ')} from ${kept(name)} r join job_numbers j using (job_no)
    order by ${order.map((column) => `r."${column}"`).join(', ')}`;
}

/**
 * Text that a spreadsheet would take for a formula gets an apostrophe in front; a plain negative number does not. What runs is told as
 * in lib/log/mend.ts, which a property test holds it to.
 */
export const spreadsheetSafe = (text: string): string =>
  `case when (regexp_matches(${text}, '^[\\s\\v\\p{Z}\\x{feff}]*[=+@\\x{ff1d}\\x{ff0b}\\x{ff0d}\\x{ff20}-]|^[\\t\\r\\n]')
        and not regexp_full_match(${text}, '[+-]?([0-9]+\\.?[0-9]*|\\.[0-9]+)([eE][+-]?[0-9]+)?'))
    then '''' || ${text} else ${text} end`;

export const SET_ASIDE_EXPORT = `select ${spreadsheetSafe('file')} as file, log_table, row_no, column_name,
    ${spreadsheetSafe('value')} as value, kind, ${spreadsheetSafe('reason')} as reason
  from set_aside order by file, row_no, kind`;

export const FILES_EXPORT = `select ${spreadsheetSafe('file')} as file, format, log_table, rows_read, rows_accepted, rows_set_aside,
    ${asideNames}, hash, ${spreadsheetSafe('note')} as note, null::varchar as refused from sources
  union all by name select ${spreadsheetSafe('file')} as file, ${spreadsheetSafe('reason')} as refused from refused order by file`;
