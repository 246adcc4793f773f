import { z } from 'zod';
import { codes } from '../../calc/layout';
import { question } from '../question';
import { int, maybeReal, maybeText, THIS_JOB } from './rows';

const row = z.object({
  finding: z.enum(codes.finding),
  severity: z.enum(codes.severity),
  /** -1 for the job as a whole. */
  run: int,
  test_point: maybeText,
  /** 0 for none or several. */
  element: int,
  stated: maybeReal,
  recomputed: maybeReal,
  rows: int,
});
export type JobFinding = z.infer<typeof row>;

/** What does not agree in one job, what breaks the proof first. */
export const jobFindings = question<{ readonly id: string }, JobFinding>(
  'jobFindings',
  row,
  (args) => [args.id],
  `select finding, severity, run, test_point, element, stated, recomputed, rows from findings where ${THIS_JOB}
  order by case severity when 'breaks the proof' then 0 when 'weakens the proof' then 1 else 2 end,
    finding, run, point, element`,
);
