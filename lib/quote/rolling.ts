import { WeightedSample } from '../stats/weightedSample';
import { readingsAt, type Readings } from './features';
import { keyOf, middleLevels, placeOfRow, type Place } from './groups';
import { modelSpread, type ModelMiddle, type ModelSpread } from './modelSpread';
import { at, clip, Offsets, type Offset } from './offsets';
import { DRAWING, FEWEST_JOBS, PARENT_JOBS } from './settings';
import type { QuoteHistory } from './types';

/** What a group tells of its own, and what is told for it: drawn towards its parent. */
export interface Middle {
  readonly n: number;
  readonly effectiveN: number;
  /** Mean of the middle half; NaN where the group has fewer than FEWEST_JOBS. */
  readonly own: number;
  readonly centre: number;
}

/** What is told of one job, on the scale of the figure, by what was known at the time. */
export interface Told extends Offset {
  readonly place: Place;
  /** By level. */
  readonly middles: readonly Middle[];
  /** The nearest level that has a middle; -1 where none has. */
  readonly level: number;
}

/** A group's own middle drawn towards its parent's, which counts as PARENT_JOBS jobs finished today; as it is where there is no parent. */
export function drawn(own: number, effectiveN: number, parent: number): number {
  const weight = effectiveN / (effectiveN + PARENT_JOBS);
  return Number.isFinite(parent) ? weight * own + (1 - weight) * parent : own;
}

const LEVELS = middleLevels.length;

/**
 * One figure of a quote (hours, parts, cost) told for job after job as time goes on: each is quoted by what was finished before, and once
 * it is finished itself its miss is kept, so that ranges rest on misses of quotes that did not know their outcome. Formulas in
 * docs/quote.md.
 */
export class Rolling {
  /** Weight of a job finished now; old jobs weigh less against it as time goes on. */
  private now = 1;
  private readonly middles = middleLevels.map(() => new Map<number, WeightedSample>());
  /** Misses by the level that the middle was told for, and the level over which they are gathered. */
  private readonly misses = middleLevels.map(() => middleLevels.map(() => new Map<number, WeightedSample>()));
  /** Elements of the models that had a work done, by work. */
  private readonly models = new Map<number, Map<number, number>>();
  private readonly spreads = new Map<string, ModelSpread | null>();
  private readonly offsets: Offsets;
  /** What was told of each row, held as plain figures: there are many. */
  private readonly levels: Int8Array;
  private readonly centres: Float64Array;

  /**
   * @param values of each row, scaled; NaN where not known
   * @param weights of each row, by the day it was finished
   * @param readings of each row, from `readingsOf`
   */
  constructor(
    private readonly history: QuoteHistory,
    readonly values: Float64Array,
    private readonly weights: Float64Array,
    private readonly readings: Float64Array,
  ) {
    const rows = values.length;
    this.levels = new Int8Array(rows).fill(-1);
    this.centres = new Float64Array(rows * LEVELS).fill(NaN);
    this.offsets = new Offsets(weights, readings, DRAWING);
  }

  /** Moves on to a day on which a job just finished has the weight `now`; what was learnt since counts from here on. */
  moveTo(now: number): void {
    this.now = now;
    this.offsets.moveTo(now);
    this.spreads.clear();
  }

  quoteRow(row: number): Told {
    const told = this.quote(placeOfRow(this.history, row), readingsAt(this.readings, row));
    this.levels[row] = told.level;
    this.offsets.keep(row, told);
    for (let level = 0; level < LEVELS; level += 1)
      this.centres[row * LEVELS + level] = told.middles[level]?.centre ?? NaN;
    return told;
  }

  /** What came of a row less what was told of it for a level, on the scale of the figure; NaN where either is not known. */
  missOf(row: number, level: number): number {
    const centre = this.centres[row * LEVELS + level] ?? NaN;
    return (this.values[row] ?? NaN) - centre - this.offsets.adjustmentOf(row);
  }

