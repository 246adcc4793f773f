import { z } from 'zod';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { answer, day, int, maybeReal, maybeText, text, verdict } from './rows';

/** How many jobs a list holds at most, the newest of the picked ones. */
export const LISTED_JOBS = 20_000;

const row = z.object({
  job_id: text,
  pump_serial: text,
  pump_model: text,
  received_on: day,
  work_type: text,
  bench_id: maybeText,
  technician: maybeText,
  first_pass: answer,
  as_left: verdict,
  received_error_deg: maybeReal,
  excluded_draws: int,
});
export type JobRow = z.infer<typeof row>;

/** The picked jobs, newest first. */
export const jobList = question<Filters, JobRow>(
  'jobList',
  row,
  filterValues,
  `with ${PICKED_JOBS}
  select p.job_id, p.pump_serial, p.pump_model, p.received_on::varchar as received_on, p.work_type, p.bench_id, p.technician,
    o.first_pass, o.as_left, o.received_error_deg, o.excluded_draws
  from picked p join outcomes o on o.job_no = p.job_no
  order by p.received_on desc, p.job_no desc
  limit ${LISTED_JOBS}`,
);
