import { z } from 'zod';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { int, maybeReal, text } from './rows';

/** With fewer as-left runs after new plungers and barrels there is no baseline. */
export const FEWEST_RUNS = 5;

/** Where a retention baseline comes from. */
export const baselineBasis = z.enum(['stated', 'new parts', 'no baseline']);
export type BaselineBasis = z.infer<typeof baselineBasis>;

/** A line of parts that is plungers and barrels, as shops write it. */
export const PAIR = String.raw`'^\s*(new\s+)?(plungers?\s*(and|&|\+|/)\s*barrels?|barrels?\s*(and|&|\+|/)\s*plungers?)(\s+(set|assembly|assemblies))?s?\s*$'`;

/**
 * The elements that got a new plunger and barrel in a job. A line of parts without an element stands for all of them where its
 * quantity reaches their number; with fewer it does not say which, and none is taken.
 */
export const FITTED = `fitted as (
    select distinct j.job_no, e.element::integer as element
    from parts p join jobs j on j.job_no = p.job_no join specs s on s.spec_no = j.spec_no
    cross join unnest(range(1, s.elements + 1)) as e(element)
    where regexp_matches(p.part, ${PAIR}, 'i') and p.quantity > 0
      and (p.element = e.element or (p.element is null and p.quantity >= s.elements))
  )`;

/**
 * Every retention with the baseline it is held against, as deficits. The baseline is the specification's own ratio; where that is
 * not stated, the median over the new elements as left, model by model and pair of test points by pair, of all jobs in the log:
 * the filters narrow what is shown and not what it is held against. Needs FITTED before it.
 */
export const DEFICITS = `new_elements as (
    select j.pump_model, r.low_point, r.rated_point, r.job_no, r.retention
    from retention r
    join fitted f on f.job_no = r.job_no and f.element = r.element
    join jobs j on j.job_no = r.job_no
    where r.run > 0 and r.retention is not null
      and r.run = (select max(last.run) from retention last where last.job_no = r.job_no and last.retention is not null)
  ),
  medians as (
    select pump_model, low_point, rated_point, count(distinct job_no)::integer as runs,
      quantile_cont(retention, 0.5)::double as median
    from new_elements group by pump_model, low_point, rated_point
  ),
  based as (
    select r.job_no, r.run, r.element, r.retention, r.low_test_point || ' over ' || r.rated_test_point as points,
      coalesce(m.runs, 0) as runs,
      case when s.retention_ratio is not null then 'stated'
        when m.runs >= ${FEWEST_RUNS} then 'new parts' else 'no baseline' end as basis,
      case when s.retention_ratio is not null then s.retention_ratio
        when m.runs >= ${FEWEST_RUNS} then m.median end as baseline
    from retention r
    join jobs j on j.job_no = r.job_no
    join specs s on s.spec_no = j.spec_no
    left join medians m
      on m.pump_model = j.pump_model and m.low_point = r.low_point and m.rated_point = r.rated_point
    where r.retention is not null
  ),
  deficits as (select *, 1 - retention / nullif(baseline, 0) as deficit from based)`;

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
  `with ${PICKED_JOBS}, ${FITTED}, ${DEFICITS}
  select p.pump_model, d.points, d.basis, d.baseline::double as baseline, d.runs, count(*)::integer as n
  from picked p join deficits d on d.job_no = p.job_no
  where d.run = 0
  group by p.pump_model, d.points, d.basis, d.baseline, d.runs
  order by p.pump_model, d.points, d.basis, d.baseline`,
);
