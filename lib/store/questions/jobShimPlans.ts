import { z } from 'zod';
import { codes } from '../../calc/layout';
import { question } from '../question';
import { int, maybeReal, THIS_JOB, yesNo } from './rows';

const row = z.object({
  run: int,
  status: z.enum(codes.plan),
  barrels: int,
  moved_mm: maybeReal,
  lift_after_mm: maybeReal,
  worst_after_deg: maybeReal,
  step_mm: maybeReal,
  step_assumed: yesNo,
  done_barrels: int,
  done_mm: maybeReal,
});
export type JobShimPlan = z.infer<typeof row>;

/** The least-rework shim plan after each run of one job, beside what was done. */
export const jobShimPlans = question<{ readonly id: string }, JobShimPlan>(
  'jobShimPlans',
  row,
  (args) => [args.id],
  `select run, status, barrels, moved_mm, lift_after_mm, worst_after_deg, step_mm, step_assumed, done_barrels, done_mm
  from shim_plans where ${THIS_JOB} order by run`,
);
