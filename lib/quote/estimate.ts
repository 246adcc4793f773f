import { quantileInterval } from '../stats/quantiles';
import { textOf } from './calendar';
import { extraChances } from './extra';
import { readFeatures, readingsOfAsked } from './features';
import { groupOf, keyOf, middleLevels, NEAREST, placeOfAsked, placeOfRow, type Place } from './groups';
import { knownFrom, scaleOf, type Figure, type Prepared } from './prepare';
import type { Offset } from './offsets';
import { daysRanges, daysShortOf, figureRanges, groupAt, middleDays, middleOf, namedRange, shortOf } from './ranges';
import type { Told } from './rolling';
import { FEWEST_FOR_DRIFT, LEAST_DRIFT, PARENT_JOBS } from './settings';
import { COVERAGES, type Adjustment, type Asked, type Drift, type Estimate, type Layer } from './types';
import type { NotEnough, RangeSet } from './types';
import { daysOf, waitWithin } from './waits';

/** What a quote says: how long, how dear, how sure, and on which past jobs it rests. */

function empty(prepared: Prepared, place: Place, asked: Asked, why: NotEnough): RangeSet {
  const group = groupOf(prepared.history, 'all', place, asked);
  return {
    median: null,
    ranges: COVERAGES.map((coverage) => ({
      coverage,
      low: 0,
      high: Infinity,
      group,
      n: 0,
      effectiveN: 0,
      borrowed: true,
      notEnough: why,
    })),
    n: 0,
    effectiveN: 0,
    group,
    borrowed: true,
    nearestN: 0,
    notEnough: why,
    layers: [],
    adjustments: [],
    drift: null,
    since: null,
    until: null,
  };
}

/** All jobs stand in where there is none of the work, and draw nothing towards them. */
const ALL = middleLevels.length - 1;

/** The groups behind the middle: each takes its share of what the nearer ones leave to it. */
function layersOf(prepared: Prepared, figure: Figure, told: Told, asked: Asked): Layer[] {
  const used = told.middles
    .map((middle, level) => ({ ...middle, level }))
    .filter(({ centre, level }) => Number.isFinite(centre) && (level === told.level || level < ALL));
  let left = 1;
  return used.map(({ level, n, effectiveN, own }, k): Layer => {
    const weight = k === used.length - 1 ? left : (left * effectiveN) / (effectiveN + PARENT_JOBS);
    left -= weight;
    const group = groupAt(prepared, level, told.place, asked);
    return { group, n, effectiveN, median: scaleOf[figure].from(own), weight };
  });
}

function adjustmentsOf({ complaint, complaintN, branch, branchN, read, readN }: Offset): Adjustment[] {
  const parts: readonly Adjustment[] = [
    { feature: 'complaint', factor: Math.exp(complaint), n: complaintN },
    { feature: 'branch', factor: Math.exp(branch), n: branchN },
    ...readFeatures.map((feature, k) => ({ feature, factor: Math.exp(read[k] ?? 0), n: readN })),
  ];
  return parts.filter(({ factor }) => factor !== 1);
}

/** Whether a row belongs to the group of a place at a level. */
function isIn({ history }: Prepared, level: number, place: Place, row: number): boolean {
  const name = middleLevels[level] ?? 'all';
  return keyOf(name, placeOfRow(history, row)) === keyOf(name, place);
}

/** Rows of the group whose figure is known, in the order in which they were finished. */
function rowsBehind(prepared: Prepared, figure: Figure, level: number, place: Place): number[] {
  const { values } = prepared.figures[figure];
  return prepared.known.filter((row) => Number.isFinite(values[row]) && isIn(prepared, level, place, row));
}

/** Misses of a group's jobs of late, with the sign, on a scale of logarithms: above 1 they took longer or cost more than they were quoted. */
function driftOf(late: readonly number[]): Drift {
  const misses = late.filter(Number.isFinite);
  const middle = misses.length < FEWEST_FOR_DRIFT ? null : quantileInterval(misses, 0.5);
  if (middle === null) return { factor: null, low: null, high: null, n: misses.length, drifts: false };
  const [low, high] = [Math.exp(middle.low), Math.exp(middle.high)];
  return {
    factor: Math.exp(middle.quantile),
    low,
    high,
    n: misses.length,
    drifts: low > 1 + LEAST_DRIFT || high < 1 - LEAST_DRIFT,
  };
}

