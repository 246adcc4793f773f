import { code, codes } from '../layout';
import { ASSUMED_TOLERANCE_DEG } from './phasing';
import { ShimLifts } from './shimlift';
import { isStated, outside, ShimSteps, SLACK } from './shimsteps';
import { highestLift, lowestLift } from './timing';
import type { Spec } from '../types';
import { within } from '../proof/verdict';

/** What a plan says of itself, in the order of its numbers. */
export const planStatuses = codes.plan;
export type PlanStatus = (typeof planStatuses)[number];

const status = (word: PlanStatus): number => code('plan', word);
const IN_ALREADY = status('in already');
const POSSIBLE = status('possible');
const CLOSEST = status('closest');
const NOT_MEASURED = status('not measured');
const LIFT_NOT_READ = status('lift not read');
const INCOMPLETE = status('incomplete');

/** Phase errors lie in (-180, 180]; anything else was not measured. */
const isMeasured = (error: number): boolean => Math.abs(error) <= 180;

/** What a plan is made from and written into: the caller's own arrays, each at least `elements` long, by element - 1. */
export interface PlanArrays {
  /** Phase errors [deg of camshaft]; negative is early. NaN where not measured. */
  readonly errors: Float64Array;
  /** Stacks as they are [mm], of a split pair the mean of its halves; NaN where not known. A screw has none. */
  readonly before: Float64Array;
  /** Written: change [mm] of the stack (of both halves of a pair); positive adds, or raises the screw. NaN: not planned. */
  readonly changes: Float64Array;
  /** Written: phase errors after those changes [deg of camshaft]; NaN where not planned. Not brought back by whole turns. */
  readonly errorsAfter: Float64Array;
}

const cell = (column: ArrayLike<number>, k: number): number => column[k] ?? NaN;

/**
 * The least-rework shim plan of one specification: after it the reference lift lies in its band and every phase error in
 * tolerance, with the fewest barrels off (the reference counted), then the least sum of changes, then the largest error left
 * as small as it can be, then the lift nearest to nominal. Ours; how errors go with lift stands in `ShimLifts`.
 *
 * The plan is exact. Once the reference's change is given, no element bears on another: fewest barrels and least sum of the whole
 * are those of each element by itself, and an element that must move has one smallest change that serves. So every change of
 * the reference that the band allows is tried, each with the smallest change of every element.
 *
 * Where tolerance can't be reached, the plan comes closest: it makes the largest excess as small as it can be [mm of lift: how far
 * an element closes outside the lifts that it may close at, or the lift lies past its band], then the sum of all of them, so
 * that what can be brought in is brought in, and then the same things in the same order. Where the lift was not read, or its band is not
 * stated or is upside down, the reference stays. Where shims go by size, an element whose stack is not known stays.
 *
 * One planner serves every run of its specification. The figures of the last plan stand in its fields until the next, so that
 * no object is made a run.
 */
export class ShimPlanner {
  /** The step that changes go by [mm]; NaN where they go by sizes on hand. */
  readonly step: number;
  readonly stepAssumed: boolean;

  /**
   * Place of the answer in `planStatuses`: not measured where there is nothing to plan from; else, in this order, incomplete
   * where an element was not measured, lift not read where the lift cannot be judged, closest, in already or possible.
   */
  status = NOT_MEASURED;
  /** Whether all that was planned ends in tolerance; an element or lift that was not read does not count. */
  inTolerance = false;
  /** Barrels (or tappets) that change, the reference counted. */
  barrels = 0;
  /** Sum of the sizes of their changes [mm]; NaN where nothing was measured. */
  moved = NaN;
  /** Reference lift after the plan [mm]; NaN where it was not read. */
  liftAfter = NaN;
  /** Largest phase error left, by size [deg of camshaft]; NaN where none was measured, 0 for a pump of one element. */
  worstAfter = NaN;

  private readonly reference: number;
  private readonly low: number;
  private readonly high: number;
  private readonly bandStated: boolean;
  private readonly steps: ShimSteps;
  private readonly lifts: ShimLifts;

  // The search is in mm of lift: y is the change of an element's lift, x = s y that of its adjuster. It has no sign to mind.
  private lift = NaN;
  private readonly tried: Float64Array;
  private readonly best: Float64Array;
  private bestY = NaN;
  private bestExcess = Infinity;
  private bestBarrels = Infinity;
  private bestMoved = Infinity;
  private bestWorst = Infinity;
  private bestOff = Infinity;
  private leastExcess = Infinity;

  /** @param tolerance phase error allowed either way [deg of camshaft]; 0.5 is assumed where it is NaN or below 0 */
  constructor(
    private readonly spec: Spec,
    tolerance: number,
  ) {
    this.steps = new ShimSteps(spec);
    this.step = this.steps.step;
    this.stepAssumed = this.steps.assumed;
    this.reference = (spec.firing_order[0] ?? 1) - 1;
    this.low = lowestLift(spec);
    this.high = highestLift(spec);
    this.bandStated = isStated(this.low) && isStated(this.high) && this.low <= this.high;
    const allowed = tolerance >= 0 ? tolerance : ASSUMED_TOLERANCE_DEG;
    // As much past the limit as verdicts still count as in.
    this.lifts = new ShimLifts(spec, allowed + SLACK * Math.max(1, allowed));
    this.tried = new Float64Array(spec.elements);
    this.best = new Float64Array(spec.elements);
  }

