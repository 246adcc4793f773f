import { z } from 'zod';
import { question } from '../question';
import { int, maybeReal, maybeText, text } from './rows';

const row = z.object({
  run: int,
  check_id: text,
  speed_rpm: maybeReal,
  rack_mm: maybeReal,
  boost_kpa: maybeReal,
  lever: maybeText,
  file: text,
  row_no: int,
});
export type JobGovernor = z.infer<typeof row>;

/** Governor and accessory readings of one job, as they were written down. */
export const jobGovernor = question<{ readonly id: string }, JobGovernor>(
  'jobGovernor',
  row,
  (args) => [args.id],
  `select g.run, g.check_id, g.speed_rpm, g.rack_mm, g.boost_kpa, g.lever, src.file, g.row_no
  from governor g join sources src on src.source_no = g.source_no
  where g.job_no = (select job_no from jobs where job_id = $1::varchar)
  order by g.run, g.check_id, g.speed_rpm, g.row_no`,
);
