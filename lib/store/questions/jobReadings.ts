import { z } from 'zod';
import { code, codes, layout, type ResultColumn, type Results, type ResultTable } from '../../calc/layout';
import type { Gauge, Readings, Spec } from '../../calc/types';
import type { Database } from '../database';
import { readingsOf, type Batch, type BatchPart, type NumberTable } from '../numbers';
import type { SqlValue } from '../question';
import { readGauges, readSpecs } from '../specs';

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

interface Part {
  readonly whole: readonly string[];
  readonly real: readonly string[];
  /** Everything after `select job_no, <columns>`, each column named by the views over the log. */
  readonly from: string;
}

const GAUGE = 'coalesce(g.gauge, -1)::integer as gauge';
const gauged = (table: string): string =>
  `(select r.*, ${GAUGE} from ${table} r left join gauge_numbers g using (instrument_id))`;
const parts: Readonly<Record<BatchPart, Part>> = {
  jobs: {
    whole: ['spec_no', 'received_day', 'stated_pass'],
    real: [],
    from: `(select job_no, spec_no, (received_on - date '1970-01-01')::integer as received_day,
      case stated_result when 'pass' then ${code('answer', 'yes')} when 'fail' then ${code('answer', 'no')}
        else ${code('answer', 'not counted')} end::integer as stated_pass from jobs)`,
  },
  closures: {
    whole: ['run', 'element', 'gauge'],
    real: ['cam_deg', 'lift_mm', 'preload_mm'],
    from: gauged('closures'),
  },
  shims: {
    whole: ['run', 'element'],
    real: ['before_mm', 'after_mm', 'before_second_mm', 'after_second_mm', 'stated_change_mm'],
    from: 'shims',
  },
  draws: {
    whole: ['run', 'point', 'element', 'repeat', 'gauge'],
    real: [
      'volume_cm3',
      'strokes',
      'speed_rpm',
      'rack_mm',
      'fluid_c',
      'feed_kpa',
      'stated_mm3_per_stroke',
      'taken_min',
    ],
    from: `(select *, epoch(taken_at) / 60 as taken_min from ${gauged('draws')})`,
  },
  barrels: { whole: ['run', 'element'], real: ['rotation_deg'], from: 'barrels' },
  governor: {
    whole: ['run', 'check', 'lever'],
    real: ['speed_rpm', 'rack_mm', 'boost_kpa', 'delivery_mm3'],
    from: `(select r.* exclude (lever), c.check_no as "check", coalesce(l.lever_no, -1)::integer as lever from governor r
      join check_numbers c using (check_id) left join lever_numbers l on l.lever = r.lever)`,
  },
};
/** The engine wants its rows in the order of these columns. */
const ORDER = ['run', 'point', 'element', 'repeat', 'check', 'speed_rpm', 'rack_mm', 'boost_kpa', 'lever'] as const;
const orderOf = ({ whole, real }: Part, part: BatchPart): string =>
  ['job_no', ...ORDER.filter((name) => whole.includes(name) || (part === 'governor' && real.includes(name)))]
    .map((name) => `"${name}"`)
    .join(', ');

const cells = z.array(z.record(z.string(), z.number().nullable()));

async function partOf(ask: Ask, name: BatchPart, id: string): Promise<NumberTable> {
  const part = parts[name];
  const whole = ['job_no', ...part.whole];
  const columns = [
    ...whole.map((column) => `"${column}"::integer as "${column}"`),
    ...part.real.map((column) => `"${column}"::double as "${column}"`),
  ];
  const rows = cells.parse(
    await ask(
      `select ${columns.join(', ')} from ${part.from}
      where job_no = (select job_no from jobs where job_id = $1::varchar) order by ${orderOf(part, name)}`,
      [id],
    ),
  );
  return Object.fromEntries<Int32Array | Float64Array>([
    ...whole.map((column) => [column, Int32Array.from(rows, (row) => row[column] ?? 0)] as const),
    ...part.real.map((column) => [column, Float64Array.from(rows, (row) => row[column] ?? Number.NaN)] as const),
  ]);
}

const refuse = (): Promise<never> => Promise.reject(new Error('A page only asks'));
/** The way to the database that reading specifications needs: it asks and nothing else. */
const asking = (ask: Ask): Database<unknown> => ({
  rows: async (sql, params = []) => z.array(z.record(z.string(), z.unknown())).parse(await ask(sql, params)),
  run: refuse,
  pack: refuse,
  append: refuse,
  openCsv: refuse,
  openParquet: refuse,
  readAhead: () => undefined,
  close: refuse,
});

const names = z.array(z.object({ name: z.string() }));

/** Reads one job out of the log for the engine; empty where the log has no such job. */
export async function readJob(ask: Ask, id: string): Promise<JobReadings | null> {
  const db = asking(ask);
  const batch: Batch<NumberTable> = {
    jobs: await partOf(ask, 'jobs', id),
    closures: await partOf(ask, 'closures', id),
    shims: await partOf(ask, 'shims', id),
    draws: await partOf(ask, 'draws', id),
    barrels: await partOf(ask, 'barrels', id),
    governor: await partOf(ask, 'governor', id),
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
