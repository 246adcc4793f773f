import { z } from 'zod';
import { filterValues, narrowed, PICKED_JOBS, type Filters } from '../filters';
import { question, type Question } from '../question';
import { told } from '../tables';
import { readings } from './history';
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
  breaking: int,
  weakening: int,
});
export type JobRow = z.infer<typeof row>;

export interface JobListArgs extends Filters {
  /** Only jobs in which this finding stands; null for all. */
  readonly finding: string | null;
  /** Only jobs of this branch, with this complaint, by this technician; all where left out. */
  readonly branch?: string | null;
  readonly complaint?: string | null;
  readonly technician?: string | null;
  /** Only jobs of these numbers; null, or left out, for all. */
  readonly among?: readonly number[] | null;
}

/** The picked jobs, newest first. @param used a further condition on them; its values follow from $11 */
const listed = <A extends JobListArgs>(
  name: string,
  used: string,
  values: (args: A) => readonly string[],
): Question<A, JobRow> =>
  question<A, JobRow>(
    name,
    row,
    (args) => [
      ...filterValues(args),
      ...[args.finding, args.branch, args.complaint, args.technician].map(narrowed),
      // A comma at the end tells a list of none from no list.
      narrowed(args.among && `${args.among.join(',')},`),
      ...values(args),
    ],
    `with ${PICKED_JOBS}
  select p.job_id, p.pump_serial, p.pump_model, p.received_on::varchar as received_on, p.work_type, p.bench_id, p.technician,
    o.first_pass, o.as_left, o.received_error_deg, o.excluded_draws, o.breaking, o.weakening
  from picked p join ${told('outcomes', 'job_no', 'first_pass', 'as_left', 'received_error_deg', 'excluded_draws', 'breaking', 'weakening')} o on o.job_no = p.job_no
  where ($6::varchar = '' or exists (select 1 from ${told('findings', 'job_no', 'finding')} f where f.job_no = p.job_no and f.finding = $6::varchar))
    and ($7::varchar = '' or p.branch = $7::varchar)
    and ($8::varchar = '' or p.complaint = $8::varchar)
    and ($9::varchar = '' or p.technician = $9::varchar)
    and ($10::varchar = ''
      or p.job_no in (select try_cast(each as integer) from (select unnest(string_split($10::varchar, ',')) as each)))${used}
  order by p.received_on desc, p.job_no desc
  limit ${LISTED_JOBS}`,
  );

/** The picked jobs, newest first. */
export const jobList = listed<JobListArgs>('jobList', '', () => []);

export interface UsingArgs extends JobListArgs {
  /** Only jobs with a stack of this shim batch, with a reading by this gauge; null for all. */
  readonly batch: string | null;
  readonly gauge: string | null;
}

const readWith = (table: 'draws' | 'closures'): string =>
  `select h.job_id from ${readings(table)} and h.instrument_id = $12::varchar`;

/** The same of the jobs that a batch or a gauge was used in: to look through all readings takes longer than the list. */
export const jobListUsing = listed<UsingArgs>(
  'jobListUsing',
  `
    and ($11::varchar = '' or p.job_no in (select job_no from shims where batch = $11::varchar))
    and ($12::varchar = '' or p.job_id in (${readWith('closures')} union all ${readWith('draws')}))`,
  ({ batch, gauge }) => [narrowed(batch), narrowed(gauge)],
);
