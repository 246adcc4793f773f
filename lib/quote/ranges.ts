import { intervalOf } from '../stats/conformal';
import { groupOf, middleLevels, NEAREST, type Place } from './groups';
import { widened, widenedGroup, type ModelSpread } from './modelSpread';
import { scaleOf, type Figure, type Prepared } from './prepare';
import type { Told } from './rolling';
import { OWN_TIMES } from './settings';
import { COVERAGES, type Asked, type Coverage, type Group, type NotEnough, type Range } from './types';
import { daysOf, waitAtLeast, waitWithin, type ToldDays } from './waits';

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

interface LevelEnds extends Ends {
  readonly level: number;
}

const NONE: Ends = { low: NaN, high: NaN, n: 0, effectiveN: 0 };
const isBounded = ({ low, high }: Ends): boolean => Number.isFinite(low) && Number.isFinite(high);

const ALL = middleLevels.indexOf('all');
const WORK = middleLevels.indexOf('work');
/** Told for other models than the asked one, of the same work. */
const isBetween = (level: number): boolean => level !== NEAREST && level !== ALL;

/** The first that bounds both ends; else the last. */
function firstBounded(from: number, endsAt: (level: number) => Ends): LevelEnds {
  let found: LevelEnds = { ...NONE, level: from };
  for (let level = from; level < middleLevels.length && !isBounded(found); level += 1)
    found = { ...endsAt(level), level };
  return found;
}

/** A wider coverage may rest on another group: it never ends within a narrower one, and the middle always lies within. */
function nested(middle: number, endsOf: (coverage: Coverage) => LevelEnds): PlainRange[] {
  let [low, high] = [middle, middle];
  return COVERAGES.map((coverage): PlainRange => {
    const ends = endsOf(coverage);
    const { n, effectiveN, level } = ends;
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

/** Weight of past jobs that it takes to bound a coverage on both sides. */
const boundedFrom = (coverage: number): number => (1 + coverage) / (1 - coverage);

export function figureRanges({ figures }: Prepared, figure: Figure, told: Told): PlainRange[] {
  const [rolling, { from }] = [figures[figure], scaleOf[figure]];
  const { level: toldLevel, place } = told;
  const middle = told.middles[toldLevel];
  const centre = (middle?.centre ?? NaN) + told.adjustment;
  // An open end stays open: the scale of money would else bring it to 0.
  const end = (miss: number) => (Number.isFinite(miss) ? from(centre + miss) : NaN);
  const plainEnds = (coverage: Coverage, level: number): Ends => {
    const sample = rolling.missesAt(toldLevel, level, place);
    if (sample === undefined) return NONE;
    const { low, high, n, effectiveN } = intervalOf(sample, coverage, rolling.weightNow);
    return { low: end(low), high: end(high), n, effectiveN };
  };
  const ownN = toldLevel === NEAREST ? (middle?.effectiveN ?? 0) : 0;
  const borrowedEnds = (coverage: Coverage, level: number): Ends => {
    const sample = rolling.missesAt(NEAREST, level, place);
    if (sample === undefined) return NONE;
    const { low, high, n, effectiveN } = intervalOf(sample, coverage, rolling.weightNow);
    const ends = widened(
      { low, high, middle: sample.quantile(0.5) },
      ownN,
      coverage,
      rolling.spreadAt(toldLevel, place),
    );
    return { low: end(ends.low), high: end(ends.high), n, effectiveN };
  };
  return nested(middleOf(figure, told), (coverage) => {
    // All jobs stand in where there is none of the work, and a group of models with hardly a job each holds how they differ.
    const alone = toldLevel === ALL || rolling.missesAt(NEAREST, WORK, place) === undefined;
    if (alone) return firstBounded(toldLevel, (level) => plainEnds(coverage, level));
    const own: LevelEnds =
      toldLevel === NEAREST ? { ...plainEnds(coverage, NEAREST), level: NEAREST } : { ...NONE, level: toldLevel };
    if (isBounded(own) && own.effectiveN >= OWN_TIMES * boundedFrom(coverage)) return own;
    const borrowed = firstBounded(Math.max(1, toldLevel), (level) => borrowedEnds(coverage, level));
    return isBounded(borrowed) || !isBounded(own) ? borrowed : own;
  });
}

/** Why a range is not bounded: one model alone tells nothing of how far another lies off. */
export function shortOf({ figures }: Prepared, figure: Figure, { level, place }: Told): NotEnough {
  const rolling = figures[figure];
  return isBetween(level) &&
    rolling.missesAt(NEAREST, WORK, place) !== undefined &&
    rolling.spreadAt(level, place) === null
    ? 'too few models'
    : 'too few past jobs';
}

/** What a way through the scale of logarithms loses of a whole day. */
const HAIR = 1e-9;

interface Pair {
  readonly low: number;
  readonly high: number;
}

/** Whole days of a group's jobs, for a model that is one more of it; `ends` and `middle` freed of what features add. */
function oneMoreModel(ends: Pair, middle: number, coverage: Coverage, spread: ModelSpread | null, more: number): Pair {
  const to = Math.log;
  const { low, high } = widenedGroup({ low: to(ends.low), high: to(ends.high), middle: to(middle) }, coverage, spread);
  // Days are whole: the ends move outwards to the next, but for what the scale loses of a figure that did not move.
  return {
    low: Math.max(0, Math.floor(daysOf(Math.exp(low), more) + HAIR)),
    high: Math.ceil(daysOf(Math.exp(high), more) - HAIR),
  };
}

/** The whole days between two ends: a job of whole days that lies within the ends lies within them too. */
const wholeWithin = ({ low, high }: Pair, more: number): Pair => ({
  low: Math.max(0, Math.ceil(daysOf(low, more) - HAIR)),
  high: Math.max(0, Math.floor(daysOf(high, more) + HAIR)),
});

/** The middle of the days, a whole one; NaN where nothing tells one. */
export const middleDays = ({ days }: ToldDays): number => Math.round(days);

export function daysRanges({ waits }: Prepared, told: ToldDays): PlainRange[] {
  const { place, adjustment } = told;
  return nested(middleDays(told), (coverage) => {
    const side = (1 + coverage) / 2;
    const found = firstBounded(told.level, (level) => {
      const curve = waits.curveAt(level, place);
      return { low: waitAtLeast(curve, side), high: waitWithin(curve, side), n: curve.n, effectiveN: curve.n };
    });
    const { level } = found;
    if (!isBounded(found)) return found;
    if (!isBetween(level)) return { ...found, ...wholeWithin(found, adjustment) };
    const middle = waitWithin(waits.curveAt(level, place), 0.5);
    return { ...found, ...oneMoreModel(found, middle, coverage, waits.spreadAt(level, place), adjustment) };
  });
}

/** Why a range of days is not bounded. */
export const daysShortOf = ({ waits }: Prepared, place: Place, { level }: PlainRange): NotEnough =>
  isBetween(level) && waits.spreadAt(level, place) === null ? 'too few models' : 'too few past jobs';

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
