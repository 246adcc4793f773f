import type { TableName } from '../log/table';
import { benchRounds } from './benchRounds';
import type { Database } from './database';

/**
 * The job cards and what is read off all of them together, written anew with every load and undoing: pages ask them at every change of
 * a filter, and to put them together out of the files' rows each time takes too long.
 */

export const PAIR = String.raw`'^\s*(new\s+)?(plungers?\s*(and|&|\+|/)\s*barrels?|barrels?\s*(and|&|\+|/)\s*plungers?)(\s+(set|assembly|assemblies))?s?\s*$'`;

/**
 * Each card with the first day of the quarter it came in, the day it left, the jobs of the same serial number before and after it,
 * and whether a line of parts names it. A job leaves on the day it was finished, or came in where no such day is written. A job that
 * is part of a round of the benches, without a complaint, is no return: none that is not of a round has it for its next.
 */
const CARDS = `select r.*, cast(date_trunc('quarter', received_on) as date) as quarter,
    greatest(received_on, coalesce(finished_on, received_on)) as out_on,
    lag(job_no) over any_job as before_no, lead(job_no) over w as next_no, lead(received_on) over w as next_on
  from (
    select c.*, f.job_no is not null as with_parts, b.job_no is not null and c.complaint is null as in_round
    from ${readView('jobs')} c left join (select distinct job_no from parts) f using (job_no) left join bench_rounds b using (job_no)
  ) r window w as (partition by pump_serial, in_round order by received_on, job_no),
    any_job as (partition by pump_serial order by received_on, job_no)`;

/**
 * The elements that got a new plunger and barrel in a job. A line of parts without an element stands for all of them where its
 * quantity reaches their number; with fewer it does not say which, and none is taken.
 */
const FITTED = `select distinct j.job_no, e.element::integer as element
  from parts p join job_cards j on j.job_no = p.job_no join specs s on s.spec_no = j.spec_no
  cross join unnest(range(1, s.elements + 1)) as e(element)
  where regexp_matches(p.part, ${PAIR}, 'i') and p.quantity > 0
    and (p.element = e.element or (p.element is null and p.quantity >= s.elements))`;

/** Gauges that readings name and that no file of instruments lists, the engine not knowing them apart, with so many readings. */
const UNLISTED_GAUGES = `select n.job_no, u.instrument_id, count(*)::integer as readings
  from (select job_id, instrument_id from closures union all select job_id, instrument_id from draws) u
  join job_numbers n using (job_id)
  where u.instrument_id is not null and u.instrument_id not in (select instrument_id from gauge_numbers)
  group by n.job_no, u.instrument_id`;

/** The test point that stands for a specification's delivery: its base point, else its first one at full rack. */
const BASE_POINTS = `select spec_no, arg_min(point, case purpose when 'base' then 0 else 1 end * 1000 + "order") as point
  from test_points where purpose in ('base', 'full') group by spec_no`;

/** The light draw of each specification: the test point for it, else the one with the smallest rack. */
const LIGHT_POINTS = `select spec_no, point from test_points
  where purpose = 'light' or rack_mm is not null
  qualify row_number() over (
    partition by spec_no order by coalesce(purpose = 'light', false) desc, rack_mm nulls last, "order", point) = 1`;

/** What is laid out, in order: each may rest on those before it. Tables of the log that stand here are read through them. */
const cardTables = {
  specs: `select * from ${readView('specs')}`,
  test_points: `select * from ${readView('test_points')}`,
  base_points: BASE_POINTS,
  light_points: LIGHT_POINTS,
  bench_rounds: benchRounds((name) => (name === 'jobs' ? readView(name) : name)),
  job_cards: CARDS,
  fitted: FITTED,
  unlisted_gauges: UNLISTED_GAUGES,
} as const;

/** The name of the view of a log's table as its files' rows give it, where pages read what is laid out. */
export function readView(name: TableName): string {
  return `read_${name}`;
}
export const isCarded = (name: TableName): boolean => name === 'jobs' || name in cardTables;

/** The cards' tables, empty, and the view of the jobs over them. `columns` are those of the log's table of jobs. */
export const cardTablesSql = (columns: readonly string[]): readonly string[] => [
  ...Object.entries(cardTables).map(([name, sql]) => `create table ${name} as ${sql} limit 0;`),
  `create view jobs as select ${columns.join(', ')} from job_cards;`,
];

/** Writes the cards anew, when every accepted row has its numbers. */
export async function writeCards(db: Database<unknown>): Promise<void> {
  for (const [name, sql] of Object.entries(cardTables)) {
    await db.run(`delete from ${name}`);
    await db.run(`insert into ${name} ${sql}`);
  }
}
