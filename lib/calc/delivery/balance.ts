import { real } from '../columns';
import { isGain, type Gains } from './gain';
import { codes } from '../layout';
import { mean, spread } from './spread';
import type { SpreadBasis, TestPoint } from '../types';
import { within } from '../proof/verdict';

/** What a balance plan comes to. */
export const balanceStatuses = codes.balance;
export type BalanceStatus = (typeof balanceStatuses)[number];

/** An in-line pump has no more elements; a plan weighs up to 2^12 choices. */
export const MOST_ELEMENTS = 12;

/** What the plan must meet; a test point has it all. Both ends of the band open and no spread: nothing is asked. */
export type BalanceLimits = Pick<TestPoint, 'low_mm3' | 'high_mm3' | 'spread' | 'spread_basis'>;

/** What it is reckoned with [mm3/stroke per deg, and per mm of rack]; a gain that is not above 0 counts as unknown. */
export type BalanceGains = Pick<Gains, 'perDegree' | 'perRackMm'>;

/** A balance plan; used again by the next one. */
export interface BalancePlan {
  /**
   * 'turn': the rotations do it. 'move the rack': a rack move leaves fewer elements to turn, and the rotations are those that
   * remain after it. 'gain unknown': elements and target are told, the rotations are not. 'not reachable': no setting meets the
   * limits, as they contradict one another. 'incomplete': an element's delivery is missing, or there are not 1 to 12 elements.
   */
  status: BalanceStatus;
  /** Fewest elements turned with the rack where it is; 0 without a plan. */
  turned: number;
  /** Fewest elements turned where the rack may move first; never above `turned`. */
  turnedWithRack: number;
  /** Delivery [mm3/stroke] that every turned element is set to; NaN where none is turned. */
  target: number;
  /** Change of every delivery by the rack [mm3/stroke]; positive delivers more. 0 where the plan leaves the rack. */
  shift: number;
  /** Rack move [mm] that makes it; positive is more fuel. 0 where the plan leaves the rack, NaN where the gain is not known. */
  rackMove_mm: number;
  /** Mean of the elements after the plan [mm3/stroke]; NaN without a plan. */
  meanAfter: number;
  /** Spread after the plan on the limits' basis, a limit being asked for or not; NaN without a plan. */
  spreadAfter: number;
}

/**
 * Rotation left in the slot [deg] in the direction of `rotation`, before it is made; where that is 0, on the nearer side. The
 * barrel is taken to have stood at mid-slot when the job began (common practice, no source).
 * @param slot barrel rotation that the slot allows, end to end [deg]; NaN where not stated, and for sleeves, which have none
 * @param used what the job has turned the element so far [deg, signed]
 * @param rotation what it is to turn now [deg, signed]
 * @returns below 0 where the slot is overrun already; NaN where any of the three is
 */
export function slotLeft(slot: number, used: number, rotation: number): number {
  return slot / 2 - (rotation === 0 ? Math.abs(used) : Math.sign(rotation) * used);
}

/** Whether `rotation` [deg] would run past the slot's end; false where slot, use or rotation is not known. As `slotLeft`. */
export function runsPastSlot(slot: number, used: number, rotation: number): boolean {
  const left = slotLeft(slot, used, rotation);
  return rotation !== 0 && !Number.isNaN(left) && !within(Math.abs(rotation), NaN, left);
}

/** How far rounding may push the ends of an interval past one another, as a share of the largest delivery. */
const ROUNDING = 1e-12;

/** Which elements are turned, and to what; the masks have a bit for each place in ascending order of delivery. */
interface Choice {
  mask: number;
  turned: number;
  target: number;
  shift: number;
  /** Sum of |target - delivery| over the turned ones, after the shift [mm3/stroke]. */
  effort: number;
}

const emptyChoice = (): Choice => ({ mask: 0, turned: 0, target: NaN, shift: 0, effort: 0 });

function leaveAll(choice: Choice): void {
  choice.mask = choice.turned = choice.shift = choice.effort = 0;
  choice.target = NaN;
}

/** The values of t that linear constraints leave. */
class Interval {
  low = -Infinity;
  high = Infinity;

  restart(low: number, high: number): void {
    this.low = low;
    this.high = high;
  }

  /** Keeps what meets a t <= b. */
  keep(a: number, b: number, rounding: number): void {
    if (Math.abs(a) <= ROUNDING) {
      if (b < -rounding) this.high = -Infinity;
    } else if (a > 0) this.high = Math.min(this.high, b / a);
    else this.low = Math.max(this.low, b / a);
  }

