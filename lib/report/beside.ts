import type { Unit } from '../units/units';
import { basisOf, judgedFigures, verdictOf } from './judged';
import type { JobParts } from './parts';
import type { Beside, Judged } from './record';
import { num, txt, type Row } from './rows';

/** Each figure as received, in run 0, beside the same as left, in the last run in which its stage was measured. */

interface Seen {
  readonly figure: string;
  readonly run: number;
  readonly test_point: string | null;
  readonly check_id: string | null;
  readonly at_rpm: number | null;
  readonly at_boost_kpa: number | null;
  readonly element: number | null;
  readonly value: number | null;
  readonly unit: Unit;
  readonly low: number | null;
  readonly high: number | null;
  readonly verdict: Judged['verdict'];
}

/** A delivery is told beside its band even where the spread is what decides. */
const deliveries = ({ results }: Pick<JobParts, 'results'>): readonly Seen[] => {
  const at = (row: Row): string => `${num(row, 'run') ?? ''} ${txt(row, 'test_point') ?? ''}`;
  const points = new Map(results.points.map((row) => [at(row), row]));
  return results.deliveries.flatMap((row): Seen[] => {
    const point = points.get(at(row));
    // Where no spread is asked for they are among the judged figures already.
    if (point === undefined || basisOf(point) === null || num(row, 'mm3_per_stroke') === null) return [];
    return [
      {
        figure: 'delivery',
        run: num(row, 'run') ?? -1,
        test_point: txt(row, 'test_point'),
        check_id: null,
        at_rpm: null,
        at_boost_kpa: null,
        element: num(row, 'element'),
        value: num(row, 'mm3_per_stroke'),
        unit: 'mm3_per_stroke',
        low: num(point, 'low_mm3'),
        high: num(point, 'high_mm3'),
        verdict: verdictOf(row, 'verdict'),
      },
    ];
  });
};

const keyOf = (seen: Seen): string =>
  JSON.stringify([
    seen.figure,
    seen.test_point,
    seen.check_id,
    seen.at_rpm,
    seen.at_boost_kpa,
    seen.element,
    seen.unit,
  ]);

/** The last run of each stage, by its test point; the other stages by their name. */
function leftRuns({ stages }: JobParts['results']): (seen: Seen) => number | null {
  const runs = new Map(
    stages.map((row) => [txt(row, 'test_point') ?? txt(row, 'stage') ?? '', num(row, 'as_left_run') ?? -1]),
  );
  return ({ test_point, check_id }) => {
    const run = runs.get(test_point ?? (check_id === null ? 'timing and phasing' : 'governor')) ?? -1;
    return run < 0 ? null : run;
  };
}

export function receivedAndLeft({ results }: Pick<JobParts, 'results'>): readonly Beside[] {
  const leftRun = leftRuns(results);
  const groups = new Map<string, [Seen, ...Seen[]]>();
  for (const seen of [...judgedFigures({ results }), ...deliveries({ results })]) {
    if (seen.value === null) continue;
    const group = groups.get(keyOf(seen));
    if (group === undefined) groups.set(keyOf(seen), [seen]);
    else group.push(seen);
  }
  return [...groups.values()].map((group): Beside => {
    const [told] = group;
    const run = leftRun(told);
    const received = group.find((seen) => seen.run === 0);
    const left = group.find((seen) => seen.run === run);
    return {
      figure: told.figure,
      run,
      test_point: told.test_point,
      check_id: told.check_id,
      at_rpm: told.at_rpm,
      at_boost_kpa: told.at_boost_kpa,
      element: told.element,
      unit: told.unit,
      low: told.low,
      high: told.high,
      received: received?.value ?? null,
      received_verdict: received?.verdict ?? 'not measured',
      left: left?.value ?? null,
      left_verdict: left?.verdict ?? 'not measured',
    };
  });
}