  /**
   * Plans from one measurement; the answer is in this object's fields and in the arrays.
   * @param lift reference lift to port closure as measured [mm]; NaN where it was not read
   */
  plan(lift: number, arrays: PlanArrays): void {
    this.lift = isStated(lift) ? lift : NaN;
    const others = this.measured(arrays);
    if (others === 0 && Number.isNaN(this.lift)) {
      this.answerNotMeasured(arrays);
      return;
    }
    const held = this.referenceHeld();
    this.lifts.measure(this.lift, arrays.errors, held ? NaN : this.low, held ? NaN : this.high);
    this.search(0, arrays);
    this.inTolerance = !Number.isNaN(this.bestY);
    if (!this.inTolerance) {
      this.findLeastExcess(arrays);
      this.search(this.leastExcess + SLACK, arrays);
    }
    this.writeBest(arrays, others);
    this.status = this.statusOf(others);
  }

  /** Elements other than the reference whose phase error is known. */
  private measured({ errors }: PlanArrays): number {
    let count = 0;
    for (let k = 0; k < this.spec.elements; k++) {
      if (k !== this.reference && isMeasured(cell(errors, k))) count++;
    }
    return count;
  }

  private answerNotMeasured({ changes, errorsAfter }: PlanArrays): void {
    changes.fill(NaN, 0, this.spec.elements);
    errorsAfter.fill(NaN, 0, this.spec.elements);
    this.status = NOT_MEASURED;
    this.inTolerance = false;
    this.barrels = 0;
    this.moved = NaN;
    this.liftAfter = NaN;
    this.worstAfter = NaN;
  }

  private statusOf(others: number): number {
    if (others < this.spec.elements - 1) return INCOMPLETE;
    if (this.referenceHeld()) return LIFT_NOT_READ;
    if (!this.inTolerance) return CLOSEST;
    return this.barrels === 0 ? IN_ALREADY : POSSIBLE;
  }

  private referenceHeld(): boolean {
    return Number.isNaN(this.lift) || !this.bandStated;
  }

  /** How far the reference lift lies outside its band after a change `y` [mm]; 0 where it is held. */
  private liftExcess(y: number): number {
    const after = this.lift + y;
    if (this.referenceHeld() || within(after, this.low, this.high)) return 0;
    return after < this.low ? this.low - after : after - this.high;
  }

  /** Tries every change of the reference that leaves the lift no more than `allowed` [mm] outside its band. */
  private search(allowed: number, arrays: PlanArrays): void {
    this.bestY = NaN;
    this.bestExcess = Infinity;
    this.bestBarrels = Infinity;
    if (this.liftExcess(0) <= allowed) this.tryReference(0, allowed, arrays);
    if (this.referenceHeld()) return;
    const before = this.stackOf(arrays, this.reference);
    if (this.steps.sizes !== null) {
      for (const size of this.steps.sizes) {
        const y = this.steps.bySize(size, before);
        if (y !== 0 && this.liftExcess(y) <= allowed) this.tryReference(y, allowed, arrays);
      }
      return;
    }
    const reach = allowed + SLACK * Math.max(1, Math.abs(this.low), Math.abs(this.high));
    const first = Math.max(this.steps.fewest(before), Math.ceil((this.low - reach - this.lift) / this.step));
    const last = Math.min(this.steps.most(before), Math.floor((this.high + reach - this.lift) / this.step));
    for (let steps = first; steps <= last; steps++) {
      const y = steps * this.step;
      if (steps !== 0 && this.liftExcess(y) <= allowed) this.tryReference(y, allowed, arrays);
    }
  }

  /** Weighs the cheapest plan that has this change of the reference lift [mm], and keeps it where it is the best so far. */
  private tryReference(yReference: number, allowed: number, arrays: PlanArrays): void {
    if (!this.lifts.moveReference(yReference)) return;
    let barrels = yReference === 0 ? 0 : 1;
    let moved = Math.abs(yReference);
    let excess = allowed > 0 ? this.liftExcess(yReference) : 0;
    for (let k = 0; k < this.spec.elements; k++) {
      const error = cell(arrays.errors, k);
      if (k === this.reference || !isMeasured(error)) continue;
      const place = this.lifts.place(k, error);
      const y = this.choose(place, allowed, this.stackOf(arrays, k));
      if (Number.isNaN(y)) return;
      const past = this.excessAt(place + y);
      if (past > allowed) return;
      this.tried[k] = y;
      excess += past;
      if (y !== 0) barrels++;
      if (allowed === 0 && barrels > this.bestBarrels) return;
      moved += Math.abs(y);
    }
    const before = this.rank(excess, barrels, moved);
    if (before < 0) return;
    const worst = this.worstTried(arrays);
    const fromNominal = Math.abs(this.lift + yReference - this.spec.lift_mm);
    if (before === 0 && !this.isNearer(worst, fromNominal)) return;
    this.best.set(this.tried);
    this.bestY = yReference;
    this.bestExcess = excess;
    this.bestBarrels = barrels;
    this.bestMoved = moved;
    this.bestWorst = worst;
    this.bestOff = fromNominal;
  }

