import { z } from 'zod';
import { question } from '../question';
import { int, maybeInt, real, text } from './rows';

const row = z.object({ element: maybeInt, part: text, quantity: real, file: text, row_no: int });
export type JobPart = z.infer<typeof row>;

/** Parts fitted in one job. */
export const jobParts = question<{ readonly id: string }, JobPart>(
  'jobParts',
  row,
  (args) => [args.id],
  `select p.element, p.part, p.quantity, src.file, p.row_no
  from parts p join sources src on src.source_no = p.source_no
  where p.job_no = (select job_no from jobs where job_id = $1::varchar)
  order by p.element nulls first, p.part`,
);
