import { liftRate } from './cam';
import { code, codes } from './layout';
import { ASSUMED_TOLERANCE_DEG, LEAST_CHANGE_MM } from './phasing';
import { highestLift, liftPerAdjuster, lowestLift } from './timing';
import type { Spec } from './types';
import { within } from './verdict';

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

/** Step of shims where the specification states neither step nor sizes [mm]. Common practice, no source. */
export const ASSUMED_STEP_MM = 0.05;
/** Steps that one turn of a tappet screw is taken to have where none is stated. Common practice, no source. */
export const ASSUMED_STEPS_PER_TURN = 12;

/** Two lengths nearer than this are one [mm], as for limits: far below any gauge, above what binary arithmetic loses. */
const SLACK = 1e-9;
/** A length from here on is no reading and no limit of a pump [mm]; the search stays finite below it. */
const BEYOND_ANY_PUMP_MM = 1000;

const isStated = (mm: number): boolean => Math.abs(mm) < BEYOND_ANY_PUMP_MM;
const isStep = (mm: number): boolean => mm > LEAST_CHANGE_MM && isStated(mm);
/** Phase errors lie in (-180, 180]; anything else was not measured. */
const isMeasured = (error: number): boolean => Math.abs(error) <= 180;

/** The step that changes go by [mm], and whether it was assumed. NaN where shims go by a list of sizes. */
export interface PlanStep {
  readonly step: number;
  readonly assumed: boolean;
}

/**
 * The step as the specification states it; for a screw without one a twelfth of a turn, else 0.05 mm, both assumed. A step no
 * greater than the least change that can be told counts as not stated. A list of sizes goes before a step, and a screw has none.
 */
export function planStep(spec: Spec): PlanStep {
  const isScrew = spec.adjuster === 'tappet_screw';
  if (!isScrew && spec.shim_sizes_mm !== null) return { step: NaN, assumed: false };
  if (isStep(spec.shim_step_mm)) return { step: spec.shim_step_mm, assumed: false };
  const ofTurn = spec.screw_mm_per_turn / ASSUMED_STEPS_PER_TURN;
  return { step: isScrew && isStep(ofTurn) ? ofTurn : ASSUMED_STEP_MM, assumed: true };
}

