import { z } from 'zod';
import { question } from '../question';
import { int, maybeReal, maybeText, text } from './rows';

const row = z.object({
  run: int,
  test_point: maybeText,
  element: int,
  repeat: int,
  reason: z.enum([
    'rack outside its window',
    'speed outside its window',
    'fluid temperature outside its window',
    'feed pressure outside its window',
  ]),
  reading: maybeReal,
  low: maybeReal,
  high: maybeReal,
  file: text,
  row_no: int,
});
export type JobExcluded = z.infer<typeof row>;

/** Draws of one job that do not count: what was read, and the window it missed. */
export const jobExcluded = question<{ readonly id: string }, JobExcluded>(
  'jobExcluded',
  row,
  (args) => [args.id],
  `with this as (select job_no from jobs where job_id = $1::varchar)
  select x.run, x.test_point, x.element, x.repeat, x.reason, x.reading, x.low, x.high, src.file, d.row_no
  from excluded x
  join draws d on d.job_no = x.job_no and d.run = x.run and d.point = x.point and d.element = x.element and d.repeat = x.repeat
  join sources src on src.source_no = d.source_no
  where x.job_no in (select job_no from this)
  order by x.test_point, x.run, x.element, x.repeat, x.reason`,
);
