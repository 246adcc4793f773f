import { sum } from 'd3-array';
import { z } from 'zod';
import { filterValues, ofOneModel, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { hoursEach, SUMS_WITHIN, sumsRow, type HoursEach } from './reworkByModel';
import { int, text } from './rows';

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

const row = z.object({ pump_model: text, jobs: int, rounds: int, low: int, high: int, ...sumsRow });
export type DrawsOfModel = z.infer<typeof row>;

/** Second draws of the picked jobs by model, and the sums that tell what one takes. */
export const secondDraws = question<Filters, DrawsOfModel>(
  'secondDraws',
  row,
  filterValues,
  `with ${PICKED_JOBS},
  of_job as (select p.pump_model, p.work_type, p.bench_hours as hours, d.again as times, d.rounds, d.called_for
    from job_digests d join picked p using (job_no) where d.rounds > 0)
  select pump_model, jobs, rounds, low, high, coalesce(n, 0) as n, coalesce(groups, 0) as groups, coalesce(sxx, 0) as sxx,
    coalesce(sxy, 0) as sxy, coalesce(syy, 0) as syy
  from (select pump_model, count_if(times > 0)::integer as jobs, sum(rounds)::integer as rounds, sum(called_for)::integer as low,
      sum(times)::integer as high from of_job group by pump_model) counts
    left join (${SUMS_WITHIN}) sums using (pump_model) order by pump_model`,
  ofOneModel,
);

/** Second draws of all those models, and what one takes. */
export function secondDrawsOf(models: readonly DrawsOfModel[]): {
  readonly draws: SecondDraws;
  readonly perDraw: HoursEach;
} {
  const draws = {
    jobs: sum(models, ({ jobs }) => jobs),
    rounds: sum(models, ({ rounds }) => rounds),
    low: sum(models, ({ low }) => low),
    high: sum(models, ({ high }) => high),
  };
  return { draws, perDraw: hoursEach(models) };
}
