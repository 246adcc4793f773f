import { CrossMoments } from '../stats/crossMoments';
import { maskOf, placesOf, readFeatures, readingsAt, withoutLast, type Readings } from './features';
import type { Place } from './groups';
import { MOST_ADJUSTMENT, PARENT_JOBS } from './settings';

/** What the complaint, the branch and the readings as received add to the middle of a figure, on its scale. Formulas in docs/quote.md. */

interface ReadPart {
  readonly read: readonly number[];
  readonly n: number;
}

/** What features add to one job, by what was known at the time. */
export interface Offset {
  /** Of the complaint, of the branch, then of what is read; and the jobs behind each. */
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

/** By how many jobs what features add is drawn towards none. */
export interface Drawing {
  readonly complaintJobs: number;
  readonly branchJobs: number;
  /** Jobs that a slope takes for each thing read. */
  readonly jobsAFeature: number;
  /** A slope is drawn towards none as by so many jobs for each thing read. */
  readonly slopeJobs: number;
}

/** A mean that is kept up job by job. */
export class Mean {
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

export function at<K, V>(map: Map<K, V>, key: K, make: () => V): V {
  const had = map.get(key);
  if (had !== undefined) return had;
  const made = make();
  map.set(key, made);
  return made;
}

/** A miss as far as it counts in what features add. */
export const clip = (value: number): number => Math.min(MOST_ADJUSTMENT, Math.max(-MOST_ADJUSTMENT, value));
const NO_READINGS: readonly number[] = readFeatures.map(() => 0);
const READ = readFeatures.length;

/** Misses of finished jobs by complaint, by branch and by what was read, as time goes on. */
export class Offsets {
  /** Weight of a job finished now; old jobs weigh less against it as time goes on. */
  private now = 1;
  private readonly complaints = new Map<number, Mean>();
  private readonly branches = new Map<number, Mean>();
  private readonly readMeans = new Map<number, readonly Mean[]>();
  private readonly planes = new Map<number, CrossMoments>();
  private readonly slopes = new Map<number, Float64Array | null>();
  /** What was told of each row, held as plain figures: there are many. */
  private readonly adjustments: Float64Array;
  private readonly ofComplaint: Float64Array;
  private readonly ofBranch: Float64Array;
  private readonly centred: Float64Array;

  /**
   * @param weights of each row, by the day it was finished
   * @param readings of each row, from `readingsOf`
   */
  constructor(
    private readonly weights: Float64Array,
    private readonly readings: Float64Array,
    private readonly drawing: Drawing,
  ) {
    const rows = weights.length;
    this.adjustments = new Float64Array(rows);
    this.ofComplaint = new Float64Array(rows);
    this.ofBranch = new Float64Array(rows);
    this.centred = new Float64Array(rows * READ).fill(NaN);
  }

  moveTo(now: number): void {
    this.now = now;
    this.slopes.clear();
  }

  /** @param ofWork whether the work itself tells a middle: where all jobs stand in, features add nothing */
  tell(place: Place, readings: Readings, ofWork: boolean): Offset {
    const centred = this.centre(place, readings);
    const mean = ofWork ? this.complaints.get(place.work * 65_536 + place.complaint) : undefined;
    const complaint = mean === undefined ? 0 : drawnToNone(mean, this.drawing.complaintJobs * this.now);
    const branch = ofWork ? this.branchPart(place) : { add: 0, n: 0 };
    const { read, n } = ofWork ? this.readPart(place.work, centred) : { read: NO_READINGS, n: 0 };
    const sum = read.reduce((total, part) => total + part, complaint + branch.add);
    const kept = sum === 0 ? 1 : clip(sum) / sum;
    return {
      complaint: complaint * kept,
      complaintN: complaint === 0 ? 0 : (mean?.n ?? 0),
      branch: branch.add * kept,
      branchN: branch.n,
      read: kept === 1 ? read : read.map((part) => part * kept),
      readN: n,
      adjustment: clip(sum),
      centred,
    };
  }

  /** Holds what was told of a row until it is finished. */
  keep(row: number, told: Offset): void {
    this.adjustments[row] = told.adjustment;
    this.ofComplaint[row] = told.complaint;
    this.ofBranch[row] = told.branch;
    for (let k = 0; k < READ; k += 1) this.centred[row * READ + k] = told.centred[k] ?? NaN;
  }

  /** What was added to a row; 0 where it was not quoted. */
  adjustmentOf(row: number): number {
    return this.adjustments[row] ?? NaN;
  }

  /** A branch's offset in all works, drawn towards none: one that is slower is so whatever it does. */
  private branchPart({ branch }: Place): { readonly add: number; readonly n: number } {
    const all = this.branches.get(branch);
    return all === undefined
      ? { add: 0, n: 0 }
      : { add: drawnToNone(all, this.drawing.branchJobs * this.now), n: all.n };
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
    if (plane === undefined || plane.n < this.drawing.jobsAFeature * places.length) return null;
    if (!this.slopes.has(key)) this.slopes.set(key, plane.slopes());
    const slopes = this.slopes.get(key);
    if (slopes === null || slopes === undefined) return null;
    const read = centred.map(() => 0);
    const kept = plane.total / (plane.total + this.drawing.slopeJobs * places.length * this.now);
    places.forEach((k, i) => (read[k] = kept * (slopes[i] ?? 0) * (centred[k] ?? 0)));
    return { read, n: plane.n };
  }

  /** Takes in the readings of a finished job. */
  learnReadings(row: number, place: Place): void {
    const weight = this.weights[row] ?? NaN;
    for (let k = 0; k < READ; k += 1) {
      const reading = this.readings[row * READ + k] ?? NaN;
      if (!Number.isFinite(reading)) continue;
      for (const key of [place.model * 4096 + place.work, -1 - place.work]) {
        at(this.readMeans, key, () => readFeatures.map(() => new Mean()))[k]?.add(reading, weight);
      }
    }
  }

  /** @param miss what came of the row less the middle of its group, without what features added, as far as it counts (`clip`) */
  learnMiss(row: number, place: Place, miss: number): void {
    const weight = this.weights[row] ?? NaN;
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
