import { z } from 'zod';
import { slopeWithin, type Slope } from '../../stats/slope';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { SUMS_WITHIN } from './reworkByModel';
import { int, real } from './rows';

/**
 * Draws of all elements at a test point (rounds) after the first one that followed assembly. One is called for where a correction went
 * before it or where the round before it did not count; the others were drawn again of the shop's own will.
 */
export interface SecondDraws {
  readonly jobs: number;
  readonly rounds: number;
  /** Those called for, and all of them. */
  readonly low: number;
  readonly high: number;
}

/** Bench hours that go with each second draw, from the shop's own jobs: the slope within model and type of work. */
export interface HoursPerDraw {
  readonly n: number;
  readonly hours: Slope | null;
}

const row = z
  .object({ jobs: int, rounds: int, low: int, high: int, n: int, groups: int, sxx: real, sxy: real, syy: real })
  .transform(({ jobs, rounds, low, high, ...sums }): { draws: SecondDraws; perDraw: HoursPerDraw } => ({
    draws: { jobs, rounds, low, high },
    perDraw: { n: sums.n, hours: slopeWithin(sums) },
  }));

/** Second draws of the picked jobs, and what one takes. */
export const secondDraws = question<Filters, z.infer<typeof row>>(
  'secondDraws',
  row,
  filterValues,
  `with ${PICKED_JOBS},
  of_job as (select p.pump_model, p.work_type, p.bench_hours as hours, d.again as times, d.rounds, d.called_for
    from job_digests d join picked p using (job_no) where d.rounds > 0)
  select counts.*, sums.*
  from (select count_if(times > 0)::integer as jobs, coalesce(sum(rounds), 0)::integer as rounds,
      coalesce(sum(called_for), 0)::integer as low, coalesce(sum(times), 0)::integer as high from of_job) counts
    cross join (${SUMS_WITHIN}) sums`,
);