/** What a plan is made from and written into: the caller's own arrays, each at least `elements` long, by element - 1. */
export interface PlanArrays {
  /** Phase errors [deg of camshaft]; negative is early. NaN where not measured. */
  readonly errors: Float64Array;
  /** Stacks as they are [mm], of a split pair one half; NaN where not known. A screw has none. */
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
 * as small as it can be, then the lift nearest to nominal. Ours; after the changes x an error is e + s (x - x_ref) / v, with
 * s = dh/ds and v the lift rate at the new reference lift.
 *
 * The plan is exact. Once x_ref is given, no element bears on another: fewest barrels and least sum of the whole are those of
 * each element by itself, and an element that must move has one smallest change that serves. So every x_ref that the band
 * allows is tried, each with the smallest change of every element.
 *
 * Where tolerance can't be reached, the plan comes closest: it makes the largest excess as small as it can be [mm of lift: an
 * error past its tolerance, times v, or the lift past its band], then the sum of all of them, so that what can be brought in is
 * brought in, and then the same things in the same order. Where the lift was not read, or its band is not stated or is upside down, the reference
 * stays. Where shims go by size, an element whose stack is not known stays.
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
  private readonly sign: 1 | -1;
  private readonly sizes: readonly number[] | null;
  private readonly hasStacks: boolean;
  private readonly low: number;
  private readonly high: number;
  private readonly bandStated: boolean;
  private readonly limit: number;
  private readonly tolerance: number;

  // The search is in mm of lift: y is the change of an element's lift, x = s y that of its adjuster. It has no sign to mind.
  private lift = NaN;
  private rate = NaN;
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
    const { step, assumed } = planStep(spec);
    this.step = step;
    this.stepAssumed = assumed;
    this.reference = (spec.firing_order[0] ?? 1) - 1;
    this.sign = liftPerAdjuster(spec.adjuster);
    this.hasStacks = spec.adjuster !== 'tappet_screw';
    this.sizes = this.hasStacks ? spec.shim_sizes_mm : null;
    this.low = lowestLift(spec);
    this.high = highestLift(spec);
    this.bandStated = isStated(this.low) && isStated(this.high) && this.low <= this.high;
    const allowed = tolerance >= 0 ? tolerance : ASSUMED_TOLERANCE_DEG;
    // As much past the limit as verdicts still count as in.
    this.limit = allowed;
    this.tolerance = allowed + SLACK * Math.max(1, allowed);
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
    this.search(0, arrays);
    this.inTolerance = !Number.isNaN(this.bestY);
    if (!this.inTolerance) {
      this.findLeastExcess(arrays);
      this.search(this.leastExcess + SLACK, arrays);
    }
    this.writeBest(arrays, this.inTolerance ? 0 : this.leastExcess + SLACK, others);
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
    const before = this.stackOf(arrays.before, this.reference);
    if (this.sizes !== null) {
      for (const size of this.sizes) {
        const y = this.bySize(size, before);
        if (y !== 0 && this.liftExcess(y) <= allowed) this.tryReference(y, allowed, arrays);
      }
      return;
    }
    const reach = allowed + SLACK * Math.max(1, Math.abs(this.low), Math.abs(this.high));
    const first = Math.max(this.fewestSteps(before), Math.ceil((this.low - reach - this.lift) / this.step));
    const last = Math.min(this.mostSteps(before), Math.floor((this.high + reach - this.lift) / this.step));
    for (let steps = first; steps <= last; steps++) {
      const y = steps * this.step;
      if (steps !== 0 && this.liftExcess(y) <= allowed) this.tryReference(y, allowed, arrays);
    }
  }

  /** Weighs the cheapest plan that has this change of the reference lift [mm], and keeps it where it is the best so far. */
  private tryReference(yReference: number, allowed: number, { errors, before }: PlanArrays): void {
    this.rate = liftRate(this.spec, this.lift + yReference).rate;
    let barrels = yReference === 0 ? 0 : 1;
    let moved = Math.abs(yReference);
    let worst = 0;
    let excess = allowed > 0 ? this.liftExcess(yReference) : 0;
    for (let k = 0; k < this.spec.elements; k++) {
      const error = cell(errors, k);
      if (k === this.reference || !isMeasured(error)) continue;
      const off = error * this.rate - yReference;
      const y = this.choose(off, allowed, this.stackOf(before, k));
      if (Number.isNaN(y)) return;
      const past = this.pastTolerance(off + y);
      if (past > allowed) return;
      excess += past;
      if (y !== 0) barrels++;
      if (allowed === 0 && barrels > this.bestBarrels) return;
      moved += Math.abs(y);
      worst = Math.max(worst, Math.abs(off + y) / this.rate);
    }
    const fromNominal = Math.abs(this.lift + yReference - this.spec.lift_mm);
    if (!this.isBetter(excess, barrels, moved, worst, fromNominal)) return;
    this.bestY = yReference;
    this.bestExcess = excess;
    this.bestBarrels = barrels;
    this.bestMoved = moved;
    this.bestWorst = worst;
    this.bestOff = fromNominal;
  }

  private isBetter(excess: number, barrels: number, moved: number, worst: number, fromNominal: number): boolean {
    if (!(Math.abs(excess - this.bestExcess) <= SLACK)) return excess < this.bestExcess;
    if (barrels !== this.bestBarrels) return barrels < this.bestBarrels;
    if (Math.abs(moved - this.bestMoved) > SLACK) return moved < this.bestMoved;
    if (Math.abs(worst - this.bestWorst) > SLACK) return worst < this.bestWorst;
    return fromNominal < this.bestOff - SLACK;
  }

  /** How far an element `off` by so much lies past its tolerance [mm of lift]; 0 within it. */
  private pastTolerance(off: number): number {
    return Math.abs(off) <= this.tolerance * this.rate ? 0 : Math.abs(off) - this.limit * this.rate;
  }

  /** The smallest change that brings an element in; where none does and an excess is allowed, the one that comes nearest. */
  private choose(off: number, allowed: number, before: number): number {
    const y = this.cheapest(off, before);
    return Number.isNaN(y) && allowed > 0 ? this.nearest(off, before) : y;
  }

  /**
   * The smallest change of lift [mm] that brings an element `off` by so much [mm of lift; positive is late] to its tolerance.
   * NaN where none does.
   */
  private cheapest(off: number, before: number): number {
    const half = this.tolerance * this.rate;
    if (Math.abs(off) <= half) return 0;
    if (this.sizes !== null) return this.cheapestSize(off, half, before);
    // All changes that serve go one way, and none of them is beyond the stack where the smallest is not.
    const steps = Math.ceil((Math.abs(off) - half) / this.step) * (off > 0 ? -1 : 1);
    const serves = Math.abs(off + steps * this.step) <= half;
    const allowedByStack = steps >= this.fewestSteps(before) && steps <= this.mostSteps(before);
    return serves && allowedByStack ? steps * this.step : NaN;
  }

  private cheapestSize(off: number, half: number, before: number): number {
    let best = NaN;
    for (const size of this.sizes ?? []) {
      const y = this.bySize(size, before);
      if (Math.abs(off + y) <= half && !(Math.abs(y) >= Math.abs(best))) best = y;
    }
    return best;
  }

  /**
   * Finds how small the largest excess [mm of lift] can be made. That of the lift grows with its distance from the band, so
   * steps are tried from there outwards, until the lift by itself is no better than the best so far.
   */
  private findLeastExcess(arrays: PlanArrays): void {
    this.leastExcess = Infinity;
    this.weighExcess(0, arrays);
    if (this.referenceHeld()) return;
    const before = this.stackOf(arrays.before, this.reference);
    if (this.sizes !== null) {
      for (const size of this.sizes) this.weighExcess(this.bySize(size, before), arrays);
      return;
    }
    const toBand = Math.round((this.low - this.lift) / this.step);
    const start = Math.min(this.mostSteps(before), Math.max(this.fewestSteps(before), toBand));
    for (let n = start; n <= this.mostSteps(before); n++) {
      if (!this.weighExcess(n * this.step, arrays) && this.lift + n * this.step > this.high) break;
    }
    for (let n = start - 1; n >= this.fewestSteps(before); n--) {
      if (!this.weighExcess(n * this.step, arrays) && this.lift + n * this.step < this.low) break;
    }
  }

  /** Keeps the largest excess at this change of the reference lift, if the least so far; false where the lift's own is not. */
  private weighExcess(yReference: number, { errors, before }: PlanArrays): boolean {
    let excess = this.liftExcess(yReference);
    if (!(excess < this.leastExcess)) return false;
    this.rate = liftRate(this.spec, this.lift + yReference).rate;
    for (let k = 0; k < this.spec.elements && excess < this.leastExcess; k++) {
      const error = cell(errors, k);
      if (k === this.reference || !isMeasured(error)) continue;
      const off = error * this.rate - yReference;
      excess = Math.max(excess, this.pastTolerance(off + this.nearest(off, this.stackOf(before, k))));
    }
    this.leastExcess = Math.min(this.leastExcess, excess);
    return true;
  }

  /** The change [mm of lift] that brings an element `off` by so much nearest to 0; the smallest of those that come as near. */
  private nearest(off: number, before: number): number {
    if (this.sizes === null) {
      const nearest = Math.round(-off / this.step);
      return Math.min(this.mostSteps(before), Math.max(this.fewestSteps(before), nearest)) * this.step;
    }
    let best = 0;
    for (const size of this.sizes) {
      const y = this.bySize(size, before);
      const gain = Math.abs(off + best) - Math.abs(off + y);
      if (gain > SLACK || (gain >= -SLACK && Math.abs(y) < Math.abs(best))) best = y;
    }
    return best;
  }

  /** Change of lift [mm] to a size on hand; 0 where the stack is not known, the size is no stack or is the one that is in. */
  private bySize(size: number, before: number): number {
    const change = size - before;
    return size > LEAST_CHANGE_MM && Math.abs(change) > LEAST_CHANGE_MM ? this.sign * change : 0;
  }

  /** How many steps a stack can give up, as a count from 0; without limit where it is not known. */
  private stepsToSpare(before: number): number {
    if (Number.isNaN(before)) return Infinity;
    return Math.max(0, Math.ceil((before - LEAST_CHANGE_MM) / this.step) - 1);
  }

  /** Fewest and most steps of lift that leave a stack: with barrel shims less is limited, in the tappet more is. */
  private fewestSteps(before: number): number {
    return this.sign > 0 ? 0 - this.stepsToSpare(before) : -Infinity;
  }

  private mostSteps(before: number): number {
    return this.sign > 0 ? Infinity : this.stepsToSpare(before);
  }

  /** Stack of an element [mm]; NaN where it is not known or there is none. */
  private stackOf(before: Float64Array, k: number): number {
    const stack = cell(before, k);
    return this.hasStacks && stack >= 0 && isStated(stack) ? stack : NaN;
  }

  private writeBest({ errors, before, changes, errorsAfter }: PlanArrays, allowed: number, others: number): void {
    const yReference = this.bestY;
    this.rate = liftRate(this.spec, this.lift + yReference).rate;
    for (let k = 0; k < this.spec.elements; k++) {
      const error = cell(errors, k);
      const isReference = k === this.reference;
      const off = error * this.rate - yReference;
      const known = isReference || isMeasured(error);
      const y = isReference ? yReference : known ? this.choose(off, allowed, this.stackOf(before, k)) : NaN;
      // Adding 0 keeps a change of nothing from being written as -0.
      changes[k] = y * this.sign + 0;
      errorsAfter[k] = isReference ? error : known ? error + (y - yReference) / this.rate : NaN;
    }
    this.barrels = this.bestBarrels;
    this.moved = this.bestMoved;
    this.liftAfter = this.lift + yReference;
    this.worstAfter = others === 0 && this.spec.elements > 1 ? NaN : this.bestWorst;
  }
}
