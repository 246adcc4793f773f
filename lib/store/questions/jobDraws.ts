import { z } from 'zod';
import { perStroke } from '../../calc/delivery/delivery';
import { question } from '../question';
import { int, maybeReal, maybeText, real, text } from './rows';

const row = z
  .object({
    run: int,
    point: int,
    repeat: int,
    element: int,
    volume_cm3: real,
    strokes: int,
    speed_rpm: maybeReal,
    rack_mm: maybeReal,
    fluid_c: maybeReal,
    feed_kpa: maybeReal,
    stated_mm3_per_stroke: maybeReal,
    /** Why the draw does not count; empty where it does. */
    reasons: maybeText,
    file: text,
    row_no: int,
  })
  .transform((r) => ({ ...r, mm3_per_stroke: perStroke(r.volume_cm3, r.strokes) }));
export type JobDraw = z.infer<typeof row>;

/** Every draw of one job as read, with its delivery per stroke and with its reasons where it does not count. */
export const jobDraws = question<{ readonly id: string }, JobDraw>(
  'jobDraws',
  row,
  (args) => [args.id],
  `with this as (select job_no from jobs where job_id = $1::varchar),
  why as (
    select run, point, element, repeat, string_agg(reason, '; ' order by reason) as reasons
    from excluded where job_no in (select job_no from this) group by run, point, element, repeat
  )
  select d.run, d.point, d.repeat, d.element, d.volume_cm3, d.strokes, d.speed_rpm, d.rack_mm, d.fluid_c, d.feed_kpa,
    d.stated_mm3_per_stroke, why.reasons, src.file, d.row_no
  from draws d
  join sources src on src.source_no = d.source_no
  left join why on why.run = d.run and why.point = d.point and why.element = d.element and why.repeat = d.repeat
  where d.job_no in (select job_no from this)
  order by d.point, d.run, d.element, d.repeat`,
);
