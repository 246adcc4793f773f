import { z } from 'zod';
import { question } from '../question';
import { day, int, maybeReal, text } from './rows';

const row = z.object({
  job_id: text,
  received_on: day,
  element: int,
  /** Low-speed retention, 0 to 1. */
  retention_received: maybeReal,
  retention_left: maybeReal,
  /** Phase error as received and what is allowed either way [degrees of camshaft]. */
  error_received_deg: maybeReal,
  tolerance_deg: maybeReal,
  /** Stack before the job's first change and after its last, of a split pair the first half [mm]. */
  stack_before_mm: maybeReal,
  stack_after_mm: maybeReal,
});
export type VisitReading = z.infer<typeof row>;

/** Of one serial number: each element at each visit, with what shows its wear. */
export const visitReadings = question<{ readonly serial: string }, VisitReading>(
  'visitReadings',
  row,
  (args) => [args.serial],
  `with visit as (select job_no, job_id, received_on from jobs where pump_serial = $1::varchar),
  element_seen as (
    select job_no, element from phasing where job_no in (select job_no from visit)
    union
    select job_no, element from retention where job_no in (select job_no from visit)
    union
    select job_no, element from shims where job_no in (select job_no from visit)
  ),
  kept as (
    select job_no, element,
      avg(retention) filter (where run = 0) as received,
      max_by(retention, run) filter (where run > 0 and retention is not null) as left_at
    from retention where job_no in (select job_no from visit) group by job_no, element
  ),
  stack as (
    select job_no, element,
      min_by(before_mm, run) as before_mm,
      max_by(after_mm, run) filter (where after_mm is not null) as after_mm
    from shims where job_no in (select job_no from visit) group by job_no, element
  )
  select v.job_id, v.received_on::varchar as received_on, e.element,
    k.received::double as retention_received, k.left_at::double as retention_left,
    f.error_deg as error_received_deg, t.tolerance_deg,
    s.before_mm::double as stack_before_mm, s.after_mm::double as stack_after_mm
  from element_seen e
  join visit v on v.job_no = e.job_no
  left join kept k on k.job_no = e.job_no and k.element = e.element
  left join phasing f on f.job_no = e.job_no and f.element = e.element and f.run = 0
  left join timing t on t.job_no = e.job_no and t.run = 0
  left join stack s on s.job_no = e.job_no and s.element = e.element
  order by e.element, v.received_on, v.job_no`,
);
