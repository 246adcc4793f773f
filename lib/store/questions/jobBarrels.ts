import { z } from 'zod';
import { question } from '../question';
import { int, real, text } from './rows';

const row = z.object({
  run: int,
  element: int,
  rotation_deg: real,
  scribed: z.boolean().nullable(),
  file: text,
  row_no: int,
});
export type JobBarrel = z.infer<typeof row>;

/** Barrels turned in one job [degrees, plus raises delivery]. */
export const jobBarrels = question<{ readonly id: string }, JobBarrel>(
  'jobBarrels',
  row,
  (args) => [args.id],
  `select b.run, b.element, b.rotation_deg, b.scribed, src.file, b.row_no
  from barrels b join sources src on src.source_no = b.source_no
  where b.job_no = (select job_no from jobs where job_id = $1::varchar) order by b.run, b.element`,
);
