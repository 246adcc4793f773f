import { realColumn, wholeColumn, type NumberColumns } from '../stats/numberColumns';
import { quoteNames, type QuoteHistory, type QuoteName } from './types';

/** The shop's past out of the database's columns of numbers. */

/** @throws TypeError where a column is missing */
export function quoteHistoryOf(
  columns: NumberColumns,
  names: Readonly<Record<QuoteName, readonly string[]>>,
): QuoteHistory {
  return {
    names,
    model: wholeColumn(columns, 'model'),
    work: wholeColumn(columns, 'work'),
    complaint: wholeColumn(columns, 'complaint'),
    branch: wholeColumn(columns, 'branch'),
    currency: wholeColumn(columns, 'currency'),
    serial: wholeColumn(columns, 'serial'),
    elements: wholeColumn(columns, 'elements'),
    received: wholeColumn(columns, 'received'),
    finished: realColumn(columns, 'finished'),
    engineHours: realColumn(columns, 'engine_hours'),
    labourHours: realColumn(columns, 'labour_hours'),
    partsCost: realColumn(columns, 'parts_cost'),
    phasingDeg: realColumn(columns, 'phasing_deg'),
    scatterPercent: realColumn(columns, 'scatter_percent'),
    retentionDeficit: realColumn(columns, 'retention_deficit'),
    leakSlope: realColumn(columns, 'leak_slope'),
    newBarrels: wholeColumn(columns, 'new_barrels'),
    camshaft: wholeColumn(columns, 'camshaft'),
    rerun: wholeColumn(columns, 'rerun'),
  };
}

/** A history of no jobs, with its names. */
export const emptyNames = (): Record<QuoteName, string[]> =>
  Object.fromEntries(quoteNames.map((name): [QuoteName, string[]] => [name, []])) as Record<QuoteName, string[]>;
