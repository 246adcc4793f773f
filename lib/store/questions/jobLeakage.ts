import { z } from 'zod';
import { question } from '../question';
import { int, maybeReal, THIS_JOB } from './rows';

const row = z.object({
  run: int,
  element: int,
  rack_mm: maybeReal,
  speeds: int,
  intercept_mm3: maybeReal,
  slope_mm3_rpm: maybeReal,
  /** On the radius; an upper bound, 0 where no leakage shows. */
  clearance_um: maybeReal,
});
export type JobLeakage = z.infer<typeof row>;

/** Leak slope of each element in each run of one job. */
export const jobLeakage = question<{ readonly id: string }, JobLeakage>(
  'jobLeakage',
  row,
  (args) => [args.id],
  `select run, element, rack_mm, speeds, intercept_mm3, slope_mm3_rpm, clearance_um
  from leakage where ${THIS_JOB} order by run, element, rack_mm`,
);
