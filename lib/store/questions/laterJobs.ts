import { z } from 'zod';
import { question } from '../question';
import { day, maybeReal, maybeText, text } from './rows';

const row = z.object({
  job_id: text,
  pump_serial: text,
  received_on: day,
  finished_on: maybeText,
  labour_hours: maybeReal,
  parts_cost: maybeReal,
  currency: maybeText,
});

/** Stands between serial numbers where several are asked for at once; no log holds it as it is shown. */
const BETWEEN = '\u001f';

/**
 * All jobs of some pumps, to compare quotes with. Filters do not hold: what became of a quote is so whatever is looked at.
 */
export const laterJobs = question<{ readonly serials: readonly string[] }, z.infer<typeof row>>(
  'laterJobs',
  row,
  (args) => [args.serials.join(BETWEEN)],
  `select job_id, pump_serial, received_on::varchar as received_on, finished_on::varchar as finished_on,
    labour_hours::double as labour_hours, parts_cost::double as parts_cost, upper(trim(currency)) as currency
  from jobs where list_contains(string_split($1::varchar, chr(31)), pump_serial)
  order by received_on, job_no`,
);
