import { z } from 'zod';
import { question } from '../question';
import { int, maybeInt, maybeReal, maybeText, verdict } from './rows';

const row = z.object({
  run: int,
  element: int,
  cam_deg: maybeReal,
  lift_mm: maybeReal,
  preload_mm: maybeReal,
  closure_deg: maybeReal,
  nominal_deg: maybeReal,
  error_deg: maybeReal,
  tolerance_deg: maybeReal,
  verdict,
  shim_change_mm: maybeReal,
  shim_step_mm: maybeReal,
  screw_turns: maybeReal,
  made_mm: maybeReal,
  pair_difference_mm: maybeReal,
  error_uncertainty_deg: maybeReal,
  change_uncertainty_mm: maybeReal,
  decision: verdict,
  plan_mm: maybeReal,
  planned_error_deg: maybeReal,
  before_mm: maybeReal,
  after_mm: maybeReal,
  before_second_mm: maybeReal,
  after_second_mm: maybeReal,
  batch: maybeText,
  file: maybeText,
  row_no: maybeInt,
  shims_file: maybeText,
  shims_row_no: maybeInt,
});
export type JobPhasing = z.infer<typeof row>;

/** Every element's closure in every run of one job: what was read beside what follows from it. */
export const jobPhasing = question<{ readonly id: string }, JobPhasing>(
  'jobPhasing',
  row,
  (args) => [args.id],
  `with this as (select job_no from jobs where job_id = $1::varchar),
  f as (select * from phasing where job_no in (select job_no from this)),
  c as (select * from closures where job_no in (select job_no from this)),
  s as (select * from shims where job_no in (select job_no from this)),
  t as (select * from timing where job_no in (select job_no from this))
  select f.run, f.element, c.cam_deg, c.lift_mm, c.preload_mm, f.closure_deg, f.nominal_deg, f.error_deg, t.tolerance_deg,
    f.verdict, f.shim_change_mm, f.shim_step_mm, f.screw_turns, f.made_mm, f.pair_difference_mm,
    f.error_uncertainty_deg, f.change_uncertainty_mm, f.decision, f.plan_mm, f.planned_error_deg,
    s.before_mm, s.after_mm, s.before_second_mm, s.after_second_mm, s.batch,
    cs.file, c.row_no, ss.file as shims_file, s.row_no as shims_row_no
  from f
  left join t on t.run = f.run
  left join c on c.run = f.run and c.element = f.element
  left join s on s.run = f.run and s.element = f.element
  left join sources cs on cs.source_no = c.source_no
  left join sources ss on ss.source_no = s.source_no
  order by f.run, f.element`,
);
