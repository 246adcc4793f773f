import { z } from 'zod';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { day, int, maybeInt, maybeText, text } from './rows';

/** A gauge that is due within so many days is told beforehand. */
export const SOON_DAYS = 30;

const row = z.object({
  instrument_id: text,
  kind: maybeText,
  bench_id: maybeText,
  /** Its last calibration on or before the log's last day; empty where the log has none. */
  calibrated_on: day.nullable(),
  due_on: day.nullable(),
  /** Days past the date on the log's last day: 0 on the date itself, minus before it. */
  days_over: maybeInt,
  standing: z.enum(['past its date', 'due soon', 'in date', 'no calibration']),
  /** Last day on which a pump came in. */
  last_day: day,
  /** Picked jobs that name it with a reading, and those of them on or past its date. */
  jobs: int,
  past_jobs: int,
  past_first: day.nullable(),
  past_last: day.nullable(),
});
export type GaugeDue = z.infer<typeof row>;

/**
 * Gauges by their date, those past it first. Held against the last day of the log, not against the calendar. A job is measured past the
 * date where it came in on or after the day due of the calibration then in force.
 */
export const gaugesDue = question<Filters, GaugeDue>(
  'gaugesDue',
  row,
  filterValues,
  `with ${PICKED_JOBS}, log_end as (select max(received_on) as last_day from jobs),
  latest as (
    select i.* from instruments i cross join log_end where i.calibrated_on <= last_day
    qualify row_number() over (partition by i.instrument_id order by i.calibrated_on desc) = 1
  ), used as (
    select n.instrument_id, p.received_on, i.due_on
    from (select job_no, instrument_id from gauge_uses join gauge_numbers using (gauge)
      union all select job_no, instrument_id from unlisted_gauges) n
    join picked p using (job_no)
    asof left join instruments i on i.instrument_id = n.instrument_id and i.calibrated_on <= p.received_on
  ), use_of as (
    select instrument_id, count(*)::integer as jobs, (count(*) filter (where received_on >= due_on))::integer as past_jobs,
      min(received_on) filter (where received_on >= due_on) as past_first,
      max(received_on) filter (where received_on >= due_on) as past_last
    from used group by instrument_id
  )
  select instrument_id, l.kind, l.bench_id, l.calibrated_on::varchar as calibrated_on, l.due_on::varchar as due_on,
    (e.last_day - l.due_on)::integer as days_over,
    case when l.due_on is null then 'no calibration' when e.last_day >= l.due_on then 'past its date'
      when e.last_day >= l.due_on - ${SOON_DAYS} then 'due soon' else 'in date' end as standing,
    e.last_day::varchar as last_day, coalesce(u.jobs, 0) as jobs, coalesce(u.past_jobs, 0) as past_jobs,
    u.past_first::varchar as past_first, u.past_last::varchar as past_last
  from latest l full join use_of u using (instrument_id) cross join log_end e
  where e.last_day is not null
  order by days_over desc nulls first, instrument_id`,
);
