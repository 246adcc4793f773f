import { z } from 'zod';
import { question } from '../question';
import { answer, int, maybeText, text, verdict } from './rows';

const row = z.object({
  stage: text,
  test_point: maybeText,
  runs: int,
  first_verdict: verdict,
  first_pass: answer,
  as_left_run: int,
  as_left: verdict,
  changes: int,
  needless_changes: int,
});
export type JobStage = z.infer<typeof row>;

/** The stages of one job: timing and phasing first, then the test points in the order of work, the governor last. */
export const jobStages = question<{ readonly id: string }, JobStage>(
  'jobStages',
  row,
  (args) => [args.id],
  `select g.stage, g.test_point, g.runs, g.first_verdict, g.first_pass, g.as_left_run, g.as_left, g.changes, g.needless_changes
  from stages g
  join jobs j on j.job_no = g.job_no
  left join test_points t on t.spec_no = j.spec_no and t.point = g.point
  where j.job_id = $1::varchar
  order by g.stage = 'governor', t."order" asc nulls first`,
);