  /** The value nearest to `wish`; NaN where none is left. */
  nearest(wish: number, rounding: number): number {
    if (this.low > this.high) return this.low - this.high <= rounding ? (this.low + this.high) / 2 : NaN;
    return Math.min(Math.max(wish, this.low), this.high);
  }
}

/** The next larger mask with as many bits set; `mask` is above 0. */
function nextWithAsMany(mask: number): number {
  const lowest = mask & -mask;
  const carried = mask + lowest;
  return carried | (((mask ^ carried) / lowest) >>> 2);
}

const lowestPlace = (mask: number): number => 31 - Math.clz32(mask & -mask);
const highestPlace = (mask: number): number => 31 - Math.clz32(mask);

/**
 * Least-rework balance at one test point of one run: the fewest elements turned, exactly. The mean of the elements must come to
 * lie in its band and the spread within its limit; where no spread is asked for, every element must lie in the band itself.
 *
 * All turned elements go to one target t. That costs no element more: put in the place of the turned ones' deliveries their
 * mean. The mean of all stays, the largest does not grow, the smallest does not fall, and no deviation from the mean of all
 * exceeds the largest there was; so whatever limit held still holds. For a given set of untouched elements each limit is then
 * linear in t and what is left is an interval; t is taken in it as near as it goes to the middle of the untouched ones' range.
 * Of sets as small, the one with the least sum of |t - q|, then the one of lower deliveries. Where all must be turned, t is the
 * middle of the band, or with one end open what is nearest to the present mean.
 *
 * With the rack free, all deliveries first shift by one amount, which brings the mean to the middle of the band (as above with an
 * end open). In mm3 that is no restriction, as those spreads do not change with the shift; in percent the spread is held
 * against the mean at the middle. Without a spread limit the mean comes as near to the middle as the untouched ones in the band
 * allow. Whether the rack may move that far in its own window is not asked here.
 *
 * Source: the limits are the specification's; choosing the fewest is a definition. One object serves any number of plans and
 * makes no new object for them.
 */
export class BalancePlanner {
  private readonly result: BalancePlan = {
    status: 'incomplete',
    turned: 0,
    turnedWithRack: 0,
    target: NaN,
    shift: 0,
    rackMove_mm: 0,
    meanAfter: NaN,
    spreadAfter: NaN,
  };
  private readonly still = emptyChoice();
  private readonly racked = emptyChoice();
  private readonly interval = new Interval();

  private elements = 0;
  /** Deliveries ascending, and the element - 1 of each: which element is which must not matter. */
  private readonly sorted = new Float64Array(MOST_ELEMENTS);
  private readonly order = new Int32Array(MOST_ELEMENTS);
  /** Sum of the deliveries of each mask. */
  private readonly sums = new Float64Array(1 << MOST_ELEMENTS);
  private low = 0;
  private high = Infinity;
  private basis: SpreadBasis = 'range_mm3';
  private spreadAsked = false;
  /** The spread allowed is `fixed` [mm3/stroke] and `share` times the mean; one of them is 0. */
  private fixed = 0;
  private share = 0;
  /** Where the mean is to go when nothing keeps it [mm3/stroke]. */
  private aim = 0;
  private rounding = 0;

  /**
   * @param rotation written by each plan: rotation [deg] by element - 1, length at least that of any plan's elements. Positive
   *   delays port opening and so raises delivery, for barrels and sleeves alike; 0 for an element left alone, NaN without a
   *   plan, or without a gain where it is to be turned
   * @param after written by each plan: delivery after it [mm3/stroke] by element - 1, as long; NaN without a plan
   */
  constructor(
    private readonly rotation: Float64Array,
    private readonly after: Float64Array,
  ) {}

  /**
   * @param deliveries [mm3/stroke] by element - 1; the first `elements` count
   * @returns the same object each time, filled anew
   */
  plan(deliveries: Float64Array, elements: number, limits: BalanceLimits, gains: BalanceGains): BalancePlan {
    this.elements = elements;
    if (!this.isComplete(deliveries)) return this.withoutPlan('incomplete');
    this.take(deliveries, limits);
    if (this.isIn(deliveries, limits)) {
      leaveAll(this.still);
      leaveAll(this.racked);
      return this.write(deliveries, 'in already', this.still, gains);
    }
    if (this.low > this.high || limits.spread < 0) return this.withoutPlan('not reachable');

    this.findFewest(this.still, false);
    const isBandStated = this.low > 0 || this.high < Infinity;
    if (isBandStated) this.findFewest(this.racked, true);
    else this.racked.turned = this.still.turned;
    const best = this.racked.turned < this.still.turned ? this.racked : this.still;
    const status = best === this.racked ? 'move the rack' : 'turn';
    const isTold = best.turned === 0 || isGain(gains.perDegree);
    return this.write(deliveries, isTold ? status : 'gain unknown', best, gains);
  }

