import { z } from 'zod';
import { filterValues, ofOneModel, PICKED_JOBS, type Filters } from '../filters';
import { question, type SqlValue } from '../question';
import { told } from '../tables';
import { EARLY, WATCHED } from './returnVisits';
import { day, int, maybeText, rate, text, yesNo } from './rows';

/** The filters, and within how many months a return is early. */
export interface EarlyArgs extends Filters {
  readonly months: number;
}
export const earlyValues = (args: EarlyArgs): readonly SqlValue[] => [...filterValues(args), String(args.months)];

const row = z.object({
  pump_serial: text,
  pump_model: text,
  first_job: text,
  first_work: text,
  first_complaint: maybeText,
  left_on: day,
  second_job: text,
  second_work: text,
  second_complaint: maybeText,
  back_on: day,
  days: int,
  warranty: yesNo.nullable(),
  /** Whether anything was measured as received the second time. */
  measured: yesNo,
  /** Stages that were out as received the second time; empty for none. */
  out: maybeText,
  /** What the engine found in the second job; empty for nothing. */
  findings: maybeText,
});
export type EarlyReturn = z.infer<typeof row>;

/** Pumps that came back early, and what was found the second time, the soonest first. */
export const earlyReturns = question<EarlyArgs, EarlyReturn>(
  'earlyReturns',
  row,
  earlyValues,
  `with ${PICKED_JOBS}, ${WATCHED}, ${EARLY},
  findings_of as (
    select job_no, string_agg(distinct finding, '; ' order by finding) as findings
    from ${told('findings', 'job_no', 'finding')} found semi join early on early.next_no = found.job_no group by job_no
  )
  select a.pump_serial, a.pump_model, a.job_id as first_job, a.work_type as first_work, a.complaint as first_complaint,
    e.out_on::varchar as left_on, b.job_id as second_job, b.work_type as second_work, b.complaint as second_complaint,
    e.next_on::varchar as back_on, e.days, case when b.warranty then 'yes' when not b.warranty then 'no' end as warranty,
    case when coalesce(s.received_measured, false) then 'yes' else 'no' end as measured, s.received_out as out, f.findings
  from early e join jobs a on a.job_no = e.job_no join jobs b on b.job_no = e.next_no
  left join job_digests s on s.job_no = e.next_no left join findings_of f on f.job_no = e.next_no
  order by e.days, a.job_id`,
  ofOneModel,
);

const rateRow = z
  .object({ pump_model: maybeText, k: int, n: int, unwatched: int })
  .transform(({ k, n, ...of }) => ({ ...of, ...rate(k, n) }));
export type EarlyRate = z.infer<typeof rateRow>;

/**
 * Share of jobs whose pump was back early, by model and, without a name, in all. Only jobs that were watched to the end of those
 * months are counted: of the others the quick returns alone would be known.
 */
export const earlyRates = question<EarlyArgs, EarlyRate>(
  'earlyRates',
  rateRow,
  earlyValues,
  `with ${PICKED_JOBS}, ${WATCHED},
  told as (select pump_model, out_on + to_months(cast($6::varchar as integer)) <= last_day as whole,
    back = 1 and next_on <= out_on + to_months(cast($6::varchar as integer)) as soon from watched)
  select pump_model, (count(*) filter (where whole and soon))::integer as k, (count(*) filter (where whole))::integer as n,
    (count(*) filter (where not whole))::integer as unwatched
  from told group by grouping sets ((pump_model), ()) having count(*) > 0
  order by pump_model nulls first`,
);