  /** Above 0 where these go before the best so far, 0 where they are like it, below 0 where they come after it. */
  private rank(excess: number, barrels: number, moved: number): number {
    if (!(Math.abs(excess - this.bestExcess) <= SLACK)) return excess < this.bestExcess ? 1 : -1;
    if (barrels !== this.bestBarrels) return barrels < this.bestBarrels ? 1 : -1;
    if (Math.abs(moved - this.bestMoved) > SLACK) return moved < this.bestMoved ? 1 : -1;
    return 0;
  }

  private isNearer(worst: number, fromNominal: number): boolean {
    if (Math.abs(worst - this.bestWorst) > SLACK) return worst < this.bestWorst;
    return fromNominal < this.bestOff - SLACK;
  }

  private worstTried({ errors }: PlanArrays): number {
    let worst = 0;
    for (let k = 0; k < this.spec.elements; k++) {
      const error = cell(errors, k);
      if (k === this.reference || !isMeasured(error)) continue;
      worst = Math.max(worst, Math.abs(this.lifts.errorAfter(k, error, cell(this.tried, k))));
    }
    return worst;
  }

  private readonly reaches = (place: number): boolean => this.lifts.reaches(place);

  /** How far an element closes outside what it may [mm of lift]. */
  private excessAt(place: number): number {
    return outside(place, this.lifts.from, this.lifts.to);
  }

  /** The smallest change that brings an element in; where none does and an excess is allowed, the one that comes nearest. */
  private choose(place: number, allowed: number, stack: number): number {
    const { from, to } = this.lifts;
    const y = this.steps.cheapest(place, from, to, stack);
    return Number.isNaN(y) && allowed > 0 ? this.nearest(place, stack) : y;
  }

  private nearest(place: number, stack: number): number {
    return this.steps.nearest(place, this.lifts.from, this.lifts.to, stack, this.reaches);
  }

  /**
   * Finds how small the largest excess [mm of lift] can be made. That of the lift grows with its distance from the band, so
   * steps are tried from there outwards, until the lift by itself is no better than the best so far.
   */
  private findLeastExcess(arrays: PlanArrays): void {
    this.leastExcess = Infinity;
    this.weighExcess(0, arrays);
    if (this.referenceHeld()) return;
    const before = this.stackOf(arrays, this.reference);
    if (this.steps.sizes !== null) {
      for (const size of this.steps.sizes) this.weighExcess(this.steps.bySize(size, before), arrays);
      return;
    }
    const toBand = Math.round((this.low - this.lift) / this.step);
    const start = Math.min(this.steps.most(before), Math.max(this.steps.fewest(before), toBand));
    for (let n = start; n <= this.steps.most(before); n++) {
      if (!this.weighExcess(n * this.step, arrays) && this.lift + n * this.step > this.high) break;
    }
    for (let n = start - 1; n >= this.steps.fewest(before); n--) {
      if (!this.weighExcess(n * this.step, arrays) && this.lift + n * this.step < this.low) break;
    }
  }

  /** Keeps the largest excess at this change of the reference lift, if the least so far; false where the lift's own is not. */
  private weighExcess(yReference: number, arrays: PlanArrays): boolean {
    let excess = this.liftExcess(yReference);
    if (!(excess < this.leastExcess) || !this.lifts.moveReference(yReference)) return false;
    for (let k = 0; k < this.spec.elements && excess < this.leastExcess; k++) {
      const error = cell(arrays.errors, k);
      if (k === this.reference || !isMeasured(error)) continue;
      const place = this.lifts.place(k, error);
      excess = Math.max(excess, this.excessAt(place + this.nearest(place, this.stackOf(arrays, k))));
    }
    this.leastExcess = Math.min(this.leastExcess, excess);
    return true;
  }

  private stackOf({ before }: PlanArrays, k: number): number {
    return this.steps.stack(cell(before, k));
  }

  private writeBest({ errors, changes, errorsAfter }: PlanArrays, others: number): void {
    this.lifts.moveReference(this.bestY);
    for (let k = 0; k < this.spec.elements; k++) {
      const error = cell(errors, k);
      const isReference = k === this.reference;
      const known = isReference || isMeasured(error);
      const y = isReference ? this.bestY : known ? cell(this.best, k) : NaN;
      // Adding 0 keeps a change of nothing from being written as -0.
      changes[k] = y * this.steps.sign + 0;
      errorsAfter[k] = isReference ? error : known ? this.lifts.errorAfter(k, error, y) : NaN;
    }
    this.barrels = this.bestBarrels;
    this.moved = this.bestMoved;
    this.liftAfter = this.lift + this.bestY;
    this.worstAfter = others === 0 && this.spec.elements > 1 ? NaN : this.bestWorst;
  }
}