  private isComplete(deliveries: Float64Array): boolean {
    if (!(this.elements >= 1 && this.elements <= MOST_ELEMENTS)) return false;
    for (let k = 0; k < this.elements; k++) {
      const delivery = real(deliveries, k);
      if (!(delivery >= 0 && delivery < Infinity)) return false;
    }
    return true;
  }

  private take(deliveries: Float64Array, limits: BalanceLimits): void {
    // No delivery is below 0, so neither is a mean.
    this.low = limits.low_mm3 > 0 ? limits.low_mm3 : 0;
    this.high = Number.isNaN(limits.high_mm3) ? Infinity : limits.high_mm3;
    this.spreadAsked = !Number.isNaN(limits.spread);
    this.basis = limits.spread_basis;
    const inPercent = this.basis.endsWith('percent');
    this.fixed = inPercent ? 0 : limits.spread;
    this.share = inPercent ? limits.spread / 100 : 0;
    const present = mean(deliveries, this.elements);
    const twoEnded = limits.low_mm3 > -Infinity && this.high < Infinity;
    this.aim = twoEnded ? (this.low + this.high) / 2 : Math.min(Math.max(present, this.low), this.high);
    this.sort(deliveries);
    this.rounding = ROUNDING * Math.max(real(this.sorted, this.elements - 1), this.aim);
  }

  private sort(deliveries: Float64Array): void {
    for (let k = 0; k < this.elements; k++) {
      const delivery = real(deliveries, k);
      let place = k;
      for (; place > 0 && real(this.sorted, place - 1) > delivery; place--) {
        this.sorted[place] = real(this.sorted, place - 1);
        this.order[place] = this.order[place - 1] ?? 0;
      }
      this.sorted[place] = delivery;
      this.order[place] = k;
    }
    for (let mask = 1; mask < 1 << this.elements; mask++) {
      this.sums[mask] = real(this.sums, mask & (mask - 1)) + real(this.sorted, lowestPlace(mask));
    }
  }

  private isIn(deliveries: Float64Array, limits: BalanceLimits): boolean {
    if (!this.spreadAsked) return this.isInBand((1 << this.elements) - 1, limits.low_mm3, limits.high_mm3);
    return (
      within(mean(deliveries, this.elements), limits.low_mm3, limits.high_mm3) &&
      within(spread(deliveries, this.elements, this.basis), NaN, limits.spread)
    );
  }

  private isInBand(mask: number, low: number, high: number): boolean {
    return (
      within(real(this.sorted, lowestPlace(mask)), low, high) &&
      within(real(this.sorted, highestPlace(mask)), low, high)
    );
  }

  /** With the rack still, at least one element must be turned, and all of them to the aim always does; with it, all but one do. */
  private findFewest(choice: Choice, withRack: boolean): void {
    const all = (1 << this.elements) - 1;
    choice.effort = Infinity;
    for (let turned = withRack ? 0 : 1; turned < this.elements; turned++) {
      if (turned === 0) this.consider(choice, 0, 0, withRack);
      else {
        for (let mask = (1 << turned) - 1; mask <= all; mask = nextWithAsMany(mask)) {
          this.consider(choice, mask, turned, withRack);
        }
      }
      if (choice.effort < Infinity) return;
    }
    choice.mask = all;
    choice.turned = this.elements;
    choice.target = this.aim;
    choice.shift = 0;
  }

  private consider(choice: Choice, mask: number, turned: number, withRack: boolean): void {
    const left = ((1 << this.elements) - 1) & ~mask;
    const lowest = real(this.sorted, lowestPlace(left));
    const highest = real(this.sorted, highestPlace(left));
    const target = withRack
      ? this.targetWithRack(left, turned, lowest, highest)
      : this.targetAtRack(left, turned, lowest, highest);
    if (Number.isNaN(target)) return;
    const effort = this.effort(mask, target);
    if (!(effort < choice.effort - this.rounding)) return;
    choice.effort = effort;
    choice.mask = mask;
    choice.turned = turned;
    choice.shift = withRack ? this.shiftFor(left, turned, target, lowest, highest) : 0;
    choice.target = turned === 0 ? NaN : target + choice.shift;
  }

  private effort(mask: number, target: number): number {
    let sum = 0;
    for (let rest = mask; rest !== 0; rest &= rest - 1) {
      sum += Math.abs(target - real(this.sorted, lowestPlace(rest)));
    }
    return sum;
  }

