import { z } from 'zod';
import { question } from '../question';
import { day, int, real, stackHeight } from './rows';

/** With fewer visits in a row a stack is not said to keep shrinking. */
export const FEWEST_VISITS = 3;

const row = z.object({
  element: int,
  /** Visits in a row, up to the newest at which the stack was written down. */
  visits: int,
  first_day: day,
  last_day: day,
  /** Stack left at the first and at the last of them, of a split pair the mean of its halves [mm]. */
  first_mm: real,
  last_mm: real,
});
export type SerialDrift = z.infer<typeof row>;

/**
 * Of one serial number: the elements whose stack under the barrel was left lower at each of the newest visits than at the one
 * before. Visits without a stack are passed over. A new plunger and barrel begins anew, as it may ask for another stack. Only
 * where closure is set by shims under the barrel: elsewhere a worn drive does not make a stack shrink.
 */
export const serialDrift = question<{ readonly serial: string }, SerialDrift>(
  'serialDrift',
  row,
  (args) => [args.serial],
  `with stack as (
    select j.job_no, j.received_on, h.element,
      (max_by(${stackHeight('after', 'h.')}, h.run) filter (where ${stackHeight('after', 'h.')} is not null))::double as after_mm
    from jobs j join shims h on h.job_no = j.job_no join specs s on s.spec_no = j.spec_no
    where j.pump_serial = $1::varchar and coalesce(s.adjuster, 'barrel_shim') = 'barrel_shim'
    group by j.job_no, j.received_on, h.element
  ),
  -- A new plunger and barrel counts from its own visit on, also where no stack was written then.
  spells as (
    select s.job_no, s.received_on, s.element, s.after_mm,
      (select count(*) from fitted f join jobs j on j.job_no = f.job_no
        where j.pump_serial = $1::varchar and f.element = s.element
          and (j.received_on, j.job_no) <= (s.received_on, s.job_no)) as spell
    from stack s where s.after_mm is not null
  ),
  steps as (
    select *, row_number() over visit as place,
      after_mm - lag(after_mm) over (partition by element, spell order by received_on, job_no) as step
    from spells window visit as (partition by element order by received_on, job_no)
  ),
  -- Less than half a hundredth is rounding, no change.
  trail as (
    select *, max(case when step is null or step > -0.005 then place end) over (partition by element) as begun from steps
  )
  select element, count(*)::integer as visits, min(received_on)::varchar as first_day, max(received_on)::varchar as last_day,
    arg_min(after_mm, place) as first_mm, arg_max(after_mm, place) as last_mm
  from trail where place >= begun
  group by element having count(*) >= ${FEWEST_VISITS} order by element`,
);
