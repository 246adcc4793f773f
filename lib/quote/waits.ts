import { eventTime, kaplanMeier, type SurvivalCurve } from '../stats/kaplanMeier';
import { readingsAt, type Readings } from './features';
import { keyOf, middleLevels, NEAREST, placeOfRow, type Place } from './groups';
import { modelSpread, type ModelMiddle, type ModelSpread } from './modelSpread';
import { at, clip, Mean, Offsets, type Offset } from './offsets';
import { DAYS_DRAWING, FEWEST_JOBS, LAST_JOBS } from './settings';
import type { QuoteHistory } from './types';

const HAIR = 1e-9;
const ALL = middleLevels.length - 1;

/** What is told of one job's days, by what was known at the time. */
export interface ToldDays extends Offset {
  readonly place: Place;
  /** The nearest level that tells how long a job takes; -1 where none does. */
  readonly level: number;
  /** The middle, with what features add, not rounded; NaN where nothing tells one. */
  readonly days: number;
}

/** Days freed of what features added: one more than the days, by which a job of no days is one as any other, over their factor. */
export const freedOf = (days: number, adjustment: number): number => (1 + days) / Math.exp(adjustment);
/** Back from what is freed to the days of a job to which features add so much. */
export const daysOf = (freed: number, adjustment: number): number => freed * Math.exp(adjustment) - 1;

/**
 * Days from received to finished, group by group: of the last LAST_JOBS that came in, those still open as far as they were watched. Each is
 * freed of what features were told to add to it when it came in; that of the next job is put on top.
 */
export class Waits {
  private readonly rows = middleLevels.map(() => new Map<number, number[]>());
  /** Of each work the models that came in for it, with their elements. */
  private readonly models = new Map<number, Map<number, number>>();
  private readonly curves = new Map<string, SurvivalCurve>();
  /** Middles of models as their jobs' days stand, with what features did to them: what misses are held against. */
  private readonly plainMiddles = new Map<number, number>();
  private readonly offsets: Offsets;
  /** The plain middle that was told of each row as ln(1 + days); NaN where its model told none. */
  private readonly centres: Float64Array;
  /** By work the mean of all misses: the median lies off it, which is not a complaint's doing. */
  private readonly common = new Map<number, Mean>();
  private day = NaN;

  /**
   * @param weights of each row, by the day it was finished
   * @param readings of each row, from `readingsOf`
   */
  constructor(
    private readonly history: QuoteHistory,
    private readonly weights: Float64Array,
    private readonly readings: Float64Array,
  ) {
    this.offsets = new Offsets(weights, readings, DAYS_DRAWING);
    this.centres = new Float64Array(weights.length).fill(NaN);
  }

  quoteRow(row: number): ToldDays {
    const told = this.quote(placeOfRow(this.history, row), readingsAt(this.readings, row));
    this.offsets.keep(row, told);
    if (told.level === NEAREST) this.centres[row] = Math.log(this.plainMiddle(told.place));
    return told;
  }

  quote(place: Place, readings: Readings): ToldDays {
    const level = this.levelOf(place);
    // All jobs stand in where there is none of the work.
    const offset = this.offsets.tell(place, readings, level >= 0 && level < ALL);
    const freed = level < 0 ? NaN : waitWithin(this.curveAt(level, place), 0.5);
    return { place, level, days: Math.max(0, daysOf(freed, offset.adjustment)), ...offset };
  }

  /** Takes in a job that has come in and was quoted. */
  takeIn(row: number): void {
    const place = placeOfRow(this.history, row);
    const { model, work, elements } = place;
    if (model >= 0 && work >= 0) {
      const known = this.models.get(work) ?? new Map<number, number>();
      this.models.set(work, known.set(model, elements));
    }
    middleLevels.forEach((name, level) => {
      const key = keyOf(name, place);
      if (key < 0) return;
      const rows = this.rows[level]?.get(key);
      if (rows === undefined) this.rows[level]?.set(key, [row]);
      else rows.push(row);
    });
  }

  /** Takes in a job that was quoted before and is finished now. */
  learn(row: number): void {
    const took = this.tookOf(row);
    if (!(took >= 0)) return;
    const place = placeOfRow(this.history, row);
    const centre = this.centres[row] ?? NaN;
    if (Number.isFinite(centre)) {
      const miss = clip(Math.log1p(took) - centre);
      const common = at(this.common, place.work, () => new Mean());
      common.add(miss, this.weights[row] ?? NaN);
      this.offsets.learnMiss(row, place, miss - common.sum / common.total);
    }
    this.offsets.learnReadings(row, place);
  }