  /** Target with the rack where it is; NaN where the elements of the mask `left` cannot all be left alone. */
  private targetAtRack(left: number, turned: number, lowest: number, highest: number): number {
    const wish = (lowest + highest) / 2;
    const { interval, rounding } = this;
    if (!this.spreadAsked) {
      if (!this.isInBand(left, this.low, this.high)) return NaN;
      interval.restart(this.low, this.high);
      return interval.nearest(wish, rounding);
    }
    // The mean of all is p + r t, the spread allowed fixed + share (p + r t).
    const p = real(this.sums, left) / this.elements;
    const r = turned / this.elements;
    interval.restart(0, Infinity);
    interval.keep(r, this.high - p, rounding);
    interval.keep(-r, p - this.low, rounding);
    this.keepSpread(p, r, this.fixed + this.share * p, this.share * r, lowest, highest);
    return interval.nearest(wish, rounding);
  }

  /** Target less the shift of the rack, likewise. */
  private targetWithRack(left: number, turned: number, lowest: number, highest: number): number {
    const wish = (lowest + highest) / 2;
    const { interval, rounding, aim } = this;
    if (!this.spreadAsked) return within(highest - lowest, NaN, this.high - this.low) ? wish : NaN;
    const p = real(this.sums, left) / this.elements;
    const r = turned / this.elements;
    interval.restart(-Infinity, Infinity);
    // Nothing is shifted below 0: neither the lowest one left alone nor the turned ones.
    interval.keep(r, lowest + aim - p, rounding);
    interval.keep(r - 1, aim - p, rounding);
    this.keepSpread(p, r, this.fixed + this.share * aim, 0, lowest, highest);
    return interval.nearest(wish, rounding);
  }

  /** Keeps the t at which the spread is at most a + b t; the mean of all is p + r t. */
  private keepSpread(p: number, r: number, a: number, b: number, lowest: number, highest: number): void {
    const { interval, rounding } = this;
    if (this.basis.startsWith('range')) {
      interval.keep(-b, a - (highest - lowest), rounding);
      // Without a turned element t is nobody's delivery.
      if (r === 0) return;
      interval.keep(1 - b, a + lowest, rounding);
      interval.keep(-1 - b, a - highest, rounding);
      return;
    }
    interval.keep(-r - b, a + p - highest, rounding);
    interval.keep(r - b, a + lowest - p, rounding);
    if (r === 0) return;
    interval.keep(1 - r - b, a + p, rounding);
    interval.keep(r - 1 - b, a - p, rounding);
  }

  private shiftFor(left: number, turned: number, target: number, lowest: number, highest: number): number {
    const shift = this.aim - (real(this.sums, left) + turned * target) / this.elements;
    return this.spreadAsked ? shift : Math.min(Math.max(shift, this.low - lowest), this.high - highest);
  }

  private withoutPlan(status: 'incomplete' | 'not reachable'): BalancePlan {
    const plan = this.result;
    this.rotation.fill(NaN, 0, Math.max(0, this.elements));
    this.after.fill(NaN, 0, Math.max(0, this.elements));
    plan.status = status;
    plan.turned = plan.turnedWithRack = plan.shift = plan.rackMove_mm = 0;
    plan.target = plan.meanAfter = plan.spreadAfter = NaN;
    return plan;
  }

  private write(deliveries: Float64Array, status: BalanceStatus, choice: Choice, gains: BalanceGains): BalancePlan {
    const { perDegree, perRackMm } = gains;
    for (let place = 0; place < this.elements; place++) {
      const k = this.order[place] ?? 0;
      const shifted = real(deliveries, k) + choice.shift;
      const isTurned = (choice.mask & (1 << place)) !== 0;
      const degrees = isGain(perDegree) ? (choice.target - shifted) / perDegree : NaN;
      this.rotation[k] = isTurned ? degrees : 0;
      this.after[k] = isTurned ? choice.target : shifted;
    }
    const plan = this.result;
    plan.status = status;
    plan.turned = this.still.turned;
    plan.turnedWithRack = Math.min(this.racked.turned, this.still.turned);
    plan.target = choice.target;
    plan.shift = choice.shift;
    const move = isGain(perRackMm) ? choice.shift / perRackMm : NaN;
    plan.rackMove_mm = choice.shift === 0 ? 0 : move;
    plan.meanAfter = mean(this.after, this.elements);
    plan.spreadAfter = spread(this.after, this.elements, this.basis);
    return plan;
  }
}
