import { LEAST_CHANGE_MM } from './phasing';
import { liftPerAdjuster } from './timing';
import type { Spec } from '../types';

/** Step of shims where the specification states neither step nor sizes [mm]. Common practice, no source. */
export const ASSUMED_STEP_MM = 0.05;
/** Steps that one turn of a tappet screw is taken to have where none is stated. Common practice, no source. */
export const ASSUMED_STEPS_PER_TURN = 12;

/** Two lengths nearer than this are one [mm], as for limits: far below any gauge, above what binary arithmetic loses. */
export const SLACK = 1e-9;
/** A length from here on is no reading and no limit of a pump [mm]; the search stays finite below it. */
const BEYOND_ANY_PUMP_MM = 1000;

export const isStated = (mm: number): boolean => Math.abs(mm) < BEYOND_ANY_PUMP_MM;
const isStep = (mm: number): boolean => mm > LEAST_CHANGE_MM && isStated(mm);

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

/** How far a place lies outside a window [mm]; 0 within it. */
export function outside(place: number, from: number, to: number): number {
  if (place < from) return from - place;
  return place > to ? place - to : 0;
}

/**
 * What an element's adjuster can do, as changes y of the lift at which its port closes [mm]; the change of the adjuster itself
 * is x = s y with s = dh/ds, so that nothing here has a sign to mind. Steps go from the stack that is in and leave one; with sizes
 * on hand an element whose stack is not known stays.
 */
export class ShimSteps {
  readonly step: number;
  readonly assumed: boolean;
  readonly sign: 1 | -1;
  readonly sizes: readonly number[] | null;
  private readonly hasStacks: boolean;

  constructor(spec: Spec) {
    const { step, assumed } = planStep(spec);
    this.step = step;
    this.assumed = assumed;
    this.sign = liftPerAdjuster(spec.adjuster);
    this.hasStacks = spec.adjuster !== 'tappet_screw';
    this.sizes = this.hasStacks ? spec.shim_sizes_mm : null;
  }

  /** A stack that was written down [mm]; NaN where it is not known or there is none. */
  stack(before: number): number {
    return this.hasStacks && before >= 0 && isStated(before) ? before : NaN;
  }

  /** The smallest change that brings an element standing at `place` into the window from `from` to `to`; NaN where none does. */
  cheapest(place: number, from: number, to: number, stack: number): number {
    const past = outside(place, from, to);
    if (past === 0) return 0;
    if (this.sizes !== null) return this.cheapestSize(place, from, to, stack);
    // All changes that serve go one way, and none of them is beyond the stack where the smallest is not.
    const steps = Math.ceil(past / this.step) * (place > to ? -1 : 1);
    const serves = outside(place + steps * this.step, from, to) === 0;
    return serves && steps >= this.fewest(stack) && steps <= this.most(stack) ? steps * this.step : NaN;
  }

  private cheapestSize(place: number, from: number, to: number, stack: number): number {
    let best = NaN;
    for (const size of this.sizes ?? []) {
      const y = this.bySize(size, stack);
      if (outside(place + y, from, to) === 0 && !(Math.abs(y) >= Math.abs(best))) best = y;
    }
    return best;
  }

  /**
   * The change after which an element stands least outside the window; the smallest of those that come as near. Places that
   * the cam does not reach, as far as it is known, are left out.
   */
  nearest(place: number, from: number, to: number, stack: number, reaches: (place: number) => boolean): number {
    let best = 0;
    const consider = (y: number): void => {
      if (!reaches(place + y)) return;
      const gain = outside(place + best, from, to) - outside(place + y, from, to);
      if (gain > SLACK || (gain >= -SLACK && Math.abs(y) < Math.abs(best))) best = y;
    };
    if (this.sizes === null) {
      const held = (steps: number): number => Math.min(this.most(stack), Math.max(this.fewest(stack), steps));
      consider(held(Math.floor((to - place) / this.step)) * this.step);
      consider(held(Math.ceil((from - place) / this.step)) * this.step);
      return best;
    }
    for (const size of this.sizes) consider(this.bySize(size, stack));
    return best;
  }

  /** Change of lift [mm] to a size on hand; 0 where the stack is not known, the size is no stack or is the one that is in. */
  bySize(size: number, stack: number): number {
    const change = size - stack;
    return size > LEAST_CHANGE_MM && Math.abs(change) > LEAST_CHANGE_MM ? this.sign * change : 0;
  }

  /** Fewest and most steps of lift that leave a stack: with barrel shims less is limited, in the tappet more is. */
  fewest(stack: number): number {
    return this.sign > 0 ? 0 - this.stepsToSpare(stack) : -Infinity;
  }

  most(stack: number): number {
    return this.sign > 0 ? Infinity : this.stepsToSpare(stack);
  }

  /** How many steps a stack can give up, as a count from 0; without limit where it is not known. */
  private stepsToSpare(stack: number): number {
    if (Number.isNaN(stack)) return Infinity;
    return Math.max(0, Math.ceil((stack - LEAST_CHANGE_MM) / this.step) - 1);
  }
}
