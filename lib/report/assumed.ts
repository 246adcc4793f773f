import { ASSUMED_LIFT_RATE } from '../calc/timing/cam';
import { COMMON_PRACTICE } from '../calc/formulas/formula';
import { ASSUMED_REFERENCE_C } from '../calc/delivery/petroleum';
import { ASSUMED_STROKES_UNCERTAINTY } from '../calc/proof/uncertainty';
import { ASSUMED_TOLERANCE_DEG } from '../calc/timing/phasing';
import type { JobParts } from './parts';
import type { AuditRecord } from './record';
import { num, txt, type Row } from './rows';

/** What the specification leaves open and the figures take for granted. */

type Assumed = AuditRecord['assumed'][number];

const says = (rows: readonly Row[], column: string, word = 'yes'): Row | undefined =>
  rows.find((row) => txt(row, column) === word);

const taken = (
  what: string,
  value: number | null,
  unit: Assumed['unit'],
  basis = COMMON_PRACTICE,
): readonly Assumed[] => [{ what, value, unit, basis }];

const setting: Readonly<Record<string, string>> = {
  adjuster: 'Closure is taken to be set by shims under the barrel, as the sheet does not say by what.',
  balance_by: 'Deliveries are taken to be balanced by turning barrels, as the sheet does not say by what.',
};

export function assumedValues({ results, spec }: Pick<JobParts, 'results' | 'spec'>): readonly Assumed[] {
  const [sheet] = spec.sheet;
  const step = says(results.shim_plans, 'step_assumed');
  const speeds = results.points.filter((row) => txt(row, 'speed_tolerance_assumed') === 'yes');
  return [
    ...(says(results.timing, 'tolerance_assumed') === undefined
      ? []
      : taken('Phasing tolerance either way, as the sheet states none.', ASSUMED_TOLERANCE_DEG, 'cam_deg')),
    ...(says(results.timing, 'lift_rate_basis', 'assumed') === undefined
      ? []
      : taken('Lift rate at closure, as the sheet tells neither cam nor rate.', ASSUMED_LIFT_RATE, 'mm_per_deg')),
    ...(step === undefined ? [] : taken('Step of the shim plan.', num(step, 'step_mm'), 'shim_fine')),
    ...[...new Set(speeds.map((row) => txt(row, 'test_point') ?? ''))].flatMap((point) =>
      taken(
        `Speed window at test point ${point}: 1 % of its speed either way, at least 5 rpm, as the sheet states none.`,
        null,
        'rpm',
      ),
    ),
    ...(results.deliveries.some((row) => num(row, 'at_reference_mm3') !== null) &&
    says(results.points, 'reference_assumed') !== undefined
      ? taken('Reference temperature of deliveries, as the sheet states none.', ASSUMED_REFERENCE_C, 'celsius')
      : []),
    ...(results.deliveries.some((row) => num(row, 'uncertainty_mm3') !== null)
      ? taken(
          'Uncertainty of the count of strokes, in strokes: the counter is taken to lose none, as a log has no place for it.',
          ASSUMED_STROKES_UNCERTAINTY,
          'count',
        )
      : []),
    ...Object.entries(setting).flatMap(([column, words]) =>
      txt(sheet, column) === null ? taken(words, null, 'count') : [],
    ),
  ];
}
