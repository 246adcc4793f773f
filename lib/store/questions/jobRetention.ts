import { z } from 'zod';
import { question } from '../question';
import { int, maybeReal, maybeText, THIS_JOB } from './rows';

const row = z.object({
  run: int,
  element: int,
  low_test_point: maybeText,
  rated_test_point: maybeText,
  low_mm3: maybeReal,
  rated_mm3: maybeReal,
  retention: maybeReal,
});
export type JobRetention = z.infer<typeof row>;

/** Low-speed retention of each element in each run of one job. */
export const jobRetention = question<{ readonly id: string }, JobRetention>(
  'jobRetention',
  row,
  (args) => [args.id],
  `select run, element, low_test_point, rated_test_point, low_mm3, rated_mm3, retention
  from retention where ${THIS_JOB} order by run, low_test_point, rated_test_point, element`,
);
