import { z } from 'zod';
import { question } from '../question';
import { int, maybeInt, maybeReal, maybeText, text, verdict, yesNo } from './rows';

const row = z.object({
  run: int,
  lift_mm: maybeReal,
  low_mm: maybeReal,
  high_mm: maybeReal,
  lift_error_mm: maybeReal,
  shim_change_mm: maybeReal,
  timing_verdict: verdict,
  lift_rate_mm_per_deg: maybeReal,
  lift_rate_basis: text,
  tolerance_deg: maybeReal,
  tolerance_assumed: yesNo,
  elements_measured: int,
  worst_error_deg: maybeReal,
  worst_element: int,
  phasing_verdict: verdict,
  lift_uncertainty_mm: maybeReal,
  timing_decision: verdict,
  phasing_decision: verdict,
  /** Largest uncertainty of the run's phase errors. */
  error_uncertainty_deg: maybeReal,
  /** The reference's lift as it was read, with the preload still in it, and where it stands. */
  read_lift_mm: maybeReal,
  preload_mm: maybeReal,
  instrument_id: maybeText,
  file: maybeText,
  row_no: maybeInt,
});
export type JobTiming = z.infer<typeof row>;

/** Reference lift and phasing of one job as a whole, run by run. */
export const jobTiming = question<{ readonly id: string }, JobTiming>(
  'jobTiming',
  row,
  (args) => [args.id],
  `with reference as (
    select j.job_no, string_split_regex(s.firing_order, '[- ]')[1]::integer as element
    from jobs j join specs s on s.spec_no = j.spec_no where j.job_id = $1::varchar
  )
  select t.run, t.lift_mm, t.low_mm, t.high_mm, t.lift_error_mm, t.shim_change_mm, t.timing_verdict, t.lift_rate_mm_per_deg,
    t.lift_rate_basis, t.tolerance_deg, t.tolerance_assumed, t.elements_measured, t.worst_error_deg, t.worst_element,
    t.phasing_verdict, t.lift_uncertainty_mm, t.timing_decision, t.phasing_decision,
    (select max(f.error_uncertainty_deg) from phasing f where f.job_no = t.job_no and f.run = t.run)::double as error_uncertainty_deg,
    c.lift_mm as read_lift_mm, c.preload_mm, c.instrument_id, src.file, c.row_no
  from timing t join reference r on r.job_no = t.job_no
  left join closures c on c.job_no = t.job_no and c.run = t.run and c.element = r.element
  left join sources src on src.source_no = c.source_no
  order by t.run`,
);
