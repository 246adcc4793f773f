import { code } from '../calc/layout';
import type { TableName } from '../log/table';
import { held } from './tables';

/** What the engine is handed of the log: the same columns for a batch of jobs and for one job that a page works out again. */

/** How one table of readings is handed to the engine. */
export interface Handed {
  readonly whole: readonly string[];
  readonly real: readonly string[];
  /** Columns that need more than a cast, whole and real ones: their SQL by name. */
  readonly made?: Readonly<Record<string, string>>;
  readonly madeReal?: Readonly<Record<string, string>>;
  /** Joins to the numbers of names; `h` is the held row. */
  readonly join?: string;
  /** Columns of the log that the made ones rest on. */
  readonly rests?: readonly string[];
  readonly order: string;
}

const gaugeNumber = { gauge: 'coalesce(g.gauge, -1)::integer' } as const;
const gaugeJoin = 'left join gauge_numbers g using (instrument_id)';

/** What the engine reads of each table of readings; a change to any other column does not call for a new calculation. */
const readings = {
  closures: {
    whole: ['run', 'element'],
    real: ['cam_deg', 'lift_mm', 'preload_mm'],
    made: gaugeNumber,
    join: gaugeJoin,
    rests: ['instrument_id'],
    order: 'run, element',
  },
  shims: {
    whole: ['run', 'element'],
    real: ['before_mm', 'after_mm', 'before_second_mm', 'after_second_mm', 'stated_change_mm'],
    order: 'run, element',
  },
  draws: {
    whole: ['run', 'repeat', 'element'],
    real: ['volume_cm3', 'strokes', 'speed_rpm', 'rack_mm', 'fluid_c', 'feed_kpa', 'stated_mm3_per_stroke'],
    made: {
      ...gaugeNumber,
      point: 'p.point',
    },
    madeReal: { taken_min: "coalesce(epoch(h.taken_at) / 60, 'nan'::double)" },
    join: `join point_numbers p using (test_point) ${gaugeJoin}`,
    rests: ['test_point', 'instrument_id', 'taken_at'],
    order: 'run, point, element, repeat',
  },
  barrels: { whole: ['run', 'element'], real: ['rotation_deg'], order: 'run, element' },
  governor: {
    whole: ['run'],
    real: ['speed_rpm', 'rack_mm', 'boost_kpa', 'delivery_mm3'],
    made: { check: 'c.check_no', lever: 'coalesce(l.lever_no, -1)::integer' },
    join: 'join check_numbers c using (check_id) left join lever_numbers l using (lever)',
    rests: ['check_id', 'lever'],
    order: 'run, "check", speed_rpm, rack_mm, boost_kpa, lever',
  },
} as const satisfies Partial<Record<TableName, Handed>>;
export type ReadingTable = keyof typeof readings;
export const readingTables = Object.keys(readings) as ReadingTable[];
export const handed = (name: ReadingTable): Handed => readings[name];

/** The columns of one table of readings after its job_no, whole ones first, as the engine's types name them. */
export const wholeColumns = (name: ReadingTable): readonly string[] => [
  ...handed(name).whole,
  ...Object.keys(handed(name).made ?? {}),
];
export const realColumns = (name: ReadingTable): readonly string[] => [
  ...handed(name).real,
  ...Object.keys(handed(name).madeReal ?? {}),
];

/** One table of readings: `h` is the held row, `n` the number of its job. */
export function handedSql(name: ReadingTable): { readonly columns: string; readonly from: string } {
  const { whole, real, made = {}, madeReal = {}, join = '' } = handed(name);
  const columns = [
    ...whole.map((column) => `h."${column}"`),
    ...real.map((column) => `coalesce(h."${column}"::double, 'nan'::double) as "${column}"`),
    ...Object.entries({ ...made, ...madeReal }).map(([column, sql]) => `${sql} as "${column}"`),
  ];
  return { columns: columns.join(', '), from: `${held(name)} h join job_numbers n using (job_id) ${join}` };
}

const statedPass = { pass: 'yes', fail: 'no' } as const;

/** A job as the engine is handed it; `j` is its row of the jobs view. */
export const JOB_COLUMNS = `j.job_no, j.spec_no, (j.received_on - date '1970-01-01')::integer as received_day,
  case j.stated_result ${Object.entries(statedPass)
    .map(([word, answer]) => `when '${word}' then ${code('answer', answer)}`)
    .join(' ')} else ${code('answer', 'not counted')} end::integer as stated_pass`;