  quote(place: Place, readings: Readings): Told {
    const middles = this.middlesOf(place);
    const level = middles.findIndex(({ centre }) => Number.isFinite(centre));
    const ofWork = level >= 0 && (middles[2]?.n ?? 0) >= FEWEST_JOBS;
    return { place, middles, level, ...this.offsets.tell(place, readings, ofWork) };
  }

  private middlesOf(place: Place): Middle[] {
    const middles: Middle[] = [];
    let parent = NaN;
    for (let level = LEVELS - 1; level >= 0; level -= 1) {
      const sample = this.sampleAt(level, place);
      const n = sample?.n ?? 0;
      const effectiveN = (sample?.total ?? 0) / this.now;
      const own = sample === undefined || n < FEWEST_JOBS ? NaN : sample.midmean();
      const centre = drawn(own, effectiveN, parent);
      middles[level] = { n, effectiveN, own, centre };
      // Other work says nothing of how long this takes: all jobs stand in where there is none of it, and draw nothing towards them.
      if (Number.isFinite(centre) && level < LEVELS - 1) parent = centre;
    }
    return middles;
  }

  private sampleAt(level: number, place: Place): WeightedSample | undefined {
    const name = middleLevels[level];
    return name === undefined ? undefined : this.middles[level]?.get(keyOf(name, place));
  }

  /** Range of the misses of quotes that were told for `level`, gathered over the group at `over`; undefined where there are none. */
  missesAt(level: number, over: number, place: Place): WeightedSample | undefined {
    const name = middleLevels[over];
    return name === undefined ? undefined : this.misses[level]?.[over]?.get(keyOf(name, place));
  }

  /** How far models of a place's work lie apart: of those with a middle of their own. Its kin are left aside where the middle is told for all of the work. */
  spreadAt(level: number, place: Place): ModelSpread | null {
    const elements = level < 2 ? place.elements : -1;
    const key = `${place.work} ${elements}`;
    const had = this.spreads.get(key);
    if (had !== undefined) return had;
    const kin = new Map<number, ModelMiddle[]>();
    for (const [model, own] of this.models.get(place.work) ?? []) {
      const sample = this.sampleAt(0, { ...place, model });
      if (sample === undefined || sample.n < FEWEST_JOBS) continue;
      at(kin, own, () => []).push({ middle: sample.midmean(), weight: sample.total });
    }
    const spread = modelSpread([...kin.values()], kin.get(elements) ?? null);
    this.spreads.set(key, spread);
    return spread;
  }

  get weightNow(): number {
    return this.now;
  }

  /** Takes in a job that was quoted before and is finished now. */
  learn(row: number): void {
    const [value, weight] = [this.values[row] ?? NaN, this.weights[row] ?? NaN];
    if (!Number.isFinite(value)) return;
    const place = placeOfRow(this.history, row);
    middleLevels.forEach((name, level) => {
      this.put(this.middles[level], keyOf(name, place), value, weight);
    });
    if (place.model >= 0 && place.work >= 0)
      at(this.models, place.work, () => new Map<number, number>()).set(place.model, place.elements);
    const level = this.levels[row] ?? -1;
    if (level >= 0) this.learnMisses(row, level, place, weight);
    if (level === 0) this.offsets.learnMiss(row, place, clip(this.missOf(row, 0) + this.offsets.adjustmentOf(row)));
    this.offsets.learnReadings(row, place);
  }

  private put(samples: Map<number, WeightedSample> | undefined, key: number, value: number, weight: number): void {
    if (samples === undefined || key < 0) return;
    at(samples, key, () => new WeightedSample()).add(value, weight);
  }

  private learnMisses(row: number, from: number, place: Place, weight: number): void {
    for (let level = from; level < LEVELS; level += 1) {
      const miss = this.missOf(row, level);
      if (!Number.isFinite(miss)) continue;
      for (let over = level; over < LEVELS; over += 1) {
        const name = middleLevels[over];
        if (name !== undefined) this.put(this.misses[level]?.[over], keyOf(name, place), miss, weight);
      }
    }
  }
}
