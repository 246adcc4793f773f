import { z } from 'zod';
import { question } from '../question';
import { day, int, maybeReal, maybeText, text } from './rows';

const row = z.object({
  job_id: text,
  pump_serial: text,
  pump_model: text,
  work_type: text,
  received_on: day,
  finished_on: maybeText,
  complaint: maybeText,
  branch: maybeText,
  /** The last that a card of this pump states, of whichever visit. */
  engine_hours: maybeReal,
  hours_on: maybeText,
  visits: int,
});
export type LastVisit = z.infer<typeof row>;

/**
 * The last visit of a pump, by its serial number in any capitals and blanks round it; none where the log does not have it, and several
 * where two pumps differ in capitals alone. Filters do not hold: a pump has the visits that it has.
 */
export const lastVisit = question<{ readonly serial: string }, LastVisit>(
  'lastVisit',
  row,
  (args) => [args.serial],
  `with visits as (
    select *, row_number() over (partition by pump_serial order by received_on desc, job_no desc) as place
    from jobs where upper(trim(pump_serial)) = upper(trim($1::varchar))
  ),
  metered as (
    select pump_serial, count(*)::integer as visits,
      arg_max(engine_hours, (received_on, job_no)) filter (where engine_hours is not null)::double as engine_hours,
      (max(received_on) filter (where engine_hours is not null))::varchar as hours_on
    from visits group by pump_serial
  )
  select v.job_id, v.pump_serial, v.pump_model, v.work_type, v.received_on::varchar as received_on,
    v.finished_on::varchar as finished_on, v.complaint, v.branch, m.engine_hours, m.hours_on, m.visits
  from visits v join metered m using (pump_serial)
  where v.place = 1 order by (v.pump_serial = trim($1::varchar)) desc, v.pump_serial`,
);
