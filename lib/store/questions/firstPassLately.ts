import { z } from 'zod';
import { filterValues, ofOneModel, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { told } from '../tables';
import { day, int, rate, text, type Rate } from './rows';

/** With fewer counted jobs than this on one side, a comparison says so and nothing more. */
export const ENOUGH_JOBS = 10;

export type Change = 'higher' | 'lower' | 'no clear change' | 'not enough jobs to say';

/** In one word whether the rate moved: clear only where the two intervals do not overlap. */
export function changeBetween(before: Rate, lately: Rate): Change {
  if (before.n < ENOUGH_JOBS || lately.n < ENOUGH_JOBS) return 'not enough jobs to say';
  if (before.low === null || before.high === null || lately.low === null || lately.high === null) {
    return 'not enough jobs to say';
  }
  if (lately.low > before.high) return 'higher';
  if (lately.high < before.low) return 'lower';
  return 'no clear change';
}

const row = z
  .object({
    pump_model: text,
    since: day,
    newest: day,
    passed_before: int,
    counted_before: int,
    passed_lately: int,
    counted_lately: int,
  })
  .transform((r) => {
    const before = rate(r.passed_before, r.counted_before);
    const lately = rate(r.passed_lately, r.counted_lately);
    return {
      pump_model: r.pump_model,
      since: r.since,
      newest: r.newest,
      before,
      lately,
      change: changeBetween(before, lately),
    };
  });
export type ModelLately = z.infer<typeof row>;

/**
 * First pass of each model over the last twelve months of the log against all of it before. The months end with the newest
 * job received (up to the picked last day), so an old log reads the same on any day.
 */
export const firstPassLately = question<Filters, ModelLately>(
  'firstPassLately',
  row,
  filterValues,
  `with ${PICKED_JOBS},
  newest as (
    select max(received_on) as newest, cast(max(received_on) - interval 12 month as date) as since
    from jobs where ($2::varchar = '' or received_on <= cast(nullif($2::varchar, '') as date))
  ),
  answered as (
    select p.pump_model, o.first_pass, p.received_on > n.since as lately, n.since, n.newest
    from picked p join ${told('outcomes', 'job_no', 'first_pass')} o on o.job_no = p.job_no cross join newest n
    where o.first_pass <> 'not counted'
  )
  select
    pump_model,
    any_value(since)::varchar as since,
    any_value(newest)::varchar as newest,
    (count(*) filter (where not lately and first_pass = 'yes'))::integer as passed_before,
    (count(*) filter (where not lately))::integer as counted_before,
    (count(*) filter (where lately and first_pass = 'yes'))::integer as passed_lately,
    (count(*) filter (where lately))::integer as counted_lately
  from answered group by pump_model order by pump_model`,
  ofOneModel,
);
