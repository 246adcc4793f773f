import type { TableName } from '../log/table';

/** Days within which a pump goes round the benches (ours). */
export const ROUND_DAYS = 30;

const changed = (after: string, before: string): string =>
  `(isfinite(${after}) and isfinite(${before}) and ${after} <> ${before})`;

/** The jobs in which a stack or a barrel was changed, by the rows of shims and of barrels. */
export const adjustedIn = (shims: string, barrels: string): string =>
  `select job_no from ${shims} where ${changed('after_mm', 'before_mm')} or ${changed('after_second_mm', 'before_second_mm')}
    union select job_no from ${barrels} where rotation_deg <> 0`;

/**
 * Jobs in which one and the same pump was read on several benches: only tested, nothing set and nothing fitted, on two benches or
 * more within a month, and not worked on within a month of it. `pump` tells its rounds apart, as it may go round every year.
 */
export const benchRounds = (view: (name: TableName) => string): string => `with tested as (
    select job_no, pump_serial, bench_id, received_on,
      received_on - lag(received_on) over (partition by pump_serial order by received_on, job_no) as gap
    from ${view('jobs')} anti join (select job_no from ${view('parts')}) fitted using (job_no)
      anti join (${adjustedIn(view('shims'), view('barrels'))}) adjusted using (job_no)
    where work_type = 'test' and bench_id is not null
  ), tour as (
    select *, count(*) filter (where gap is null or gap > ${ROUND_DAYS}) over (partition by pump_serial order by received_on, job_no) as no
    from tested
  ), touched as (
    select t.job_no from tour t join ${view('jobs')} o on o.pump_serial = t.pump_serial and o.work_type <> 'test'
      and o.received_on between t.received_on - ${ROUND_DAYS} and t.received_on + ${ROUND_DAYS}
  )
  select job_no, pump_serial || chr(30) || no::varchar as pump from tour anti join touched using (job_no)
  qualify min(bench_id) over (partition by pump_serial, no) <> max(bench_id) over (partition by pump_serial, no)`;
