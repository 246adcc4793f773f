import { z } from 'zod';
import { varianceInterval } from '../../stats/varianceIntervals';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { COUNTING_DRAWS } from './baseDraws';
import { int, maybeText, real, text } from './rows';

/** Fewer draws beyond the first do not tell a scatter (ours). */
export const FEWEST_REPEATS = 10;

const row = z
  .object({
    bench_id: text,
    /** Empty for all test points together. */
    test_point: maybeText,
    /** Readings of single elements that were repeated, and draws beyond the first. */
    readings: int,
    repeats: int,
    mean_square: real,
  })
  .transform(({ mean_square, ...of }) => {
    if (of.repeats < FEWEST_REPEATS) return { ...of, sd: null };
    const { low, high } = varianceInterval([{ factor: 1, meanSquare: mean_square, freedom: of.repeats }]);
    return { ...of, sd: { sd: Math.sqrt(mean_square), low: Math.sqrt(low), high: Math.sqrt(high) } };
  });
export type Repeatability = z.infer<typeof row>;

/**
 * Scatter of repeat draws that count, by bench [mm3/stroke]: pooled over elements within job, run and test point, at each test point and
 * at all. The elements of one draw share its rack and its speed, so the interval counts draws beyond the first, not readings.
 */
export const repeatDraws = question<Filters, Repeatability>(
  'repeatDraws',
  row,
  filterValues,
  `with ${PICKED_JOBS}, ${COUNTING_DRAWS},
  cell as (
    select bench_id, job_no, run, point, element, count(*) as n, var_samp(q) * (count(*) - 1) as squares
    from counting where bench_id is not null group by all having count(*) >= 2
  ), drawn as (
    select bench_id, point, count(*) as readings, sum(n - 1) as freedom, max(n) - 1 as repeats, sum(squares) as squares
    from cell group by bench_id, job_no, run, point
  )
  select d.bench_id, n.test_point, sum(d.readings)::integer as readings,
    sum(d.repeats)::integer as repeats, (sum(d.squares) / sum(d.freedom))::double as mean_square
  from drawn d join point_numbers n using (point) group by grouping sets ((d.bench_id), (d.bench_id, n.test_point))
  order by d.bench_id, n.test_point nulls first`,
);
