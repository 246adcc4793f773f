import { z } from 'zod';
import { slopeWithin } from '../../stats/slope';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { SUMS_WITHIN } from './reworkByModel';
import { int, real } from './rows';

/**
 * Draws of all elements at a test point (rounds) after the first one that followed assembly. One is called for where a correction went
 * before it or where the round before it did not count; the others were drawn again of the shop's own will.
 */
const countRow = z.object({ jobs: int, rounds: int, low: int, high: int });
export type SecondDraws = z.infer<typeof countRow>;

/** Second draws of the picked jobs: those called for, and all of them. */
export const secondDraws = question<Filters, SecondDraws>(
  'secondDraws',
  countRow,
  filterValues,
  `with ${PICKED_JOBS}
  select (count(*) filter (where again > 0))::integer as jobs, coalesce(sum(rounds), 0)::integer as rounds,
    coalesce(sum(called_for), 0)::integer as low, coalesce(sum(again), 0)::integer as high
  from job_digests semi join picked using (job_no) where rounds > 0`,
);

const hoursRow = z
  .object({ n: int, groups: int, sxx: real, sxy: real, syy: real })
  .transform((sums) => ({ n: sums.n, hours: slopeWithin(sums) }));
export type HoursPerDraw = z.infer<typeof hoursRow>;

/** Bench hours that go with each second draw, from the shop's own jobs: the slope within model and type of work. */
export const hoursPerDraw = question<Filters, HoursPerDraw>(
  'hoursPerDraw',
  hoursRow,
  filterValues,
  `with ${PICKED_JOBS},
  of_job as (select p.pump_model, p.work_type, p.bench_hours as hours, d.again as times
    from job_digests d join picked p using (job_no) where d.rounds > 0)
  ${SUMS_WITHIN}`,
);
