import { z } from 'zod';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { told } from '../tables';
import { int, maybeText, rate } from './rows';

const row = z
  .object({
    jobs: int,
    serials: int,
    models: int,
    first_day: maybeText,
    last_day: maybeText,
    passed: int,
    failed: int,
    not_counted: int,
    /** Jobs whose results are there; fewer than all while a calculation was called off. */
    calculated: int,
    all_jobs: int,
  })
  .transform((r) => ({ ...r, first_pass: rate(r.passed, r.passed + r.failed) }));
export type ShopSummary = z.infer<typeof row>;

/** How many jobs are picked, over what span, and how they came out at the first measurement. */
export const shopSummary = question<Filters, ShopSummary>(
  'shopSummary',
  row,
  filterValues,
  `with ${PICKED_JOBS}
  select
    count(*)::integer as jobs,
    count(distinct p.pump_serial)::integer as serials,
    count(distinct p.pump_model)::integer as models,
    min(p.received_on)::varchar as first_day,
    max(p.received_on)::varchar as last_day,
    (count(*) filter (where o.first_pass = 'yes'))::integer as passed,
    (count(*) filter (where o.first_pass = 'no'))::integer as failed,
    (count(*) filter (where o.first_pass = 'not counted'))::integer as not_counted,
    count(o.job_no)::integer as calculated,
    (select count(*)::integer from job_cards) as all_jobs
  from picked p left join ${told('outcomes', 'job_no', 'first_pass')} o on o.job_no = p.job_no`,
);
