import { z } from 'zod';
import { welch } from '../../stats/welch';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { namesIn, namesOf, numbersIn, numbersOf } from './returnVisits';
import { maybeText } from './rows';

/** Fewer pumps that came to a bench, or that left it, are not told (ours). */
export const FEWEST_MOVES = 10;
/** Pumps that came back later than this have worn too far to compare (ours) [months]. */
export const LATEST_MOVE = 24;

/** How much a bench reads over the others by pumps that were left on one bench and came in on another. */
export interface BenchMove {
  readonly bench_id: string;
  /** Pumps that came to it from another bench, and that left it for another. */
  readonly came: number;
  readonly went: number;
  /** [percent of the delivery]; null where there are too few. */
  readonly offset: { readonly offset: number; readonly low: number; readonly high: number } | null;
}
export interface BenchMoves {
  readonly benches: readonly BenchMove[];
  /** Pumps that changed benches. */
  readonly n: number;
}

interface Move {
  readonly from: string;
  readonly to: string;
  readonly percent: number;
}

/**
 * What came to a bench reads its offset less the others', what went reads the others' less its own, and both hold the same wear: half
 * their difference is the offset.
 */
function moveOf(bench_id: string, moves: readonly Move[], benches: number): BenchMove {
  const came = moves.filter(({ to }) => to === bench_id).map(({ percent }) => percent);
  const went = moves.filter(({ from }) => from === bench_id).map(({ percent }) => percent);
  const enough = came.length >= FEWEST_MOVES && went.length >= FEWEST_MOVES;
  const found = enough ? welch(came, went, 1 - 0.05 / benches) : null;
  const half =
    found === null ? null : { offset: found.offset / 2, low: found.interval.low / 2, high: found.interval.high / 2 };
  return { bench_id, came: came.length, went: went.length, offset: half };
}

const row = z
  .object({ came_from: maybeText, went_to: maybeText, percents: maybeText })
  .transform(({ came_from, went_to, percents }): BenchMoves => {
    const [to, values] = [namesOf(went_to), numbersOf(percents)];
    const moves = namesOf(came_from).map((from, k) => ({ from, to: to[k] ?? '', percent: values[k] ?? NaN }));
    const names = [...new Set(moves.flatMap((move) => [move.from, move.to]))].toSorted();
    return { benches: names.map((name) => moveOf(name, moves, names.length)), n: moves.length };
  });

/** Offsets between benches from the same pump drawn again on another bench: as left there, as received here. One row. */
export const benchMoves = question<Filters, BenchMoves>(
  'benchMoves',
  row,
  filterValues,
  `with ${PICKED_JOBS},
  moved as (
    select p.job_no, b.job_no as before_no, b.bench_id as came_from, p.bench_id as went_to
    from picked p join job_cards b on b.job_no = p.before_no
    where p.bench_id <> b.bench_id and p.received_on <= b.out_on + to_months(${LATEST_MOVE})
  ), reading as (
    select r.job_no, r.run, r.left_so, r.mean_mm3, t.test_point, t.speed_rpm, t.rack_mm
    from base_means r join job_cards j using (job_no) join base_points b on b.spec_no = j.spec_no
    join test_points t on t.spec_no = j.spec_no and t.point = b.point
  ),
  move as (
    select m.job_no, m.came_from, m.went_to, 100 * (r.mean_mm3 / l.mean_mm3 - 1) as percent
    from moved m join reading l on l.job_no = m.before_no and l.left_so join reading r on r.job_no = m.job_no and r.run = 0
    -- Written so that the database joins by the jobs and not by the few test points.
    where case when l.test_point = r.test_point and l.speed_rpm = r.speed_rpm and l.rack_mm is not distinct from r.rack_mm then 1 else 0 end > 0
  )
  select ${namesIn('came_from', 'job_no')} as came_from, ${namesIn('went_to', 'job_no')} as went_to,
    ${numbersIn('percent', 'job_no')} as percents from move`,
);
