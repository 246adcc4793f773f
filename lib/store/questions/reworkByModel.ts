import { z } from 'zod';
import { slopeWithin, sumsOfAll, type CentredSums, type Slope } from '../../stats/slope';
import { filterValues, ofOneModel, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { adjuster, int, ONE_ADJUSTER, real, text } from './rows';

const modelRow = z.object({
  pump_model: text,
  /** What is set in these jobs; empty where they differ. */
  adjuster: adjuster.nullable(),
  /** Jobs whose plans reach tolerance in every run. */
  jobs: int,
  /** Those of them in which a barrel came off after run 1. */
  reworked: int,
  done: int,
  enough: int,
  done_mm: real,
  enough_mm: real,
  /** Barrels that need not have been changed: counted run by run, and as if the first correction had been the plan. */
  spare_low: int,
  spare_high: int,
});
export type ReworkOfModel = z.infer<typeof modelRow>;

/** What was done to stacks after the first measurement beside what would have been enough, by model. */
export const reworkByModel = question<Filters, ReworkOfModel>(
  'reworkByModel',
  modelRow,
  filterValues,
  `with ${PICKED_JOBS}
  select p.pump_model, ${ONE_ADJUSTER} as adjuster, count(*)::integer as jobs, (count(*) filter (where done > 0))::integer as reworked,
    sum(done)::integer as done, (sum(enough) filter (where done > 0))::integer as enough,
    sum(done_mm)::double as done_mm, coalesce(sum(enough_mm) filter (where done > 0), 0)::double as enough_mm,
    sum(least(spare, greatest(spare, done - enough)))::integer as spare_low,
    sum(greatest(spare, done - enough))::integer as spare_high
  from rework join picked p using (job_no) join specs s on s.spec_no = p.spec_no
  group by p.pump_model having sum(done) > 0 order by spare_high desc, p.pump_model`,
  ofOneModel,
);

/** By model: sums of squares and products of the hours and times of `of_job`, each less the mean of its model and type of work. */
export const SUMS_WITHIN = `select pump_model, sum(n)::integer as n, count(*)::integer as groups, sum(sxx)::double as sxx,
    sum(sxy)::double as sxy, sum(syy)::double as syy
  from (select pump_model, count(*) as n, regr_sxx(hours, times) as sxx, regr_sxy(hours, times) as sxy, regr_syy(hours, times) as syy
    from of_job where hours is not null group by pump_model, work_type) group by pump_model`;

/** The columns of those sums. */
export const sumsRow = { n: int, groups: int, sxx: real, sxy: real, syy: real };

/** Bench hours that go with each of something, from the shop's own jobs: the slope within model and type of work. */
export interface HoursEach {
  /** Jobs with hours. */
  readonly n: number;
  readonly hours: Slope | null;
}

/** Over all the models that were asked for. */
export function hoursEach(models: readonly CentredSums[]): HoursEach {
  const sums = sumsOfAll(models);
  return { n: sums.n, hours: slopeWithin(sums) };
}

const hoursRow = z.object({ pump_model: text, ...sumsRow });
export type HoursOfModel = z.infer<typeof hoursRow>;

/** What `hoursEach` tells of barrels changed after run 1. It holds whatever goes with a correction, such as measuring again. */
export const hoursPerBarrel = question<Filters, HoursOfModel>(
  'hoursPerBarrel',
  hoursRow,
  filterValues,
  `with ${PICKED_JOBS},
  of_job as (select p.pump_model, p.work_type, p.bench_hours as hours, r.done as times from rework r join picked p using (job_no))
  ${SUMS_WITHIN} order by pump_model`,
  ofOneModel,
);
