import type { FormulaName } from '../calc/formulas/formulas';
import { codes } from '../calc/layout';
import { decide } from '../calc/proof/uncertainty';
import type { Unit } from '../units/units';
import { spreadBases } from '../words/labels';
import type { JobParts } from './parts';
import { decisions, type Judged } from './record';
import { num, txt, type Row } from './rows';

/** Every figure that is held against a limit, with its verdict by plain comparison and the decision that allows for uncertainty. */

type Verdict = (typeof codes.verdict)[number];
type Decision = (typeof decisions)[number];

const inWords: Readonly<Record<Verdict, Decision>> = {
  in: 'conforms',
  out: 'does not conform',
  'cannot tell': 'cannot be decided',
  'not measured': 'not measured',
};

export const verdictOf = (row: Row | undefined, column: string): Verdict => {
  const cell = row?.[column];
  return codes.verdict.find((word) => word === cell) ?? 'not measured';
};

const NAN = Number.NaN;

/** The engine's own decision on one figure; one that is not measured as a whole is not decided. */
function decided(verdict: Verdict, value: number | null, [low, high]: Limits, expanded: number | null): Verdict {
  if (verdict === 'not measured' || value === null) return 'not measured';
  return codes.verdict[decide(value, low ?? NAN, high ?? NAN, expanded ?? NAN)] ?? 'not measured';
}

type Limits = readonly [low: number | null, high: number | null];

interface Facts {
  readonly figure: string;
  readonly row: Row;
  readonly element?: number | null;
  readonly value: number | null;
  readonly unit: Unit;
  readonly limits: Limits;
  readonly uncertainty: number | null;
  readonly verdict: Verdict;
  readonly decision: Verdict;
  readonly formula: FormulaName;
}

const judged = ({ row, element = null, limits: [low, high], decision, ...facts }: Facts): Judged => ({
  figure: facts.figure,
  run: num(row, 'run') ?? -1,
  test_point: txt(row, 'test_point'),
  check_id: txt(row, 'check_id'),
  at_rpm: num(row, 'at_rpm'),
  at_boost_kpa: num(row, 'at_boost_kpa'),
  element,
  value: facts.value,
  unit: facts.unit,
  low,
  high,
  uncertainty: facts.uncertainty,
  verdict: facts.verdict,
  decision: inWords[decision],
  rule: facts.uncertainty === null ? 'plain' : 'guarded',
  formula: facts.formula,
});

const eitherWay = (tolerance: number | null): Limits => (tolerance === null ? [null, null] : [-tolerance, tolerance]);

const lift = (row: Row): Judged =>
  judged({
    figure: 'lift to port closure',
    row,
    value: num(row, 'lift_mm'),
    unit: 'mm_fine',
    limits: [num(row, 'low_mm'), num(row, 'high_mm')],
    uncertainty: num(row, 'lift_uncertainty_mm'),
    verdict: verdictOf(row, 'timing_verdict'),
    decision: verdictOf(row, 'timing_decision'),
    formula: 'lift',
  });

const phaseError = (row: Row, tolerance: number | null): Judged =>
  judged({
    figure: 'phase error',
    row,
    element: num(row, 'element'),
    value: num(row, 'error_deg'),
    unit: 'cam_deg',
    limits: eitherWay(tolerance),
    uncertainty: num(row, 'error_uncertainty_deg'),
    verdict: verdictOf(row, 'verdict'),
    decision: verdictOf(row, 'decision'),
    formula: 'phase_error',
  });

function mean(row: Row): Judged {
  const value = num(row, 'mean_mm3');
  const limits: Limits = [num(row, 'low_mm3'), num(row, 'high_mm3')];
  const uncertainty = num(row, 'mean_uncertainty_mm3');
  const verdict = verdictOf(row, 'mean_verdict');
  const decision = decided(verdict, value, limits, uncertainty);
  const unit = 'mm3_per_stroke';
  return judged({ figure: 'mean delivery', row, value, unit, limits, uncertainty, verdict, decision, formula: 'mean' });
}

/** How a spread is reckoned, by the specification; none where it asks for none. */
export function basisOf(row: Row): Exclude<keyof typeof spreadBases, 'none asked'> | null {
  const word = txt(row, 'spread_basis');
  const known = codes.spread_basis.find((basis) => basis === word);
  return known === undefined || known === 'none asked' ? null : known;
}

function spread(row: Row): readonly Judged[] {
  const basis = basisOf(row);
  if (basis === null) return [];
  const { unit } = spreadBases[basis];
  const value = num(row, 'spread');
  const limits: Limits = [null, num(row, 'spread_limit')];
  const uncertainty = num(row, 'spread_uncertainty');
  const verdict = verdictOf(row, 'spread_verdict');
  const decision = decided(verdict, value, limits, uncertainty);
  return [judged({ figure: 'spread', row, value, unit, limits, uncertainty, verdict, decision, formula: 'spread' })];
}

/** Where no spread is asked for, each element's delivery is held against the band of the test point instead. */
function delivery(row: Row, limits: Limits): Judged {
  const value = num(row, 'mm3_per_stroke');
  const uncertainty = num(row, 'uncertainty_mm3');
  const verdict = verdictOf(row, 'verdict');
  return judged({
    figure: 'delivery',
    row,
    element: num(row, 'element'),
    value,
    unit: 'mm3_per_stroke',
    limits,
    uncertainty,
    verdict,
    decision: decided(verdict, value, limits, uncertainty),
    formula: 'delivery',
  });
}

const checkUnits = { mm: 'mm', rpm: 'rpm', percent: 'percent', mm3_per_stroke: 'mm3_per_stroke' } as const;

export function checkUnit(row: Row): Unit {
  const word = txt(row, 'unit');
  return checkUnits[codes.check_unit.find((unit) => unit === word) ?? 'mm'];
}

/** No uncertainty of rack, speed or boost gauges is reckoned with, so a check is decided by plain comparison. */
const check = (row: Row): Judged =>
  judged({
    figure: 'governor or accessory',
    row,
    value: num(row, 'value'),
    unit: checkUnit(row),
    limits: [num(row, 'low'), num(row, 'high')],
    uncertainty: null,
    verdict: verdictOf(row, 'verdict'),
    decision: verdictOf(row, 'verdict'),
    formula: 'governor_value',
  });

/** In the order of the results: timing and phasing run by run, the test points, the governor. */
export function judgedFigures({ results }: Pick<JobParts, 'results'>): readonly Judged[] {
  const tolerances = new Map(results.timing.map((row) => [num(row, 'run'), num(row, 'tolerance_deg')]));
  const read = results.phasing.filter((row) => num(row, 'error_deg') !== null);
  const at = (row: Row): string => `${num(row, 'run') ?? ''} ${txt(row, 'test_point') ?? ''}`;
  const points = results.points.filter((row) => num(row, 'low_mm3') !== null || num(row, 'high_mm3') !== null);
  return [
    ...results.timing.flatMap((row) => [
      lift(row),
      ...read
        .filter((each) => num(each, 'run') === num(row, 'run'))
        .map((each) => phaseError(each, tolerances.get(num(row, 'run')) ?? null)),
    ]),
    ...points.flatMap((row) => [
      mean(row),
      ...(basisOf(row) === null
        ? results.deliveries
            .filter((each) => at(each) === at(row) && num(each, 'mm3_per_stroke') !== null)
            .map((each) => delivery(each, [num(row, 'low_mm3'), num(row, 'high_mm3')]))
        : spread(row)),
    ]),
    ...results.governor_checks.map(check),
  ];
}
