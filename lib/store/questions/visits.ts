import { z } from 'zod';
import { question } from '../question';
import { answer, day, int, maybeReal, maybeText, text, verdict } from './rows';

const row = z.object({
  visit: int,
  job_id: text,
  pump_model: text,
  received_on: day,
  work_type: text,
  complaint: maybeText,
  bench_id: maybeText,
  engine_hours: maybeReal,
  first_pass: answer,
  as_left: verdict,
  received_error_deg: maybeReal,
  left_error_deg: maybeReal,
});
export type Visit = z.infer<typeof row>;

/** The jobs of one serial number in the order received. The page's filters do not narrow them. */
export const visits = question<{ readonly serial: string }, Visit>(
  'visits',
  row,
  (args) => [args.serial],
  `select (row_number() over (order by j.received_on, j.job_no))::integer as visit,
    j.job_id, j.pump_model, j.received_on::varchar as received_on, j.work_type, j.complaint, j.bench_id, j.engine_hours,
    o.first_pass, o.as_left, o.received_error_deg, o.left_error_deg
  from jobs j join outcomes o on o.job_no = j.job_no
  where j.pump_serial = $1::varchar
  order by j.received_on, j.job_no`,
);
