import { z } from 'zod';
import { question } from '../question';
import { int, maybeReal, THIS_JOB, yesNo } from './rows';

const row = z.object({
  run: int,
  element: int,
  planned_deg: maybeReal,
  planned_mm3: maybeReal,
  made_deg: maybeReal,
  used_deg: maybeReal,
  slot_left_deg: maybeReal,
  past_slot: yesNo,
});
export type JobRotation = z.infer<typeof row>;

/** Elements of one job that the balance plan turns, or that were turned [degrees, plus raises delivery]. */
export const jobRotations = question<{ readonly id: string }, JobRotation>(
  'jobRotations',
  row,
  (args) => [args.id],
  `select run, element, planned_deg, planned_mm3, made_deg, used_deg, slot_left_deg, past_slot
  from rotations where ${THIS_JOB} order by run, element`,
);
