import { z } from 'zod';
import { question } from '../question';
import { answer, day, int, maybeReal, maybeText, real, text, verdict, yesNo } from './rows';

const row = z.object({
  job_id: text,
  pump_serial: text,
  pump_model: text,
  spec_id: text,
  spec_revision: text,
  valid_from: maybeText,
  newer_revision: maybeText,
  received_on: day,
  finished_on: maybeText,
  work_type: text,
  warranty: z.boolean().nullable(),
  claim_no: maybeText,
  complaint: maybeText,
  technician: maybeText,
  bench_id: maybeText,
  engine_hours: maybeReal,
  bench_hours: maybeReal,
  labour_hours: maybeReal,
  branch: maybeText,
  stated_result: maybeText,
  note: maybeText,
  file: text,
  row_no: int,
  spec_file: text,
  spec_row_no: int,
  elements: int,
  firing_order: text,
  closure_angles_deg: maybeText,
  lift_mm: real,
  adjuster: z.enum(['barrel_shim', 'tappet_shim', 'tappet_screw']),
  first_pass: answer,
  as_left: verdict,
  stages_asked: int,
  stages_counted: int,
  received_error_deg: maybeReal,
  left_error_deg: maybeReal,
  lift_rate_basis: text,
  tolerance_assumed: yesNo,
  excluded_draws: int,
  screw_mm_per_turn: maybeReal,
  balance_by: z.enum(['barrel', 'sleeve']),
  as_left_decision: verdict,
  breaking: int,
  weakening: int,
});
export type JobCard = z.infer<typeof row>;

/**
 * One job card with the specification revision it was worked to, and how it came out. `newer_revision` names a revision of
 * the same sheet that was already valid on the day received but was not used.
 */
export const jobCard = question<{ readonly id: string }, JobCard>(
  'jobCard',
  row,
  (args) => [args.id],
  `select j.job_id, j.pump_serial, j.pump_model, j.spec_id, j.spec_revision, s.valid_from::varchar as valid_from,
    (
      select max_by(later.revision, later.valid_from) from specs later
      where later.spec_id = j.spec_id and later.valid_from <= j.received_on and later.valid_from > s.valid_from
    ) as newer_revision,
    j.received_on::varchar as received_on, j.finished_on::varchar as finished_on, j.work_type, j.warranty, j.claim_no, j.complaint,
    j.technician, j.bench_id, j.engine_hours, j.bench_hours, j.labour_hours, j.branch, j.stated_result, j.note,
    src.file, j.row_no, spec_src.file as spec_file, s.row_no as spec_row_no,
    s.elements, s.firing_order, s.closure_angles_deg, s.lift_mm, coalesce(s.adjuster, 'barrel_shim') as adjuster,
    s.screw_mm_per_turn, coalesce(s.balance_by, 'barrel') as balance_by,
    o.first_pass, o.as_left, o.stages_asked, o.stages_counted, o.received_error_deg, o.left_error_deg,
    o.lift_rate_basis, o.tolerance_assumed, o.excluded_draws,
    o.as_left_decision, o.breaking, o.weakening
  from jobs j
  join outcomes o on o.job_no = j.job_no
  join specs s on s.spec_no = j.spec_no
  join sources src on src.source_no = j.source_no
  join sources spec_src on spec_src.source_no = s.source_no
  where j.job_id = $1::varchar`,
);
