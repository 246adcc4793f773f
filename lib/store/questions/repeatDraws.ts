import { z } from 'zod';
import { varianceInterval } from '../../stats/varianceIntervals';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
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
  `with ${PICKED_JOBS}
  select p.bench_id, n.test_point, sum(d.readings)::integer as readings,
    sum(d.repeats)::integer as repeats, (sum(d.squares) / sum(d.freedom))::double as mean_square
  from repeated_draws d join picked p using (job_no) join point_numbers n using (point) where p.bench_id is not null
  group by grouping sets ((p.bench_id), (p.bench_id, n.test_point))
  order by p.bench_id, n.test_point nulls first`,
);
