import { z } from 'zod';
import { question } from '../question';
import { day, int, maybeText, text, THIS_JOB } from './rows';

const row = z.object({
  job_id: text,
  remark_id: text,
  remarked_on: day,
  remark: text,
  author: maybeText,
  file: text,
  row_no: int,
});
export type JobRemark = z.infer<typeof row>;

const COLUMNS = `select r.job_id, r.remark_id, r.remarked_on::varchar as remarked_on, r.remark, r.author, s.file, r.row_no
  from remarks r join sources s using (source_no) where not coalesce(r.withdrawn, false)`;

/** What auditors wrote on one job and did not take back, oldest first. Text as it was written; where it stands beside it. */
export const jobRemarks = question<{ readonly id: string }, JobRemark>(
  'jobRemarks',
  row,
  (args) => [args.id],
  `${COLUMNS} and ${THIS_JOB} order by r.remarked_on, r.source_no, r.row_no`,
);

/** All remarks that stand, by job. */
export const allRemarks = question<null, JobRemark>(
  'allRemarks',
  row,
  () => [],
  `${COLUMNS} order by r.job_no, r.remarked_on, r.source_no, r.row_no`,
);
