import { z } from 'zod';
import { filterValues, narrowed, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { ADJUSTER, adjuster, day, int, maybeReal, maybeText, real, text } from './rows';

/** How many changes are listed at most. */
export const LISTED_CHANGES = 200;

const row = z.object({
  job_id: text,
  pump_serial: text,
  pump_model: text,
  received_on: day,
  run: int,
  element: int,
  error_deg: maybeReal,
  shim_change_mm: maybeReal,
  made_mm: real,
  batch: maybeText,
  adjuster,
});
export type ShimChangeRow = z.infer<typeof row>;

/** The newest changes made to stacks, one a row, with the error they answered and what it called for. */
export const latestShimChanges = question<Filters & { readonly element: number | null }, ShimChangeRow>(
  'latestShimChanges',
  row,
  (args) => [...filterValues(args), narrowed(args.element)],
  `with ${PICKED_JOBS},
  latest as (
    select p.job_no, p.job_id, p.pump_serial, p.pump_model, p.received_on, f.run, f.element, f.error_deg, f.shim_change_mm, f.made_mm,
      ${ADJUSTER} as adjuster
    from picked p join stack_changes f on f.job_no = p.job_no join specs s on s.spec_no = p.spec_no
    where ($6::varchar = '' or f.element = try_cast($6::varchar as integer))
    order by p.received_on desc, p.job_no desc, f.run, f.element
    limit ${LISTED_CHANGES}
  )
  select l.* exclude (job_no) replace (l.received_on::varchar as received_on), h.batch
  from latest l left join shims h on h.job_id = l.job_id and h.run = l.run and h.element = l.element
  order by l.received_on desc, l.job_no desc, l.run, l.element`,
);
