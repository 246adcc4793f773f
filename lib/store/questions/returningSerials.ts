import { z } from 'zod';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { day, int, maybeReal, text } from './rows';

const row = z.object({
  pump_serial: text,
  pump_model: text,
  jobs: int,
  first_day: day,
  last_day: day,
  retention: maybeReal,
});
export type ReturningSerial = z.infer<typeof row>;

/** Serial numbers with two picked jobs or more: the lowest retention of any element as received last time comes first. */
export const returningSerials = question<Filters, ReturningSerial>(
  'returningSerials',
  row,
  filterValues,
  `with ${PICKED_JOBS},
  lowest as (select job_no, min(retention) as retention from received_wear group by job_no)
  select p.pump_serial, max_by(p.pump_model, p.job_no) as pump_model, count(*)::integer as jobs,
    min(p.received_on)::varchar as first_day, max(p.received_on)::varchar as last_day,
    (max_by(l.retention, p.received_on) filter (where l.retention is not null))::double as retention
  from picked p left join lowest l on l.job_no = p.job_no
  group by p.pump_serial having count(*) >= 2
  order by retention asc nulls last, jobs desc, p.pump_serial`,
);
