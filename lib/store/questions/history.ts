import { z } from 'zod';
import { namedColumns, type HistoryPart } from '../../find/history';
import { held, SHOWN, standing } from '../tables';
import { int, text } from './rows';

/** What the search for recurring faults is given: numbers alone, the names behind them asked for once. */

/** A pump that is back within so many days of leaving came back early (ours; common terms of warranty are of that order). */
export const EARLY_DAYS = 180;

const NO_READING = `'nan'::double`;

/** Written with other capitals or blanks a complaint is the same complaint. */
const COMPLAINT = `nullif(lower(trim(complaint)), '')`;

/**
 * The accepted rows of a table with a row a reading, without the numbers of its job and point: to join those to a million draws takes
 * longer than all else here.
 */
export const readings = (table: 'draws' | 'closures'): string =>
  `${held(table)} h where h.standing = ${standing.accepted} and ${SHOWN} and h.instrument_id is not null`;

const sources = {
  model: 'select pump_model as name from jobs',
  work: 'select work_type as name from jobs',
  complaint: `select ${COMPLAINT} as name from jobs`,
  bench: 'select bench_id as name from jobs',
  branch: 'select branch as name from jobs',
  technician: 'select technician as name from jobs',
  batch: 'select batch as name from shims',
  gauge: `select h.instrument_id as name from ${readings('closures')} union all select h.instrument_id from ${readings('draws')}`,
  currency: 'select currency as name from jobs',
} as const satisfies Record<(typeof namedColumns)[number], string>;

/** The names of a column, numbered from 0 in the order of their text. */
const numberOf = (kind: (typeof namedColumns)[number]): string =>
  `select name, (row_number() over (order by name) - 1)::integer as no
    from (select distinct name from (${sources[kind]}) where name is not null)`;

/** The names by kind, in the order of their numbers. */
export const HISTORY_NAMES = `select kind, name, no from (${namedColumns
  .map((kind) => `select '${kind}' as kind, name, no from (${numberOf(kind)})`)
  .join(' union all ')}) order by kind, no`;
export const historyName = z.object({ kind: z.enum(namedColumns), name: text, no: int });

const yesNo = (yes: string, told: string): string =>
  `(case when ${yes} then 1 when ${told} then 0 else -1 end)::integer`;

const STAGE_FAILS = `failing as (
    select job_no,
      ${['timing and phasing', 'test point', 'governor']
        .map((stage, i) => {
          const picked = (answer: string) => `bool_or(stage = '${stage}' and first_pass = '${answer}')`;
          return `${yesNo(picked('no'), picked('yes'))} as fails_${i}`;
        })
        .join(', ')}
    from stages group by job_no
  )`;

const JOBS = `with ${STAGE_FAILS},
  found as (
    select job_no, bool_or(finding = 'superseded revision') as superseded,
      bool_or(finding = 'shim changed the wrong way') as wrong_way
    from findings group by job_no
  ),
  shimmed as (select distinct job_no from phasing where made_mm is not null and run >= 1 and verdict = 'out'),
  shims_in as (select job_no, batch, count(*) as n from shims where batch is not null group by job_no, batch),
  most_shims as (select job_no, max(n) as n from shims_in group by job_no),
  shims_of as (select job_no, min(batch) as batch from shims_in join most_shims using (job_no, n) group by job_no),
  visits as (
    select job_no, coalesce(finished_on, received_on) as left_on,
      lead(received_on) over (partition by pump_serial order by received_on, job_no) as next_on
    from job_cards where not in_round
  ),
  last as (select max(received_on) as day from jobs),
  based as (
    select p.job_no, p.point, 100 * (2 * p.mean_mm3 / (p.low_mm3 + p.high_mm3) - 1) as percent
    from points p join jobs j using (job_no) join test_points t on t.spec_no = j.spec_no and t.point = p.point
    where p.run = 0 and t.purpose = 'base'
  ),
  base as (select job_no, min(point) as point, avg(percent) as percent from based group by job_no),
  drawn as (
    select d.job_no, min(d.instrument_id) as instrument_id from draws d join base b using (job_no, point)
    where d.run = 0 group by d.job_no
  )
  select j.job_no, (j.received_on - date '1970-01-01')::integer as day,
    dense_rank() over (order by j.pump_serial)::integer as serial,
    m.no as model, w.no as work, coalesce(c.no, -1)::integer as complaint, coalesce(b.no, -1)::integer as bench,
    coalesce(r.no, -1)::integer as branch, coalesce(t.no, -1)::integer as technician, coalesce(g.no, -1)::integer as gauge,
    coalesce(k.no, -1)::integer as batch, coalesce(f.fails_0, -1)::integer as timing_fails, coalesce(f.fails_1, -1)::integer as point_fails,
    coalesce(f.fails_2, -1)::integer as governor_fails,
    (case when v.job_no is null or l.day <= v.left_on + ${EARLY_DAYS} then -1
      when v.next_on <= v.left_on + ${EARLY_DAYS} then 1 else 0 end)::integer as returns,
    ${yesNo('coalesce(x.wrong_way, false)', 's.job_no is not null')} as wrong_way,
    ${yesNo('coalesce(x.superseded, false)', 'true')} as superseded,
    coalesce(a.percent, ${NO_READING}) as delivery_percent,
    coalesce(j.bench_hours::double, ${NO_READING}) as bench_hours,
    coalesce(j.labour_hours::double, ${NO_READING}) as labour_hours,
    coalesce(j.parts_cost::double, ${NO_READING}) as parts_cost, coalesce(y.no, -1)::integer as currency
  from jobs j
  join (${numberOf('model')}) m on m.name = j.pump_model
  join (${numberOf('work')}) w on w.name = j.work_type
  left join (${numberOf('complaint')}) c on c.name = nullif(lower(trim(j.complaint)), '')
  left join (${numberOf('bench')}) b on b.name = j.bench_id
  left join (${numberOf('branch')}) r on r.name = j.branch
  left join (${numberOf('technician')}) t on t.name = j.technician
  left join (${numberOf('currency')}) y on y.name = j.currency
  left join drawn on drawn.job_no = j.job_no
  left join (${numberOf('gauge')}) g on g.name = drawn.instrument_id
  left join shims_of on shims_of.job_no = j.job_no
  left join (${numberOf('batch')}) k on k.name = shims_of.batch
  left join failing f on f.job_no = j.job_no
  left join found x on x.job_no = j.job_no
  left join shimmed s on s.job_no = j.job_no
  left join visits v on v.job_no = j.job_no
  left join base a on a.job_no = j.job_no
  cross join last l
  order by j.received_on, j.job_no`;

