import { date, text, yesNo } from '../column';
import { table } from '../table';

export const MOST_REMARK_LETTERS = 4000;
export const MOST_AUTHOR_LETTERS = 60;

/** What an auditor writes beside a job. A remark never changes a reading; the engine does not read it. */
export const remarks = table(
  'remarks',
  'one remark on a job, made after the work',
  ['job_id', 'remark_id'],
  {
    remark_id: text('What tells this remark from others on the same job', 60).required,
    job_id: text('The job card number', 60).required,
    remarked_on: date('Day of the remark').required,
    remark: text('The remark itself', MOST_REMARK_LETTERS).required,
    author: text('Who made it', MOST_AUTHOR_LETTERS).optional,
    withdrawn: yesNo('Whether it was taken back: a later row with the same number says yes').optional,
  },
  [{ columns: ['job_id'], table: 'jobs' }],
);
