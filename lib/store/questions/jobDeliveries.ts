import { z } from 'zod';
import { question } from '../question';
import { int, maybeReal, THIS_JOB, verdict } from './rows';

const row = z.object({
  run: int,
  point: int,
  element: int,
  mm3_per_stroke: maybeReal,
  draws: int,
  excluded: int,
  repeat_range_mm3: maybeReal,
  deviation_mm3: maybeReal,
  verdict,
  at_reference_mm3: maybeReal,
  uncertainty_mm3: maybeReal,
});
export type JobDelivery = z.infer<typeof row>;

/** Every element's delivery at every test point and run of one job. */
export const jobDeliveries = question<{ readonly id: string }, JobDelivery>(
  'jobDeliveries',
  row,
  (args) => [args.id],
  `select run, point, element, mm3_per_stroke, draws, excluded, repeat_range_mm3, deviation_mm3, verdict,
    at_reference_mm3, uncertainty_mm3
  from deliveries where ${THIS_JOB} order by point, run, element`,
);
