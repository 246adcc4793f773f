import { eventTime, kaplanMeier, type SurvivalCurve } from '../stats/kaplanMeier';
import { keyOf, middleLevels, NEAREST, type Place } from './groups';
import { modelSpread, type ModelMiddle, type ModelSpread } from './modelSpread';
import { FEWEST_JOBS, LAST_JOBS } from './settings';
import type { QuoteHistory } from './types';

const HAIR = 1e-9;

/** Days from received to finished, group by group: of the last LAST_JOBS that came in, those still open as far as they were watched. */
export class Waits {
  private readonly rows = middleLevels.map(() => new Map<number, number[]>());
  /** Of each work the models that came in for it, with their elements. */
  private readonly models = new Map<number, Map<number, number>>();
  private readonly curves = new Map<string, SurvivalCurve>();
  private day = NaN;

  constructor(private readonly history: QuoteHistory) {}

  /** Takes in a job that has come in. */
  learn(row: number, place: Place): void {
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

  moveTo(day: number): void {
    this.day = day;
    this.curves.clear();
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

  /** The middle that is told of a job; NaN where nothing tells one. */
  middleOf(place: Place): number {
    const level = this.levelOf(place);
    return level < 0 ? NaN : waitWithin(this.curveAt(level, place), 0.5);
  }

  /**
   * How far the middles of a work's models lie apart on the scale of ln(1 + days), of those that tell one; about the middle of all of them
   * where the days are told for all of the work. Null for fewer than two.
   */
  spreadAt(level: number, place: Place): ModelSpread | null {
    const kin = new Map<number, ModelMiddle[]>();
    for (const [model, elements] of this.models.get(place.work) ?? []) {
      const curve = this.curveAt(NEAREST, { ...place, model });
      const middle = Math.log1p(waitWithin(curve, 0.5));
      if (curve.n < FEWEST_JOBS || !Number.isFinite(middle)) continue;
      const known = kin.get(elements) ?? [];
      kin.set(elements, [...known, { middle, weight: curve.n }]);
    }
    const own = middleLevels[level] === 'kin' ? (kin.get(place.elements) ?? null) : null;
    return modelSpread([...kin.values()], own);
  }

  curveAt(level: number, place: Place): SurvivalCurve {
    const name = middleLevels[level];
    const key = `${level} ${name === undefined ? '' : keyOf(name, place)}`;
    const had = this.curves.get(key);
    if (had !== undefined) return had;
    const { received, finished } = this.history;
    const rows = this.rowsAt(level, place);
    const done = rows.map((row) => Number((finished[row] ?? NaN) < this.day));
    const times = rows.map((row, k) => (done[k] === 1 ? (finished[row] ?? NaN) : this.day) - (received[row] ?? NaN));
    const curve = kaplanMeier(times, done);
    this.curves.set(key, curve);
    return curve;
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
