import { z } from 'zod';
import { filterValues, ofOneModel, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { told } from '../tables';
import { int, rate, text } from './rows';

const row = z
  .object({ pump_model: text, passed: int, failed: int, not_counted: int })
  .transform((r) => ({ ...r, ...rate(r.passed, r.passed + r.failed) }));
export type ModelRate = z.infer<typeof row>;

/** First pass of each model, the worst first; models without a counted job come last. */
export const firstPassByModel = question<Filters, ModelRate>(
  'firstPassByModel',
  row,
  filterValues,
  `with ${PICKED_JOBS}
  select
    p.pump_model,
    (count(*) filter (where o.first_pass = 'yes'))::integer as passed,
    (count(*) filter (where o.first_pass = 'no'))::integer as failed,
    (count(*) filter (where o.first_pass = 'not counted'))::integer as not_counted
  from picked p join ${told('outcomes', 'job_no', 'first_pass')} o on o.job_no = p.job_no
  group by p.pump_model
  order by passed / nullif(passed + failed, 0) asc nulls last, p.pump_model`,
  ofOneModel,
);
