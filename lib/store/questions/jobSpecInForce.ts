import { z } from 'zod';
import { question } from '../question';
import { int, maybeText, text, yesNo } from './rows';

const row = z.object({
  revision: text,
  /** First day on which it is the one to use; empty where the sheet does not say. */
  valid_from: maybeText,
  /** Whether the job was worked to it. */
  used: yesNo,
  /** Whether it was the latest one valid on the day the pump came in. */
  in_force: yesNo,
  file: text,
  row_no: int,
});
export type SpecRevision = z.infer<typeof row>;

/** All revisions of the sheet that one job was worked to, and which of them was in force on the day the pump came in. */
export const jobSpecInForce = question<{ readonly id: string }, SpecRevision>(
  'jobSpecInForce',
  row,
  (args) => [args.id],
  `with this as (select spec_id, spec_no, received_on from jobs where job_id = $1::varchar),
  of_sheet as (select s.* from specs s join this using (spec_id)),
  latest as (select max(o.valid_from) as day from of_sheet o, this where o.valid_from <= this.received_on)
  select o.revision, o.valid_from::varchar as valid_from,
    case when o.spec_no = this.spec_no then 'yes' else 'no' end as used,
    case when o.valid_from = latest.day then 'yes' else 'no' end as in_force,
    src.file, o.row_no
  from of_sheet o cross join this cross join latest join sources src on src.source_no = o.source_no
  order by o.valid_from nulls first, o.revision`,
);
