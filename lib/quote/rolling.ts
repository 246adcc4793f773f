import { CrossMoments } from '../stats/crossMoments';
import { WeightedSample } from '../stats/weightedSample';
import { maskOf, placesOf, readFeatures, readingsAt, withoutLast, type Readings } from './features';
import { keyOf, middleLevels, placeOfRow, type Place } from './groups';
import { modelSpread, type ModelMiddle, type ModelSpread } from './modelSpread';
import { BRANCH_JOBS, COMPLAINT_JOBS, FEWEST_JOBS, JOBS_A_FEATURE, MOST_ADJUSTMENT, PARENT_JOBS } from './settings';
import type { QuoteHistory } from './types';

interface ReadPart {
  readonly read: readonly number[];
  readonly n: number;
}

/** What a group tells of its own, and what is told for it: drawn towards its parent. */
export interface Middle {
  readonly n: number;
  readonly effectiveN: number;
  /** Mean of the middle half; NaN where the group has fewer than FEWEST_JOBS. */
  readonly own: number;
  readonly centre: number;
}

/** What is told of one job, on the scale of the figure, by what was known at the time. */
export interface Told {
  readonly place: Place;
  /** By level. */
  readonly middles: readonly Middle[];
  /** The nearest level that has a middle; -1 where none has. */
  readonly level: number;
  /** What features add: of the complaint, of the branch, then of what is read; and the jobs behind each. */
  readonly complaint: number;
  readonly complaintN: number;
  readonly branch: number;
  readonly branchN: number;
  readonly read: readonly number[];
  readonly readN: number;
  readonly adjustment: number;
  /** What was read, less the mean of its group. */
  readonly centred: Readings;
}

class Mean {
  sum = 0;
  total = 0;
  n = 0;
  add(value: number, weight: number): void {
    this.sum += value * weight;
    this.total += weight;
    this.n += 1;
  }
}

/** The mean as if so many jobs of today told none. */
const drawnToNone = ({ sum, total }: Mean, jobs: number): number => sum / (total + jobs);

function at<K, V>(map: Map<K, V>, key: K, make: () => V): V {
  const had = map.get(key);
  if (had !== undefined) return had;
  const made = make();
  map.set(key, made);
  return made;
}

/** A group's own middle drawn towards its parent's, which counts as PARENT_JOBS jobs finished today; as it is where there is no parent. */
export function drawn(own: number, effectiveN: number, parent: number): number {
  const weight = effectiveN / (effectiveN + PARENT_JOBS);
  return Number.isFinite(parent) ? weight * own + (1 - weight) * parent : own;
}

