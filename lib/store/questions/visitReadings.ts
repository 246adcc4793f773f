import { z } from 'zod';
import { question } from '../question';
import { baselineBasis } from './retentionBaseline';
import { day, int, maybeInt, maybeReal, stackHeight, text } from './rows';

const row = z.object({
  job_id: text,
  received_on: day,
  element: int,
  /** Low-speed retention, 0 to 1. */
  retention_received: maybeReal,
  retention_left: maybeReal,
  /** Retention deficit, 0 to 1, below 0 where more is kept than the baseline; empty without a baseline. */
  deficit_received: maybeReal,
  deficit_left: maybeReal,
  basis: baselineBasis.nullable(),
  /** As-left runs after new plungers and barrels that a baseline of that basis rests on. */
  baseline_runs: maybeInt,
  /** Phase error as received and what is allowed either way [degrees of camshaft]. */
  error_received_deg: maybeReal,
  tolerance_deg: maybeReal,
  /** Stack before the job's first change and after its last, of a split pair the mean of its halves [mm]. */
  stack_before_mm: maybeReal,
  stack_after_mm: maybeReal,
  /** Whether the element got a new plunger and barrel in the job. */
  fitted: z.boolean(),
  /** Rotation in the job, and after it since the last new plunger and barrel in the log [deg, signed]; empty where no element
   * of the pump was ever turned. In the job that fits them, turns after run 0 were the old barrel's and are not counted. */
  rotation_made_deg: maybeReal,
  rotation_used_deg: maybeReal,
  /** What the slot allows end to end [deg]; empty where not stated, or where sleeves are turned. */
  slot_deg: maybeReal,
});
export type VisitReading = z.infer<typeof row>;

/** The elements of each job of the serial number in $1, and whether each got a new plunger and barrel. */
export const ELEMENTS = `visit as (select job_no, job_id, received_on, spec_no from jobs where pump_serial = $1::varchar),
  cells as (
    select v.job_no, v.job_id, v.received_on, e.element::integer as element, f.job_no is not null as fitted,
      case when s.balance_by = 'sleeve' then null else s.slot_deg end as slot_deg
    from visit v join specs s on s.spec_no = v.spec_no
    cross join unnest(range(1, s.elements + 1)) as e(element)
    left join fitted f on f.job_no = v.job_no and f.element = e.element
  )`;

/** Those with how far each barrel was turned, in the job and up to it. Needs ELEMENTS before it. */
export const ROTATED = `turned as (
    select job_no, element, sum(made_deg) as made, sum(made_deg) filter (where run > 0) as after_assembly
    from rotations where made_deg is not null and job_no in (select job_no from visit) group by job_no, element
  ),
  spells as (
    select c.*, t.made, coalesce(case when c.fitted then t.after_assembly else t.made end, 0) as counts,
      count(*) filter (where c.fitted) over (partition by c.element order by c.received_on, c.job_no) as spell,
      count(t.made) over () > 0 as ever_turned
    from cells c left join turned t on t.job_no = c.job_no and t.element = c.element
  ),
  rotated as (
    select *, case when ever_turned
      then sum(counts) over (partition by element, spell order by received_on, job_no) end as used
    from spells
  )`;

/** Of one serial number: each element at each visit, with what shows its wear. */
export const visitReadings = question<{ readonly serial: string }, VisitReading>(
  'visitReadings',
  row,
  (args) => [args.serial],
  `with ${ELEMENTS},
  kept as (
    select job_no, element, min(basis) as basis, max(runs) as runs,
      avg(retention) filter (where run = 0) as received,
      max_by(retention, run) filter (where run > 0) as left_at,
      avg(deficit) filter (where run = 0) as deficit_received,
      max_by(deficit, run) filter (where run > 0 and deficit is not null) as deficit_left
    from deficits where job_no in (select job_no from visit) group by job_no, element
  ),
  stack as (
    select job_no, element,
      min_by(${stackHeight('before')}, run) as before_mm,
      max_by(${stackHeight('after')}, run) filter (where ${stackHeight('after')} is not null) as after_mm
    from shims where job_no in (select job_no from visit) group by job_no, element
  ),
  ${ROTATED}
  select r.job_id, r.received_on::varchar as received_on, r.element,
    k.received::double as retention_received, k.left_at::double as retention_left,
    k.deficit_received::double as deficit_received, k.deficit_left::double as deficit_left,
    k.basis, k.runs::integer as baseline_runs,
    f.error_deg as error_received_deg, t.tolerance_deg,
    s.before_mm::double as stack_before_mm, s.after_mm::double as stack_after_mm,
    r.fitted, r.made::double as rotation_made_deg, r.used::double as rotation_used_deg, r.slot_deg
  from rotated r
  left join kept k on k.job_no = r.job_no and k.element = r.element
  left join phasing f on f.job_no = r.job_no and f.element = r.element and f.run = 0
  left join timing t on t.job_no = r.job_no and t.run = 0
  left join stack s on s.job_no = r.job_no and s.element = r.element
  order by r.element, r.received_on, r.job_no`,
);