const ELEMENTS = `with first as (select job_no, min(run) as run from phasing where error_deg is not null group by job_no)
  select p.job_no, p.element, p.error_deg::double as error_deg from phasing p join first using (job_no, run)
  where p.error_deg is not null order by p.job_no, p.element`;

const RETENTIONS = `select job_no, element, avg(deficit)::double as deficit from received_wear
  where deficit is not null group by job_no, element order by job_no, element`;

/**
 * What closure moved by, in lift, less what was changed. The reference is left out, and so are runs after which its own stack was
 * changed, since all errors are told against it; and assemblies, where the pump was apart in between. An element's first change in its
 * job only: with the second a stack of the same batch is taken out again, and what is wrong with it no longer shows.
 */
const CHANGES = `with sheet as (
    select j.job_no, j.work_type, split_part(s.firing_order, '-', 1)::integer as reference,
      case coalesce(s.adjuster, 'barrel_shim') when 'barrel_shim' then 1 else -1 end as sign
    from jobs j join specs s using (spec_no)
  ),
  moved as (select job_no, run, element from phasing where made_mm is not null)
  select p.job_no, p.element, coalesce(b.no, -1)::integer as batch,
    (h.sign * (n.error_deg - p.error_deg) * t.lift_rate_mm_per_deg - p.made_mm)::double as excess_mm
  from phasing p
  join phasing n on n.job_no = p.job_no and n.run = p.run + 1 and n.element = p.element
  join timing t on t.job_no = p.job_no and t.run = p.run
  join sheet h on h.job_no = p.job_no
  join shims s on s.job_no = p.job_no and s.run = p.run and s.element = p.element
  left join (${numberOf('batch')}) b on b.name = s.batch
  where p.made_mm is not null and p.error_deg is not null and n.error_deg is not null
    and t.lift_rate_mm_per_deg is not null and p.element <> h.reference and (p.run > 0 or h.work_type <> 'rebuild')
    and not exists (select 1 from moved m where m.job_no = p.job_no and m.run = p.run and m.element = h.reference)
    and not exists (select 1 from moved m where m.job_no = p.job_no and m.run < p.run and m.element = p.element)
  order by p.job_no, p.run, p.element`;

const USES = `with used as (
    select distinct h.job_id, h.instrument_id, 'closures' as reading from ${readings('closures')}
    union all select distinct h.job_id, h.instrument_id, 'draws' from ${readings('draws')}
  ),
  past as (
    select distinct job_no, case when point < 0 then 'closures' else 'draws' end as reading
    from findings where finding = 'gauge past its date'
  )
  select j.job_no, g.no as gauge, max((p.job_no is not null)::integer)::integer as past
  from used u join job_numbers j using (job_id) join (${numberOf('gauge')}) g on g.name = u.instrument_id
  left join past p on p.job_no = j.job_no and p.reading = u.reading
  group by j.job_no, g.no order by j.job_no, g.no`;

/** The statements by part; none has an empty cell in its answer. */
export const HISTORY_SQL: Readonly<Record<HistoryPart, string>> = {
  jobs: JOBS,
  elements: ELEMENTS,
  retentions: RETENTIONS,
  changes: CHANGES,
  uses: USES,
};
