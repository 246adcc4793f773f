import { z } from 'zod';
import { codes, layout, type ResultColumn, type ResultTable } from '../../calc/layout';
import type { Column, TableName } from '../../log/table';
import { tables } from '../../log/tables';
import { question, type Question } from '../question';
import { viewColumns } from '../tables';
import { int, ROWS_OF_THIS_JOB, text, THIS_JOB } from './rows';

/** Rows of one job as they stand: what was read, what it is judged by, and what was worked out; column by column, nothing left out. */

export type PlainCell = string | number | boolean | null;
export type PlainCells = Readonly<Record<string, PlainCell>>;

const cellOf = (column: Column): z.ZodType<PlainCell> => {
  switch (column.kind) {
    case 'number':
      return z.number().nullable();
    case 'integer':
      return z.int().nullable();
    case 'yes_no':
      return z.boolean().nullable();
    default:
      return z.string().nullable();
  }
};

/** As it was written, in types that cross to a page whole. */
const cellSql = ({ kind, name }: Column): string => {
  const cell = `r."${name}"`;
  if (kind === 'number') return `${cell}::double as "${name}"`;
  return kind === 'date' || kind === 'moment' ? `${cell}::varchar as "${name}"` : `${cell} as "${name}"`;
};

const rowsOf = (
  name: TableName,
  columns: readonly string[],
  where: string,
): Question<{ readonly id: string }, PlainCells> => {
  const picked = tables[name].columns.filter((column) => columns.includes(column.name));
  return question<{ readonly id: string }, PlainCells>(
    `jobAsRead ${name}`,
    z.strictObject({
      ...Object.fromEntries(picked.map((column) => [column.name, cellOf(column)])),
      file: text,
      row_no: int,
    }),
    (args) => [args.id],
    `select ${picked.map(cellSql).join(', ')}, src.file, r.row_no
    from ${name} r join sources src on src.source_no = r.source_no
    where ${where}`,
  );
};

/** The rows of one job in a table of readings, or its job card. */
export const jobAsRead = (name: TableName, columns: readonly string[]): Question<{ readonly id: string }, PlainCells> =>
  rowsOf(name, columns, `r.${ROWS_OF_THIS_JOB}`);

/** The rows of the specification revision that one job was worked to. */
export const jobSpecification = (
  name: 'specs' | 'test_points' | 'checks' | 'cam_lift',
  columns: readonly string[],
): Question<{ readonly id: string }, PlainCells> =>
  rowsOf(name, columns, 'r.spec_no = (select spec_no from jobs where job_id = $1::varchar)');

const NUMBERED: ReadonlySet<string> = new Set(['job_no', 'point', 'low_point', 'rated_point', 'check']);

const resultCell = (facts: ResultColumn | null): z.ZodType<PlainCell> => {
  if (facts === null) return z.string().nullable();
  if (facts.type === 'code') return z.enum(codes[facts.list]);
  return facts.type === 'int' ? z.int() : z.number().nullable();
};

/** The rows of one job in a result table: codes as words, names where the table has this log's own numbers. */
export function jobResults(table: ResultTable): Question<{ readonly id: string }, PlainCells> {
  const columns = viewColumns(table).filter(({ name }) => name !== 'job_id' && !NUMBERED.has(name));
  return question<{ readonly id: string }, PlainCells>(
    `jobResults ${table}`,
    z.strictObject(Object.fromEntries(columns.map(({ name, facts }) => [name, resultCell(facts)]))),
    (args) => [args.id],
    `select ${columns.map(({ name }) => `"${name}"`).join(', ')} from ${table} where ${THIS_JOB}`,
  );
}

/** Result tables that hold rows of one job beside its findings and exclusions, which have questions of their own. */
export const figureTables = (Object.keys(layout) as ResultTable[]).filter(
  (table) => table !== 'findings' && table !== 'excluded',
);
