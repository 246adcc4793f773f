import { quoteNames, type QuoteHistory, type QuoteName } from './types';

/** The shop's past out of the database's columns of numbers. */

/** Whole numbers as Int32Array, readings as Float64Array. */
export type NumberColumns = Readonly<Record<string, Int32Array | Float64Array>>;

/** What is wrong with columns that come from the database is a slip in this program, not in a log. */
function whole(columns: NumberColumns, name: string): Int32Array {
  const column = columns[name];
  if (!(column instanceof Int32Array)) throw new TypeError(`Column ${name} is not a column of whole numbers`);
  return column;
}

function real(columns: NumberColumns, name: string): Float64Array {
  const column = columns[name];
  if (!(column instanceof Float64Array)) throw new TypeError(`Column ${name} is not a column of real numbers`);
  return column;
}

/** @throws TypeError where a column is missing */
export function quoteHistoryOf(
  columns: NumberColumns,
  names: Readonly<Record<QuoteName, readonly string[]>>,
): QuoteHistory {
  return {
    names,
    model: whole(columns, 'model'),
    work: whole(columns, 'work'),
    complaint: whole(columns, 'complaint'),
    branch: whole(columns, 'branch'),
    currency: whole(columns, 'currency'),
    serial: whole(columns, 'serial'),
    elements: whole(columns, 'elements'),
    received: whole(columns, 'received'),
    finished: real(columns, 'finished'),
    engineHours: real(columns, 'engine_hours'),
    labourHours: real(columns, 'labour_hours'),
    partsCost: real(columns, 'parts_cost'),
    phasingDeg: real(columns, 'phasing_deg'),
    scatterPercent: real(columns, 'scatter_percent'),
    retentionDeficit: real(columns, 'retention_deficit'),
    leakSlope: real(columns, 'leak_slope'),
    newBarrels: whole(columns, 'new_barrels'),
    camshaft: whole(columns, 'camshaft'),
    rerun: whole(columns, 'rerun'),
  };
}

/** A history of the rows told, in that order. */
export function rowsOf(history: QuoteHistory, rows: readonly number[]): QuoteHistory {
  const ints = (column: Int32Array) => Int32Array.from(rows, (row) => column[row] ?? -1);
  const reals = (column: Float64Array) => Float64Array.from(rows, (row) => column[row] ?? NaN);
  return {
    names: { ...history.names, job: rows.map((row) => history.names.job[row] ?? '') },
    model: ints(history.model),
    work: ints(history.work),
    complaint: ints(history.complaint),
    branch: ints(history.branch),
    currency: ints(history.currency),
    serial: ints(history.serial),
    elements: ints(history.elements),
    received: ints(history.received),
    finished: reals(history.finished),
    engineHours: reals(history.engineHours),
    labourHours: reals(history.labourHours),
    partsCost: reals(history.partsCost),
    phasingDeg: reals(history.phasingDeg),
    scatterPercent: reals(history.scatterPercent),
    retentionDeficit: reals(history.retentionDeficit),
    leakSlope: reals(history.leakSlope),
    newBarrels: ints(history.newBarrels),
    camshaft: ints(history.camshaft),
    rerun: ints(history.rerun),
  };
}

/** A history of no jobs, with its names. */
export const emptyNames = (): Record<QuoteName, string[]> =>
  Object.fromEntries(quoteNames.map((name): [QuoteName, string[]] => [name, []])) as Record<QuoteName, string[]>;
