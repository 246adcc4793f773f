import { z } from 'zod';
import { binomialTest } from '../../stats/binomialTest';
import { funnelLimits } from '../../stats/funnel';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { told } from '../tables';
import { int, real, text } from './rows';

const row = z
  .object({ technician: text, k: int, n: int, expected: real })
  .transform(({ technician, k, n, expected }) => ({
    technician,
    k,
    n,
    share: k / n,
    /** What the shop passes on the same models, 0 to 1. */
    expected,
    /** Where 95 of 100, and 998 of 1,000, would lie by chance alone. */
    near: funnelLimits(n, expected),
    far: funnelLimits(n, expected, 0.998),
    p: binomialTest({ successes: k, trials: n }, expected)?.p ?? null,
  }));
export type TechnicianRate = z.infer<typeof row>;

/**
 * First pass of each technician with the shop's rate on the same mix of models (each job counts with its model's rate) and the
 * funnel limits around it. Only counted jobs with a technician written down.
 */
export const technicianRates = question<Filters, TechnicianRate>(
  'technicianRates',
  row,
  filterValues,
  `with ${PICKED_JOBS},
  answered as (select p.pump_model, p.technician, case when o.first_pass = 'yes' then 1 else 0 end as passed
    from picked p join ${told('outcomes', 'job_no', 'first_pass')} o on o.job_no = p.job_no
    where o.first_pass <> 'not counted' and p.technician is not null),
  shop as (select pump_model, avg(passed) as rate from answered group by pump_model)
  select a.technician, sum(a.passed)::integer as k, count(*)::integer as n,
    least(1, greatest(0, avg(s.rate)))::double as expected
  from answered a join shop s on s.pump_model = a.pump_model
  group by a.technician order by a.technician`,
);
