import { z } from 'zod';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { day, maybeText, text } from './rows';

export const logEventKinds = ['bench', 'batch', 'revision'] as const;
export type LogEventKind = (typeof logEventKinds)[number];

const row = z.object({
  kind: z.enum(logEventKinds),
  name: text,
  /** Of a revision, the model that it is for. */
  pump_model: maybeText,
  on: day,
});
export type LogEvent = z.infer<typeof row>;

/** What the log's first month names was there before the log. */
const SETTLED = `(select min(received_on) + interval 1 month from jobs)`;

/**
 * First job on a bench, first job with shims of a batch, first job worked to a later revision of a sheet: by the day received, of all
 * jobs in the log, on days that the picked jobs span.
 */
export const trendEvents = question<Filters, LogEvent>(
  'trendEvents',
  row,
  filterValues,
  `with ${PICKED_JOBS},
  firsts as (
    select 'bench' as kind, bench_id as name, null::varchar as pump_model, min(received_on) as first_on
    from jobs where bench_id is not null group by bench_id
    union all
    select 'batch', h.batch, null, min(j.received_on) from shims h join jobs j on j.job_no = h.job_no
    where h.batch is not null group by h.batch
    union all
    select 'revision', spec_revision, pump_model, first_on from (
      select spec_id, spec_revision, pump_model, min(received_on) as first_on from jobs
      group by spec_id, spec_revision, pump_model
      qualify row_number() over (partition by spec_id, pump_model order by min(received_on), spec_revision) > 1)
    where $3::varchar = '' or pump_model = $3::varchar
  )
  select kind, name, pump_model, first_on::varchar as "on" from firsts
  where first_on >= ${SETTLED}
    and first_on between (select min(received_on) from picked) and (select max(received_on) from picked)
  order by first_on, kind, name`,
);
