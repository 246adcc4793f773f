import { intervalOf } from '../stats/conformal';
import { groupOf, middleLevels, type Place } from './groups';
import { scaleOf, type Figure, type Prepared } from './prepare';
import type { Told } from './rolling';
import { COVERAGES, type Asked, type Coverage, type Group, type NotEnough, type Range } from './types';
import { waitAtLeast, waitWithin } from './waits';

/** Ranges about a middle: from the nearest group whose past misses bound both ends. */

/** What one level gives for a coverage: the ends, and the jobs they rest on. */
interface Ends {
  readonly low: number;
  readonly high: number;
  readonly n: number;
  readonly effectiveN: number;
}

export interface PlainRange extends Ends {
  readonly coverage: Coverage;
  /** Place among `middleLevels`; that of the farthest where none is enough. */
  readonly level: number;
  readonly enough: boolean;
}

const NONE: Ends = { low: NaN, high: NaN, n: 0, effectiveN: 0 };
const isBounded = ({ low, high }: Ends): boolean => Number.isFinite(low) && Number.isFinite(high);

/** A wider coverage may rest on another group: it never ends within a narrower one, and the middle always lies within. */
function nested(middle: number, from: number, endsAt: (coverage: Coverage, level: number) => Ends): PlainRange[] {
  let [low, high] = [middle, middle];
  return COVERAGES.map((coverage): PlainRange => {
    let [level, ends] = [from, NONE];
    for (let next = from; next < middleLevels.length; next += 1) {
      [level, ends] = [next, endsAt(coverage, next)];
      if (isBounded(ends)) break;
    }
    const { n, effectiveN } = ends;
    if (!isBounded(ends)) return { low: 0, high: Infinity, n, effectiveN, coverage, level, enough: false };
    low = Math.min(low, ends.low);
    high = Math.max(high, ends.high);
    return { low, high, n, effectiveN, coverage, level, enough: true };
  });
}

/** The middle of a figure, in its unit; NaN where nothing tells one. */
export function middleOf(figure: Figure, told: Told): number {
  return scaleOf[figure].from((told.middles[told.level]?.centre ?? NaN) + told.adjustment);
}

export function figureRanges({ figures }: Prepared, figure: Figure, told: Told): PlainRange[] {
  const [rolling, { from }] = [figures[figure], scaleOf[figure]];
  const centre = (told.middles[told.level]?.centre ?? NaN) + told.adjustment;
  return nested(middleOf(figure, told), told.level, (coverage, level) => {
    const sample = rolling.missesAt(told.level, level, told.place);
    if (sample === undefined) return NONE;
    const { low, high, n, effectiveN } = intervalOf(sample, coverage, rolling.weightNow);
    // An open end stays open: the scale of money would else bring it to 0.
    const end = (miss: number) => (Number.isFinite(miss) ? from(centre + miss) : NaN);
    return { low: end(low), high: end(high), n, effectiveN };
  });
}

/** The level that days are told at, nearest first: where half of the jobs are known to be finished. -1 where none is. */
export function daysLevel({ waits }: Prepared, place: Place): number {
  return middleLevels.findIndex((_, level) => Number.isFinite(waitWithin(waits.curveAt(level, place), 0.5)));
}

export function daysRanges({ waits }: Prepared, place: Place, middle: number, from: number): PlainRange[] {
  return nested(middle, from, (coverage, level) => {
    const curve = waits.curveAt(level, place);
    const side = (1 + coverage) / 2;
    return { low: waitAtLeast(curve, side), high: waitWithin(curve, side), n: curve.n, effectiveN: curve.n };
  });
}

/** A range with the names of its group. `short` says what is missing where it is not enough. */
export function namedRange(
  { history }: Prepared,
  { level, enough, ...range }: PlainRange,
  told: { readonly place: Place; readonly level: number; readonly asked: Asked },
  short: NotEnough,
): Range {
  return {
    ...range,
    group: groupAt({ history }, level, told.place, told.asked),
    borrowed: level !== told.level,
    notEnough: enough ? null : short,
  };
}

export const groupAt = ({ history }: Pick<Prepared, 'history'>, level: number, place: Place, asked: Asked): Group =>
  groupOf(history, middleLevels[level] ?? 'all', place, asked);
