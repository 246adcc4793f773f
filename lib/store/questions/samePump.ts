import { z } from 'zod';
import { codes } from '../../calc/layout';
import { question } from '../question';
import { answer, day, int, maybeInt, maybeReal, maybeText, stackHeight, text, verdict } from './rows';
import { ELEMENTS, ROTATED } from './visitReadings';

/** The jobs of the pump that a job was done on: what lib/report/samePump sets side by side. */

const jobRow = z.object({
  job_id: text,
  received_on: day,
  /** The day the work was finished, or received where none is written. */
  left_on: day,
  work_type: z.enum(['test', 'recalibrate', 'rebuild']),
  warranty: z.boolean().nullable(),
  complaint: maybeText,
  note: maybeText,
  engine_hours: maybeReal,
  elements: int,
  first_pass: answer,
  as_left: verdict,
  /** Findings that break or weaken the proof. */
  breaking: int,
  weakening: int,
  /** Scatter over the elements at the light draw [percent of their mean]. */
  light_point: maybeText,
  scatter_received: maybeReal,
  scatter_left: maybeReal,
  /** Low-speed retention of a sound element, where the sheet states one. */
  stated_retention: maybeReal,
});
export type SamePumpJob = z.infer<typeof jobRow>;

const OF_SERIAL = `(select pump_serial from jobs where job_id = $1::varchar)`;
const args = ({ id }: { readonly id: string }): readonly string[] => [id];

/** All jobs of the same serial number, this one among them, in the order received. */
export const samePumpJobs = question<{ readonly id: string }, SamePumpJob>(
  'samePumpJobs',
  jobRow,
  args,
  `with scattered as (
    select job_no, min(test_point) as light_point,
      (max(scatter_percent) filter (where run = 0))::double as received,
      (max_by(scatter_percent, run) filter (where run > 0))::double as left_at
    from light where job_no in (select job_no from jobs where pump_serial = ${OF_SERIAL}) group by job_no
  )
  select j.job_id, j.received_on::varchar as received_on,
    greatest(j.received_on, coalesce(j.finished_on, j.received_on))::varchar as left_on,
    j.work_type, j.warranty, j.complaint, j.note, j.engine_hours, s.elements,
    o.first_pass, o.as_left, o.breaking, o.weakening,
    c.light_point, c.received as scatter_received, c.left_at as scatter_left, s.retention_ratio as stated_retention
  from jobs j join outcomes o on o.job_no = j.job_no join specs s on s.spec_no = j.spec_no
  left join scattered c on c.job_no = j.job_no
  where j.pump_serial = ${OF_SERIAL}
  order by j.received_on, j.job_no`,
);

const elementRow = z.object({
  job_id: text,
  element: int,
  /** Whether it got a new plunger and barrel in the job. */
  fitted: z.boolean(),
  /** The two test points that the retention is told from. */
  points: maybeText,
  /** Low-speed retention, 0 to 1. */
  retention_received: maybeReal,
  retention_left: maybeReal,
  /** The rack that the leak slope is told at: of those with the most speeds the largest [mm]. */
  leak_rack_mm: maybeReal,
  /** Leak slope [mm3/stroke times rpm]. */
  leak_received: maybeReal,
  leak_left: maybeReal,
  /** What was changed in the job, all runs together: stack under the element [mm], barrel [deg]; empty where nothing was written. */
  shim_mm: maybeReal,
  turned_deg: maybeReal,
  /** Rotation since the last new plunger and barrel [deg], and what the slot allows end to end. */
  rotation_used_deg: maybeReal,
  slot_deg: maybeReal,
});
export type SamePumpElement = z.infer<typeof elementRow>;

/** Each element in each of those jobs. */
export const samePumpElements = question<{ readonly id: string }, SamePumpElement>(
  'samePumpElements',
  elementRow,
  args,
  `with ${ELEMENTS.replaceAll('$1::varchar', OF_SERIAL)},
  ${ROTATED},
  pairs as (
    select job_no, element, low_test_point || ' over ' || rated_test_point as points,
      avg(retention) filter (where run = 0) as received, max_by(retention, run) filter (where run > 0) as left_at
    from retention where retention is not null and job_no in (select job_no from visit)
    group by job_no, element, low_test_point, rated_test_point
    qualify row_number() over (partition by job_no, element order by low_test_point, rated_test_point) = 1
  ),
  slopes as (
    select job_no, element, rack_mm,
      max(slope_mm3_rpm) filter (where run = 0) as received, max_by(slope_mm3_rpm, run) filter (where run > 0) as left_at
    from leakage where slope_mm3_rpm is not null and job_no in (select job_no from visit)
    group by job_no, element, rack_mm
    qualify row_number() over (partition by job_no, element order by max(speeds) desc, rack_mm desc) = 1
  ),
  stacks as (
    select job_no, element, sum(${stackHeight('after')} - ${stackHeight('before')}) as shim_mm
    from shims where ${stackHeight('after')} is not null and job_no in (select job_no from visit) group by job_no, element
  )
  select r.job_id, r.element, r.fitted, p.points, p.received::double as retention_received, p.left_at::double as retention_left,
    l.rack_mm as leak_rack_mm, l.received::double as leak_received, l.left_at::double as leak_left,
    s.shim_mm::double as shim_mm, r.made::double as turned_deg, r.used::double as rotation_used_deg, r.slot_deg
  from rotated r
  left join pairs p on p.job_no = r.job_no and p.element = r.element
  left join slopes l on l.job_no = r.job_no and l.element = r.element
  left join stacks s on s.job_no = r.job_no and s.element = r.element
  order by r.received_on, r.job_no, r.element`,
);

const findingRow = z.object({
  job_id: text,
  finding: z.enum(codes.finding),
  severity: z.enum(codes.severity),
  n: int,
  /** The element where one is named, else empty. */
  element: maybeInt,
});
export type SamePumpFinding = z.infer<typeof findingRow>;

/** What stands against the proof of each of those jobs, counted. */
export const samePumpFindings = question<{ readonly id: string }, SamePumpFinding>(
  'samePumpFindings',
  findingRow,
  args,
  `select j.job_id, f.finding, f.severity, count(*)::integer as n, nullif(f.element, 0) as element
  from findings f join jobs j on j.job_no = f.job_no
  where j.pump_serial = ${OF_SERIAL} and f.severity <> 'for information'
  group by all order by j.job_id, f.finding, element`,
);
