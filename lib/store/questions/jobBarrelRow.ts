import { z } from 'zod';
import { question } from '../question';
import { int, maybeReal, maybeText, stackHeight, verdict } from './rows';

const row = z.object({
  element: int,
  /** Stack found before the first change and after the last, of a split pair the mean of its halves [mm]. */
  stack_before_mm: maybeReal,
  stack_after_mm: maybeReal,
  /** All changes of the job together [mm, plus is added]. */
  made_mm: maybeReal,
  /** What the plan after the first measurement of the job calls for [mm, plus is added]. */
  needed_mm: maybeReal,
  /** The test point that the deliveries are from: the base point, or else the first in the order of work. */
  test_point: maybeText,
  low_mm3: maybeReal,
  high_mm3: maybeReal,
  received_mm3: maybeReal,
  received_verdict: verdict,
  left_mm3: maybeReal,
  left_verdict: verdict,
});
export type JobBarrelRow = z.infer<typeof row>;

/** Each element of one job with its shim stack and its delivery, as received and as left. */
export const jobBarrelRow = question<{ readonly id: string }, JobBarrelRow>(
  'jobBarrelRow',
  row,
  (args) => [args.id],
  `with this as (
    select j.job_no, j.spec_no, s.elements from jobs j join specs s on s.spec_no = j.spec_no where j.job_id = $1::varchar
  ),
  base as (
    select t.point, t.test_point, t.low_mm3, t.high_mm3 from test_points t join this on this.spec_no = t.spec_no
    order by coalesce(t.purpose, '') = 'base' desc, t."order" limit 1
  ),
  each as (select unnest(range(1, (select max(elements) from this) + 1))::integer as element),
  stack as (
    select element,
      min_by(${stackHeight('before')}, run) as before_mm,
      max_by(${stackHeight('after')}, run) filter (where ${stackHeight('after')} is not null) as after_mm
    from shims where job_no in (select job_no from this) group by element
  ),
  made as (
    select element, sum(made_mm) as made_mm from phasing where job_no in (select job_no from this) group by element
  ),
  needed as (
    select element, min_by(plan_mm, run) as needed_mm from phasing
    where job_no in (select job_no from this) and plan_mm is not null group by element
  ),
  d as (
    select * from deliveries
    where job_no in (select job_no from this) and point in (select point from base) and mm3_per_stroke is not null
  ),
  delivered as (
    select element,
      max(mm3_per_stroke) filter (where run = 0) as received_mm3, max(verdict) filter (where run = 0) as received_verdict,
      max_by(mm3_per_stroke, run) filter (where run > 0) as left_mm3, max_by(verdict, run) filter (where run > 0) as left_verdict
    from d group by element
  )
  select e.element, s.before_mm::double as stack_before_mm, coalesce(s.after_mm, s.before_mm)::double as stack_after_mm,
    m.made_mm::double as made_mm, n.needed_mm::double as needed_mm, b.test_point, b.low_mm3, b.high_mm3,
    v.received_mm3::double as received_mm3, coalesce(v.received_verdict, 'not measured') as received_verdict,
    v.left_mm3::double as left_mm3, coalesce(v.left_verdict, 'not measured') as left_verdict
  from each e
  left join base b on true
  left join stack s on s.element = e.element
  left join made m on m.element = e.element
  left join needed n on n.element = e.element
  left join delivered v on v.element = e.element
  order by e.element`,
);
