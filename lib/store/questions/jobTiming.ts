import { z } from 'zod';
import { question } from '../question';
import { int, maybeReal, text, THIS_JOB, verdict, yesNo } from './rows';

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
});
export type JobTiming = z.infer<typeof row>;

/** Reference lift and phasing of one job as a whole, run by run. */
export const jobTiming = question<{ readonly id: string }, JobTiming>(
  'jobTiming',
  row,
  (args) => [args.id],
  `select run, lift_mm, low_mm, high_mm, lift_error_mm, shim_change_mm, timing_verdict, lift_rate_mm_per_deg, lift_rate_basis,
    tolerance_deg, tolerance_assumed, elements_measured, worst_error_deg, worst_element, phasing_verdict
  from timing where ${THIS_JOB} order by run`,
);
