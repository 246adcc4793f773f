import { z } from 'zod';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { int, maybeReal, text } from './rows';

/** With fewer as-left runs after new plungers and barrels there is no baseline. */
export const FEWEST_RUNS = 5;

/** Where a retention baseline comes from. */
export const baselineBasis = z.enum(['stated', 'new parts', 'no baseline']);
export type BaselineBasis = z.infer<typeof baselineBasis>;

/**
 * Every retention with the baseline it is held against, as deficits. The baseline is the specification's own ratio; where that is
 * not stated, the median over the new elements as left, model by model and pair of test points by pair, of all jobs in the log:
 * the filters narrow what is shown and not what it is held against.
 */
export const DEFICITS = `medians as (
    select j.pump_model, r.low_point, r.rated_point, count(distinct r.job_no)::integer as runs,
      quantile_cont(r.retention, 0.5)::double as median
    from retention_reads r semi join fitted f on f.job_no = r.job_no and f.element = r.element join job_cards j on j.job_no = r.job_no
    where r.left_so
    group by j.pump_model, r.low_point, r.rated_point
  ),
  based as (
    select r.job_no, r.run, r.element, r.low_point, r.rated_point, r.retention,
      coalesce(m.runs, 0) as runs,
      case when s.retention_ratio is not null then 'stated'
        when m.runs >= ${FEWEST_RUNS} then 'new parts' else 'no baseline' end as basis,
      case when s.retention_ratio is not null then s.retention_ratio
        when m.runs >= ${FEWEST_RUNS} then m.median end as baseline
    from retention_reads r
    join job_cards j on j.job_no = r.job_no
    join specs s on s.spec_no = j.spec_no
    left join medians m
      on m.pump_model = j.pump_model and m.low_point = r.low_point and m.rated_point = r.rated_point
  ),
  deficits as (select *, 1 - retention / nullif(baseline, 0) as deficit from based)`;

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
  `with ${PICKED_JOBS}, ${DEFICITS},
  told as (
    select p.pump_model, d.low_point, d.rated_point, d.basis, d.baseline::double as baseline, d.runs, count(*)::integer as n
    from picked p join deficits d on d.job_no = p.job_no
    where d.run = 0
    group by p.pump_model, d.low_point, d.rated_point, d.basis, d.baseline, d.runs
  )
  select pump_model, ${RETENTION_POINTS} as points, basis, baseline, runs, n from told
  order by pump_model, points, basis, baseline`,
);
