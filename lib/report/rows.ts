import { layout } from '../calc/layout';
import type { TableName } from '../log/table';
import { tables } from '../log/tables';
import {
  figureTables,
  jobAsRead,
  jobResults,
  jobSpecification,
  type PlainCell,
  type PlainCells,
} from '../store/questions/jobAsRead';

/** Which rows of the log and of the results a record holds. Their columns are told where the tables are and not again. */

export { figureTables };
export type Cell = PlainCell;
export type Row = PlainCells;

/** Columns that are no part of a record: who did the work, and what it cost. */
const LEFT_OUT: ReadonlySet<string> = new Set([
  ...['technician', 'bench_hours', 'labour_hours', 'parts_cost', 'currency', 'cost'],
]);
const columnsWithout = (name: TableName, keys: readonly string[]): readonly string[] =>
  tables[name].columns.map((column) => column.name).filter((column) => !LEFT_OUT.has(column) && !keys.includes(column));

const asRead = (name: TableName) => jobAsRead(name, columnsWithout(name, ['job_id']));
const ofSheet = (name: 'test_points' | 'checks' | 'cam_lift') =>
  jobSpecification(name, columnsWithout(name, ['spec_id', 'revision']));

/** One thing for each of some tables, by name. */
export const tablesOf = <K extends string, V>(names: readonly K[], make: (name: K) => V): Record<K, V> =>
  Object.fromEntries(names.map((name) => [name, make(name)])) as Record<K, V>;

export const cardRows = jobAsRead('jobs', columnsWithout('jobs', []));

export const readingRows = {
  closures: asRead('closures'),
  shims: asRead('shims'),
  draws: asRead('draws'),
  barrels: asRead('barrels'),
  governor: asRead('governor'),
  parts: asRead('parts'),
} as const;
export type ReadingName = keyof typeof readingRows;
export const readingNames = Object.keys(readingRows) as ReadingName[];

export const specRows = {
  sheet: jobSpecification('specs', columnsWithout('specs', [])),
  test_points: ofSheet('test_points'),
  checks: ofSheet('checks'),
  cam_lift: ofSheet('cam_lift'),
} as const;
export type SpecName = keyof typeof specRows;
export const specNames = Object.keys(specRows) as SpecName[];

export type FigureTable = (typeof figureTables)[number];
export const figureRows = tablesOf(figureTables, jobResults);

/** A cell that is a number, a text; null otherwise. */
export const num = (row: Row | undefined, column: string): number | null => {
  const cell = row?.[column];
  return typeof cell === 'number' ? cell : null;
};
export const txt = (row: Row | undefined, column: string): string | null => {
  const cell = row?.[column];
  return typeof cell === 'string' ? cell : null;
};

type Key = string | number | null;

/** Orders rows by their keys, empty ones first: numbers by size, text by code units, so that no locale bears on it. */
export function byKeys<T>(keys: (row: T) => readonly Key[]): (a: T, b: T) => number {
  return (a, b) => {
    const [left, right] = [keys(a), keys(b)];
    for (const [i, one] of left.entries()) {
      const step = compareKeys(one, right[i] ?? null);
      if (step !== 0) return step;
    }
    return 0;
  };
}

function compareKeys(one: Key, other: Key): number {
  if (one === other) return 0;
  if (one === null) return -1;
  if (other === null) return 1;
  return one < other ? -1 : 1;
}

/** The columns of a result table that are figures or codes of the engine. */
export const resultColumnNames = (table: FigureTable): readonly string[] => Object.keys(layout[table].columns);
