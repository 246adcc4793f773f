import { z } from 'zod';
import { baselineBases } from '../digests';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { int, maybeReal, text } from './rows';

export const baselineBasis = z.enum(baselineBases);
export type BaselineBasis = z.infer<typeof baselineBasis>;

/** The names of the two test points of a retention, `low_point` and `rated_point` being their numbers. */
export const RETENTION_POINTS = `(select test_point from point_numbers where point = low_point) || ' over '
  || (select test_point from point_numbers where point = rated_point)`;

const row = z.object({
  pump_model: text,
  points: text,
  basis: baselineBasis,
  /** 0 to 1; empty where there is none. */
  baseline: maybeReal,
  /** As-left runs after new plungers and barrels; a stated baseline does not rest on them. */
  runs: int,
  /** Element readings as received that are held against it. */
  n: int,
});
export type RetentionBaseline = z.infer<typeof row>;

/** The baselines that the picked jobs' readings as received are held against, and those that are missing. */
export const retentionBaseline = question<Filters, RetentionBaseline>(
  'retentionBaseline',
  row,
  filterValues,
  `with ${PICKED_JOBS},
  counted as (
    select p.pump_model, p.spec_no, r.low_point, r.rated_point, count(*) as n
    from picked p join received_wear r on r.job_no = p.job_no
    group by p.pump_model, p.spec_no, r.low_point, r.rated_point
  )
  select pump_model, ${RETENTION_POINTS} as points, basis, baseline, runs, sum(n)::integer as n
  from counted join retention_baselines using (spec_no, low_point, rated_point)
  group by pump_model, points, basis, baseline, runs order by pump_model, points, basis, baseline`,
);