  /** Moves on to a day on which a job just finished has the weight `now`. */
  moveTo(day: number, now: number): void {
    this.day = day;
    this.offsets.moveTo(now);
    this.curves.clear();
    this.plainMiddles.clear();
  }

  private tookOf(row: number): number {
    return (this.history.finished[row] ?? NaN) - (this.history.received[row] ?? NaN);
  }

  /** The jobs that a group's days are told from. */
  rowsAt(level: number, place: Place): readonly number[] {
    const name = middleLevels[level];
    return (name === undefined ? undefined : this.rows[level]?.get(keyOf(name, place)))?.slice(-LAST_JOBS) ?? [];
  }

  /** The nearest level that tells how long a job takes: where half of its jobs are known to be finished. -1 where none is. */
  levelOf(place: Place): number {
    return middleLevels.findIndex((_, level) => {
      const curve = this.curveAt(level, place);
      return curve.n >= FEWEST_JOBS && Number.isFinite(waitWithin(curve, 0.5));
    });
  }

  /**
   * How far the middles of a work's models lie apart on the scale of ln(1 + days), of those that tell one; about the middle of all of them
   * where the days are told for all of the work. Null for fewer than two.
   */
  spreadAt(level: number, place: Place): ModelSpread | null {
    const kin = new Map<number, ModelMiddle[]>();
    for (const [model, elements] of this.models.get(place.work) ?? []) {
      const curve = this.curveAt(NEAREST, { ...place, model });
      const middle = Math.log(waitWithin(curve, 0.5));
      if (curve.n < FEWEST_JOBS || !Number.isFinite(middle)) continue;
      const known = kin.get(elements) ?? [];
      kin.set(elements, [...known, { middle, weight: curve.n }]);
    }
    const own = middleLevels[level] === 'kin' ? (kin.get(place.elements) ?? null) : null;
    return modelSpread([...kin.values()], own);
  }

  /** Of one more than the days, freed of what features added. */
  curveAt(level: number, place: Place): SurvivalCurve {
    const name = middleLevels[level];
    const key = `${level} ${name === undefined ? '' : keyOf(name, place)}`;
    return at(this.curves, key, () => this.curveOf(this.rowsAt(level, place), (row) => this.offsets.adjustmentOf(row)));
  }

  private plainMiddle(place: Place): number {
    const moved = (row: number) => this.offsets.adjustmentOf(row) !== 0;
    return at(this.plainMiddles, keyOf('model', place), () => {
      const rows = this.rowsAt(NEAREST, place);
      return waitWithin(rows.some(moved) ? this.curveOf(rows, () => 0) : this.curveAt(NEAREST, place), 0.5);
    });
  }

  private curveOf(rows: readonly number[], adjustmentOf: (row: number) => number): SurvivalCurve {
    const { received, finished } = this.history;
    const done = rows.map((row) => Number((finished[row] ?? NaN) < this.day));
    const times = rows.map((row, k) => {
      const days = done[k] === 1 ? this.tookOf(row) : this.day - (received[row] ?? NaN);
      // One finished before it came in is a slip, and left out.
      return days >= 0 ? freedOf(days, adjustmentOf(row)) : NaN;
    });
    return kaplanMeier(times, done);
  }
}

/**
 * Days by which a new job is finished with a chance of at least `share`, and those that it takes at least with that chance: the places of
 * `conformalInterval` read off the curve, so that with no job open they are the same. With open jobs the coverage holds nearly.
 * @returns Infinity, or -Infinity from below, where the jobs are too few or too many of them open
 */
export function waitWithin(curve: SurvivalCurve, share: number): number {
  const part = ((curve.n + 1) * share) / curve.n;
  const place = Math.ceil((curve.n + 1) * share - HAIR) / curve.n;
  return curve.n === 0 || part > 1 + HAIR ? Infinity : eventTime(curve, place).time;
}
export function waitAtLeast(curve: SurvivalCurve, share: number): number {
  const place = curve.n + 1 - Math.ceil((curve.n + 1) * share - HAIR);
  return curve.n === 0 || place < 1 ? -Infinity : eventTime(curve, place / curve.n).time;
}