const lateOf = ({ history, lateFrom }: Prepared, rows: readonly number[]): readonly number[] =>
  rows.filter((row) => knownFrom(history, row) >= lateFrom);

/** A job of no days is one as any other: days are compared by those that it took and one more. */
function daysMiss({ history, daysTold }: Prepared, row: number): number {
  const took = (history.finished[row] ?? NaN) - (history.received[row] ?? NaN);
  return took >= 0 ? Math.log1p(took) - Math.log1p(daysTold[row] ?? NaN) : NaN;
}

function figureSet(prepared: Prepared, figure: Figure, place: Place, asked: Asked): RangeSet {
  if (figure === 'cost' && prepared.choices.hourRate === null) return empty(prepared, place, asked, 'no rate set');
  const told = prepared.figures[figure].quote(place, readingsOfAsked(asked));
  const middle = told.middles[told.level];
  if (middle === undefined) {
    const any = told.middles.some(({ n }) => n > 0);
    return empty(prepared, place, asked, any ? 'too few past jobs' : 'no past jobs');
  }
  const rows = rowsBehind(prepared, figure, told.level, place);
  const [first, last] = [rows[0], rows.at(-1)];
  const days = [first, last].map((row) => (row === undefined ? null : textOf(knownFrom(prepared.history, row))));
  return {
    median: middleOf(figure, told),
    ranges: figureRanges(prepared, figure, told).map((range) =>
      namedRange(prepared, range, { place, level: told.level, asked }, shortOf(prepared, figure, told)),
    ),
    n: middle.n,
    effectiveN: middle.effectiveN,
    group: groupAt(prepared, told.level, place, asked),
    borrowed: told.level !== NEAREST,
    nearestN: told.middles[NEAREST]?.n ?? 0,
    notEnough: null,
    layers: layersOf(prepared, figure, told, asked),
    adjustments: adjustmentsOf(told),
    drift: driftOf(lateOf(prepared, rows).map((row) => prepared.figures[figure].missOf(row, told.level))),
    since: days[0] ?? null,
    until: days[1] ?? null,
  };
}

function daysSet(prepared: Prepared, place: Place, asked: Asked): RangeSet {
  const { waits, history } = prepared;
  const told = waits.quote(place, readingsOfAsked(asked));
  const { level } = told;
  if (level < 0) {
    const n = waits.rowsAt(middleLevels.length - 1, place).length;
    return empty(
      prepared,
      place,
      asked,
      n === 0 ? 'no past jobs' : n < 3 ? 'too few past jobs' : 'too many still open',
    );
  }
  const curve = waits.curveAt(level, place);
  const rows = waits.rowsAt(level, place);
  const finished = prepared.known.filter((row) => isIn(prepared, level, place, row));
  const dayText = (row: number | undefined) => (row === undefined ? null : textOf(history.received[row] ?? NaN));
  const group = groupAt(prepared, level, place, asked);
  return {
    median: middleDays(told),
    ranges: daysRanges(prepared, told).map((range) =>
      namedRange(prepared, range, { place, level, asked }, daysShortOf(prepared, place, range)),
    ),
    n: curve.n,
    effectiveN: curve.n,
    group,
    borrowed: level !== NEAREST,
    nearestN: waits.curveAt(NEAREST, place).n,
    notEnough: null,
    layers: [
      { group, n: curve.n, effectiveN: curve.n, median: Math.max(0, daysOf(waitWithin(curve, 0.5), 0)), weight: 1 },
    ],
    adjustments: adjustmentsOf(told),
    drift: driftOf(lateOf(prepared, finished).map((row) => daysMiss(prepared, row))),
    since: dayText(rows[0]),
    until: dayText(rows.at(-1)),
  };
}

/**
 * Hours of labour, parts, days and cost of what stands on the counter, each with ranges of stated coverage and the past jobs behind
 * them, and the chance of extra work. Formulas, sources and limits in docs/quote.md.
 */
export function estimate(prepared: Prepared, asked: Asked): Estimate {
  const place = placeOfAsked(prepared.history, asked);
  return {
    asked,
    choices: prepared.choices,
    hours: figureSet(prepared, 'hours', place, asked),
    parts: figureSet(prepared, 'parts', place, asked),
    days: daysSet(prepared, place, asked),
    cost: figureSet(prepared, 'cost', place, asked),
    extra: extraChances(prepared, asked),
  };
}
