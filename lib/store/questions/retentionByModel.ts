import { z } from 'zod';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { day, eightInTen, eightInTenRow, maybeText, quarterOf, text } from './rows';

/** The two runs at which wear is read. */
export const occasion = z.enum(['as received', 'as left']);
export type Occasion = z.infer<typeof occasion>;

/** Retention of picked jobs' elements as received (run 0) and as left (last run measured). Needs PICKED_JOBS before it. */
export const RETENTION_READ = `retention_read as (
    select p.pump_model, p.received_on, r.element, r.retention, r.low_test_point, r.rated_test_point, 'as received' as occasion
    from picked p join retention r on r.job_no = p.job_no
    where r.run = 0 and r.retention is not null
    union all
    select p.pump_model, p.received_on, r.element, r.retention, r.low_test_point, r.rated_test_point, 'as left'
    from picked p join retention r on r.job_no = p.job_no
    where r.run > 0 and r.retention is not null
      and r.run = (select max(last.run) from retention last where last.job_no = p.job_no)
  )`;

const row = z.object({ pump_model: text, occasion, quarter: day, ...eightInTenRow, points: maybeText });
export type RetentionQuarter = z.infer<typeof row>;

/** Low-speed retention of each model by quarter, all its elements together. */
export const retentionByModel = question<Filters, RetentionQuarter>(
  'retentionByModel',
  row,
  filterValues,
  `with ${PICKED_JOBS}, ${RETENTION_READ}
  select pump_model, occasion, ${quarterOf('received_on')} as quarter, ${eightInTen('retention')},
    string_agg(distinct low_test_point || ' over ' || rated_test_point, ', ') as points
  from retention_read
  group by pump_model, occasion, quarter order by pump_model, occasion desc, quarter`,
);
