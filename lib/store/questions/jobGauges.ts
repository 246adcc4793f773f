import { z } from 'zod';
import { question } from '../question';
import { day, int, maybeInt, maybeReal, maybeText, ROWS_OF_THIS_JOB } from './rows';

const row = z.object({
  /** What was read with it. */
  readings_of: z.enum(['closures', 'draws']),
  /** Empty for readings without a gauge written down. */
  instrument_id: maybeText,
  kind: maybeText,
  bench_id: maybeText,
  /** The calibration in force on the day of the readings: the latest from before or on it. */
  calibrated_on: day.nullable(),
  due_on: day.nullable(),
  /** k = 2, in its own unit. */
  expanded_uncertainty: maybeReal,
  unit: maybeText,
  standing: z.enum(['in date', 'past its date', 'without calibration', 'not listed', 'not written down']),
  /** Readings that it took under that calibration, and their first and last day. */
  readings: int,
  first_day: day,
  last_day: day,
  file: maybeText,
  row_no: maybeInt,
});
export type JobGauge = z.infer<typeof row>;

/**
 * The gauges that one job was read with, each with the calibration in force. A draw with a time goes by its own day, any other reading
 * by the day the pump came in, as in the calculation (lib/calc/proof/gauges.ts).
 */
export const jobGauges = question<{ readonly id: string }, JobGauge>(
  'jobGauges',
  row,
  (args) => [args.id],
  `with this as (select job_no, received_on from jobs where job_id = $1::varchar),
  taken as (
    select 'closures' as readings_of, c.instrument_id, this.received_on as day from closures c join this using (job_no) where c.${ROWS_OF_THIS_JOB}
    union all
    select 'draws', d.instrument_id, coalesce(d.taken_at::date, this.received_on) from draws d join this using (job_no)
    where d.${ROWS_OF_THIS_JOB}
  ), held as (
    select t.*, i.calibrated_on, i.due_on, i.kind, i.bench_id, i.expanded_uncertainty, i.unit, i.source_no, i.row_no,
      case when t.instrument_id is null then 'not written down'
        when i.instrument_id is not null then case when t.day >= i.due_on then 'past its date' else 'in date' end
        when exists (select 1 from instruments any_of where any_of.instrument_id = t.instrument_id) then 'without calibration'
        else 'not listed' end as standing
    from taken t asof left join instruments i on i.instrument_id = t.instrument_id and i.calibrated_on <= t.day
  )
  select readings_of, instrument_id, h.kind, h.bench_id, calibrated_on::varchar as calibrated_on, due_on::varchar as due_on,
    expanded_uncertainty::double as expanded_uncertainty, unit, standing, count(*)::integer as readings,
    min(day)::varchar as first_day, max(day)::varchar as last_day, src.file, h.row_no
  from held h left join sources src on src.source_no = h.source_no
  group by all order by readings_of, instrument_id nulls last, calibrated_on, standing`,
);