const clip = (value: number): number => Math.min(MOST_ADJUSTMENT, Math.max(-MOST_ADJUSTMENT, value));
const LEVELS = middleLevels.length;
const NO_READINGS: readonly number[] = readFeatures.map(() => 0);
const READ = readFeatures.length;

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
  private readonly complaints = new Map<number, Mean>();
  private readonly branches = new Map<number, Mean>();
  private readonly readMeans = new Map<number, readonly Mean[]>();
  private readonly planes = new Map<number, CrossMoments>();
  private readonly slopes = new Map<number, Float64Array | null>();
  /** What was told of each row, held as plain figures: there are many. */
  private readonly levels: Int8Array;
  private readonly centres: Float64Array;
  private readonly adjustments: Float64Array;
  private readonly ofComplaint: Float64Array;
  private readonly ofBranch: Float64Array;
  private readonly centred: Float64Array;

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
    this.adjustments = new Float64Array(rows);
    this.ofComplaint = new Float64Array(rows);
    this.ofBranch = new Float64Array(rows);
    this.centred = new Float64Array(rows * READ).fill(NaN);
  }

  /** Moves on to a day on which a job just finished has the weight `now`; what was learnt since counts from here on. */
  moveTo(now: number): void {
    this.now = now;
    this.slopes.clear();
    this.spreads.clear();
  }

  quoteRow(row: number): Told {
    const told = this.quote(placeOfRow(this.history, row), readingsAt(this.readings, row));
    this.levels[row] = told.level;
    this.adjustments[row] = told.adjustment;
    this.ofComplaint[row] = told.complaint;
    this.ofBranch[row] = told.branch;
    for (let level = 0; level < LEVELS; level += 1)
      this.centres[row * LEVELS + level] = told.middles[level]?.centre ?? NaN;
    for (let k = 0; k < READ; k += 1) this.centred[row * READ + k] = told.centred[k] ?? NaN;
    return told;
  }

  /** What came of a row less what was told of it for a level, on the scale of the figure; NaN where either is not known. */
  missOf(row: number, level: number): number {
    const centre = this.centres[row * LEVELS + level] ?? NaN;
    return (this.values[row] ?? NaN) - centre - (this.adjustments[row] ?? NaN);
  }

  quote(place: Place, readings: Readings): Told {
    const middles = this.middlesOf(place);
    const level = middles.findIndex(({ centre }) => Number.isFinite(centre));
    const base = { place, middles, level, centred: this.centre(place, readings) };
    const ofWork = level >= 0 && (middles[2]?.n ?? 0) >= FEWEST_JOBS;
    const mean = ofWork ? this.complaints.get(place.work * 65_536 + place.complaint) : undefined;
    const complaint = mean === undefined ? 0 : drawnToNone(mean, COMPLAINT_JOBS * this.now);
    const branch = ofWork ? this.branchPart(place) : { add: 0, n: 0 };
    const { read, n } = ofWork ? this.readPart(place.work, base.centred) : { read: NO_READINGS, n: 0 };
    const sum = read.reduce((total, part) => total + part, complaint + branch.add);
    const kept = sum === 0 ? 1 : clip(sum) / sum;
    return {
      ...base,
      complaint: complaint * kept,
      complaintN: complaint === 0 ? 0 : (mean?.n ?? 0),
      branch: branch.add * kept,
      branchN: branch.n,
      read: kept === 1 ? read : read.map((part) => part * kept),
      readN: n,
      adjustment: clip(sum),
    };
  }

  /** A branch's offset in all works, drawn towards none: one that is slower is so whatever it does. */
  private branchPart({ branch }: Place): { readonly add: number; readonly n: number } {
    const all = this.branches.get(branch);
    return all === undefined ? { add: 0, n: 0 } : { add: drawnToNone(all, BRANCH_JOBS * this.now), n: all.n };
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

  /** What was read less the mean of the model's jobs of this work, which is drawn towards that of all models. */
  private centre({ model, work }: Place, readings: Readings): Readings {
    const own = this.readMeans.get(model * 4096 + work);
    const all = this.readMeans.get(-1 - work);
    return readings.map((value, k) => {
      const [mine, theirs] = [own?.[k], all?.[k]];
      if (theirs === undefined || theirs.n === 0) return NaN;
      const parent = theirs.sum / theirs.total;
      const counted = PARENT_JOBS * this.now;
      return value - ((mine?.sum ?? 0) + counted * parent) / ((mine?.total ?? 0) + counted);
    });
  }

  /** What each reading adds. With too few jobs in which the same was read the least telling is left out. */
  private readPart(work: number, centred: Readings): ReadPart {
    let mask = maskOf(centred);
    // No `for`: the bundler takes the step of one whose body ends by returning for code that is never reached.
    while (mask !== 0) {
      const part = this.readBy(work, mask, centred);
      if (part !== null) return part;
      mask = withoutLast(mask);
    }
    return { read: NO_READINGS, n: 0 };
  }

  /** The same by just these readings; null where too few jobs have them. */
  private readBy(work: number, mask: number, centred: Readings): ReadPart | null {
    const key = work * 16 + mask;
    const plane = this.planes.get(key);
    const places = placesOf[mask] ?? [];
    if (plane === undefined || plane.n < JOBS_A_FEATURE * places.length) return null;
    if (!this.slopes.has(key)) this.slopes.set(key, plane.slopes());
    const slopes = this.slopes.get(key);
    if (slopes === null || slopes === undefined) return null;
    const read = centred.map(() => 0);
    places.forEach((k, i) => (read[k] = (slopes[i] ?? 0) * (centred[k] ?? 0)));
    return { read, n: plane.n };
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
    if (level === 0) this.learnFeatures(row, place, weight);
    for (let k = 0; k < READ; k += 1) {
      const reading = this.readings[row * READ + k] ?? NaN;
      if (!Number.isFinite(reading)) continue;
      for (const key of [place.model * 4096 + place.work, -1 - place.work]) {
        at(this.readMeans, key, () => readFeatures.map(() => new Mean()))[k]?.add(reading, weight);
      }
    }
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

  private learnFeatures(row: number, place: Place, weight: number): void {
    const miss = clip(this.missOf(row, 0) + (this.adjustments[row] ?? 0));
    if (place.complaint >= 0) {
      at(this.complaints, place.work * 65_536 + place.complaint, () => new Mean()).add(miss, weight);
    }
    const [ofComplaint, ofBranch] = [this.ofComplaint[row] ?? 0, this.ofBranch[row] ?? 0];
    if (place.branch >= 0) at(this.branches, place.branch, () => new Mean()).add(miss - ofComplaint, weight);
    const centred = readingsAt(this.centred, row);
    const mask = maskOf(centred);
    for (let part = mask; part !== 0; part = (part - 1) & mask) {
      const places = placesOf[part] ?? [];
      at(this.planes, place.work * 16 + part, () => new CrossMoments(places.length)).add(
        places.map((k) => centred[k] ?? NaN),
        miss - ofComplaint - ofBranch,
        weight,
      );
    }
  }
}
