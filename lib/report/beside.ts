import type { Unit } from '../units/units';
import { basisOf, judgedFigures, verdictOf } from './judged';
import type { JobParts } from './parts';
import type { Beside, Judged } from './record';
import { num, txt, type Row } from './rows';

/** Each figure as received beside the same as left: run 0, and the last later run in which it was measured. */

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

export function receivedAndLeft(parts: Pick<JobParts, 'results'>): readonly Beside[] {
  const groups = new Map<string, Seen[]>();
  for (const seen of [...judgedFigures(parts), ...deliveries(parts)]) {
    if (seen.value === null) continue;
    const group = groups.get(keyOf(seen)) ?? [];
    group.push(seen);
    groups.set(keyOf(seen), group);
  }
  return [...groups.values()].flatMap((group): Beside[] => {
    const received = group.find(({ run }) => run === 0);
    const later = group.filter(({ run }) => run > 0);
    const left = later.reduce<Seen | undefined>(
      (last, each) => (last === undefined || each.run > last.run ? each : last),
      undefined,
    );
    const told = left ?? received;
    if (told === undefined) return [];
    return [
      {
        figure: told.figure,
        run: told.run,
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
      },
    ];
  });
}
