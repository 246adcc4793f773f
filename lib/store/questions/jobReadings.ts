import { z } from 'zod';
import { codes, layout, type ResultColumn, type Results, type ResultTable } from '../../calc/layout';
import type { Gauge, Readings, Spec } from '../../calc/types';
import { handed, handedSql, JOB_COLUMNS, realColumns, wholeColumns, type ReadingTable } from '../handed';
import { readingsOf, type Batch, type NumberTable } from '../numbers';
import type { SqlValue } from '../question';
import { readGauges, readSpecs } from '../specs';
import { SHOWN, standing } from '../tables';

/** The readings of one job as the engine takes them in, with what it is judged by. */
export interface JobReadings {
  readonly readings: Readings;
  readonly specs: ReadonlyMap<number, Spec>;
  readonly gauges: ReadonlyMap<number, Gauge>;
  /** Names by number. */
  readonly points: readonly string[];
  readonly checks: readonly string[];
}

export type Ask = (sql: string, params: readonly SqlValue[]) => Promise<readonly unknown[]>;

// A reading that was not made is NaN already; an empty cell of a whole number does not occur.
const cells = z.array(z.record(z.string(), z.union([z.number(), z.nan()])));

function table(rows: z.infer<typeof cells>, whole: readonly string[], real: readonly string[]): NumberTable {
  return Object.fromEntries<Int32Array | Float64Array>([
    ...whole.map((column) => [column, Int32Array.from(rows, (row) => row[column] ?? 0)] as const),
    ...real.map((column) => [column, Float64Array.from(rows, (row) => row[column] ?? Number.NaN)] as const),
  ]);
}

async function readingsPart(ask: Ask, name: ReadingTable, id: string): Promise<NumberTable> {
  const { columns, from } = handedSql(name);
  const rows = cells.parse(
    await ask(
      `select n.job_no, ${columns} from ${from} where h.standing = ${standing.accepted} and ${SHOWN} and h.job_id = $1::varchar
      order by ${handed(name).order}`,
      [id],
    ),
  );
  return table(rows, ['job_no', ...wholeColumns(name)], realColumns(name));
}

async function jobPart(ask: Ask, id: string): Promise<NumberTable> {
  const rows = cells.parse(await ask(`select ${JOB_COLUMNS} from jobs j where j.job_id = $1::varchar`, [id]));
  return table(rows, ['job_no', 'spec_no', 'received_day', 'stated_pass'], []);
}

const records = z.array(z.record(z.string(), z.unknown()));
const names = z.array(z.object({ name: z.string() }));

/** Reads one job out of the log for the engine; empty where the log has no such job. */
export async function readJob(ask: Ask, id: string): Promise<JobReadings | null> {
  const db = { rows: async (sql: string, params: readonly SqlValue[] = []) => records.parse(await ask(sql, params)) };
  const batch: Batch<NumberTable> = {
    jobs: await jobPart(ask, id),
    closures: await readingsPart(ask, 'closures', id),
    shims: await readingsPart(ask, 'shims', id),
    draws: await readingsPart(ask, 'draws', id),
    barrels: await readingsPart(ask, 'barrels', id),
    governor: await readingsPart(ask, 'governor', id),
  };
  const readings = readingsOf(batch);
  const spec = (await readSpecs(db)).find(({ spec_no }) => spec_no === readings.jobs.spec_no[0]);
  if (spec === undefined) return null;
  const nameList = async (sql: string): Promise<string[]> => names.parse(await ask(sql, [])).map(({ name }) => name);
  return {
    readings,
    specs: new Map([[spec.spec_no, spec]]),
    gauges: new Map((await readGauges(db)).map((gauge) => [gauge.gauge, gauge])),
    points: await nameList('select test_point as name from point_numbers order by point'),
    checks: await nameList('select check_id as name from check_numbers order by check_no'),
  };
}

export type PlainRow = Readonly<Record<string, string | number | null>>;

/** A result table of the engine as rows in the words of its view: codes as words, names beside numbers, NaN as null. */
export function wordRows(results: Results, table: ResultTable, { points, checks }: JobReadings): readonly PlainRow[] {
  const columns: Readonly<Record<string, Int32Array | Float64Array>> = results[table];
  const facts = Object.entries<ResultColumn>(layout[table].columns);
  const cell = (name: string, column: ResultColumn, row: number): string | number | null => {
    const value = columns[name]?.[row] ?? Number.NaN;
    if (column.type === 'code') return codes[column.list][value] ?? null;
    return Number.isNaN(value) ? null : value;
  };
  return Array.from({ length: results[table].job_no.length }, (_, row) => {
    const plain = Object.fromEntries(facts.map(([name, column]) => [name, cell(name, column, row)]));
    return {
      ...plain,
      ...('point' in plain ? { test_point: points[Number(plain.point)] ?? null } : {}),
      ...('check' in plain ? { check_id: checks[Number(plain.check)] ?? null } : {}),
    };
  });
}
