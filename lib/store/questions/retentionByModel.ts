import { z } from 'zod';
import { filterValues, ofOneModel, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { RETENTION_POINTS } from './retentionBaseline';
import { day, eightInTen, eightInTenRow, maybeText, text } from './rows';

/** The two runs at which wear is read. */
export const occasion = z.enum(['as received', 'as left']);
export type Occasion = z.infer<typeof occasion>;

/** Retention of picked jobs' elements as received (run 0) and as left (last run measured). Needs PICKED_JOBS before it. */
export const RETENTION_READ = `retention_read as (
    select p.pump_model, p.quarter, r.element, r.is_left, r.retention
    from picked p join wear_reads r on r.job_no = p.job_no
  )`;
/** To be told apart by `is_left`, which is grouped by: names are grouped much slower. */
export const OCCASION = `case when is_left then 'as left' else 'as received' end as occasion`;

const row = z.object({
  pump_model: text,
  occasion,
  quarter: day,
  ...eightInTenRow,
  /** The pairs of test points that the model's specifications have it read at. */
  points: maybeText,
});
export type RetentionQuarter = z.infer<typeof row>;

/** Low-speed retention of each model by quarter, all its elements together. */
export const retentionByModel = question<Filters, RetentionQuarter>(
  'retentionByModel',
  row,
  filterValues,
  `with ${PICKED_JOBS}, ${RETENTION_READ},
  told as (
    select pump_model, is_left, quarter, ${eightInTen('retention')}
    from retention_read group by pump_model, is_left, quarter
  ), pair as (
    select distinct p.pump_model, ${RETENTION_POINTS} as points
    from (select distinct pump_model, spec_no from picked) p join retention_baselines using (spec_no)
  ), pairs as (select pump_model, string_agg(points, ', ' order by points) as points from pair group by pump_model)
  select t.* exclude (is_left) replace (t.quarter::varchar as quarter), ${OCCASION}, p.points
  from told t join pairs p using (pump_model) order by pump_model, is_left, quarter`,
  ofOneModel,
);
