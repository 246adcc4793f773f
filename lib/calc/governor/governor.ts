import { code, codes } from '../layout';
import type { Check } from '../types';
import { judge, NOT_MEASURED as NO_VERDICT, within } from '../proof/verdict';

/** How the value of a check was found, in the order of its numbers. */
export const governorBases = codes.governor_basis;

export const AS_READ = code('governor_basis', 'as read');
export const INTERPOLATED = code('governor_basis', 'interpolated');
export const NOT_MEASURED = code('governor_basis', 'not measured');

/** A reading counts as taken at a speed up to this part of it away, at least LEAST_SPEED_RPM. Common practice, no source. */
export const SPEED_PART = 0.01;
export const LEAST_SPEED_RPM = 5;
/** The same for a boost pressure [kPa]: what a bench's gauge is set to. Common practice, no source. */
export const SAME_BOOST_KPA = 2;
/** Rack [mm] that tells a fall from the play of the linkage, and a plateau from a fall. Common practice, no source. */
export const RACK_STEP_MM = 0.1;

/** 10.0 - 9.9 falls just short of 0.1 in binary arithmetic. */
const SLACK = 1e-9;

/** How far [rpm] a reading may be from the speed `rpm` and still count as taken at it. */
export function speedWindow(rpm: number): number {
  return Math.max(LEAST_SPEED_RPM, SPEED_PART * rpm);
}

/** Whether a reading was taken where the band holds; a band that states no place holds everywhere. */
const isAt = (read: number, stated: number, window: number): boolean =>
  Number.isNaN(stated) || within(read, stated - window, stated + window);

/**
 * Speed droop [%]: 100 (n_noload - n_rated) / n_rated, both speeds [rpm] at one setting of the lever; positive where the pump
 * runs faster without load. ISO 8528-5 and ISO 3046-4 (from memory). NaN where a speed is not known or n_rated is not above 0.
 */
export function speedDroop(noLoad: number, rated: number): number {
  return rated > 0 ? (100 * (noLoad - rated)) / rated : NaN;
}

type Asked = 'rack' | 'delivery' | 'breakaway' | 'cut-off' | 'droop' | 'speed' | 'nothing';

function askedByUnit({ unit }: Check, ofSpeed: Asked, ofPercent: Asked): Asked {
  switch (unit) {
    case 'mm':
      return 'rack';
    case 'mm3_per_stroke':
      return 'delivery';
    case 'rpm':
      return ofSpeed;
    case 'percent':
      return ofPercent;
  }
}

/** What a band is to be held against. A unit that cannot belong to its kind leaves nothing to compare. */
function asked(check: Check): Asked {
  switch (check.kind) {
    case 'rack_at_speed':
      return check.unit === 'mm' ? 'rack' : 'nothing';
    case 'delivery_at_speed':
      return check.unit === 'mm3_per_stroke' ? 'delivery' : 'nothing';
    case 'droop':
      return check.unit === 'percent' ? 'droop' : 'nothing';
    case 'boost':
    case 'torque_control':
      return askedByUnit(check, 'nothing', 'nothing');
    case 'breakaway':
      return askedByUnit(check, 'breakaway', 'nothing');
    case 'cut_off':
      return askedByUnit(check, 'cut-off', 'nothing');
    case 'unstated':
      return askedByUnit(check, 'speed', 'droop');
  }
}

const cell = (column: Float64Array, k: number): number => column[k] ?? NaN;

function grown(column: Float64Array): Float64Array {
  const more = new Float64Array(2 * column.length);
  more.set(column);
  return more;
}

/** Points of a curve, ascending by x and then y, so that the order of the readings cannot matter. */
class Curve {
  count = 0;
  private x: Float64Array;
  private y: Float64Array;
  /** Where the last figure lies: its value, how it was found, and how many of the readings it rests on. */
  value = NaN;
  basis = NOT_MEASURED;
  used = 0;

  constructor(capacity: number) {
    this.x = new Float64Array(capacity);
    this.y = new Float64Array(capacity);
  }

  clear(): void {
    this.count = 0;
    this.answer(NaN, NOT_MEASURED, 0);
  }

  /** A value that is NaN is not measured, and rests on nothing. */
  answer(value: number, basis: number, used: number): void {
    const found = !Number.isNaN(value);
    this.value = value;
    this.basis = found ? basis : NOT_MEASURED;
    this.used = found ? used : 0;
  }

  insert(x: number, y: number): void {
    if (this.count === this.x.length) {
      this.x = grown(this.x);
      this.y = grown(this.y);
    }
    let k = this.count++;
    for (; k > 0 && (cell(this.x, k - 1) > x || (cell(this.x, k - 1) === x && cell(this.y, k - 1) > y)); k--) {
      this.x[k] = cell(this.x, k - 1);
      this.y[k] = cell(this.y, k - 1);
    }
    this.x[k] = x;
    this.y[k] = y;
  }

  private meanFrom(column: Float64Array, from: number, until: number): number {
    let sum = 0;
    for (let k = from; k < until; k++) sum += cell(column, k);
    return sum / (until - from);
  }

  /** y at `at`: the mean of the readings there, else between the two neighbours, never beyond the ends. */
  readAt(at: number, window: number): void {
    let from = 0;
    while (from < this.count && cell(this.x, from) < at && !isAt(cell(this.x, from), at, window)) from += 1;
    let until = from;
    while (until < this.count && isAt(cell(this.x, until), at, window)) until += 1;
    if (until > from) this.answer(this.meanFrom(this.y, from, until), AS_READ, until - from);
    else if (from > 0 && from < this.count) this.readBetween(at, from);
  }

  /** Repeats at a neighbour's x count as one reading, their mean; `next` is the first place above `at`. */
  private readBetween(at: number, next: number): void {
    const x0 = cell(this.x, next - 1);
    const x1 = cell(this.x, next);
    let from = next - 1;
    while (from > 0 && cell(this.x, from - 1) === x0) from -= 1;
    let until = next + 1;
    while (until < this.count && cell(this.x, until) === x1) until += 1;
    const part = (at - x0) / (x1 - x0);
    const below = this.meanFrom(this.y, from, next);
    const above = this.meanFrom(this.y, next, until);
    this.answer(below * (1 - part) + above * part, INTERPOLATED, until - from);
  }

  /** y where the band states no place: the readings must then all have been taken at one, else none of them is meant. */
  readAnywhere(window: (x: number) => number): void {
    if (this.count === 0) return;
    const first = cell(this.x, 0);
    if (!within(cell(this.x, this.count - 1), first, first + window(first))) return;
    this.answer(this.meanFrom(this.y, 0, this.count), AS_READ, this.count);
  }

  /** Readings at the same x become one, their mean. */
  merge(): void {
    let places = 0;
    for (let from = 0; from < this.count; places++) {
      let until = from + 1;
      while (until < this.count && cell(this.x, until) === cell(this.x, from)) until += 1;
      const y = this.meanFrom(this.y, from, until);
      this.x[places] = cell(this.x, from);
      this.y[places] = y;
      from = until;
    }
    this.count = places;
  }

  /** x between the places k - 1 and k where y has fallen to `level`. */
  private crossing(k: number, level: number): number {
    const y0 = cell(this.y, k - 1);
    const x0 = cell(this.x, k - 1);
    return x0 + (cell(this.x, k) - x0) * ((y0 - level) / (y0 - cell(this.y, k)));
  }

  /** First x at which y lies a step below the mean of all places before it; NaN where it never does. */
  leavesPlateau(step: number): number {
    let plateau = cell(this.y, 0);
    for (let k = 1; k < this.count; k++) {
      const y = cell(this.y, k);
      if (y <= plateau - step + SLACK) return this.crossing(k, plateau - step);
      plateau += (y - plateau) / (k + 1);
    }
    return NaN;
  }

  /**
   * First x at which y has fallen to a step above its lowest. NaN where it does not fall that far, or where no second place
   * lies as low: one alone does not show that the fall has ended.
   */
  reachesLowest(step: number): number {
    let lowest = Infinity;
    for (let k = 0; k < this.count; k++) lowest = Math.min(lowest, cell(this.y, k));
    const level = lowest + step;
    let first = -1;
    let low = 0;
    for (let k = 0; k < this.count; k++) {
      if (cell(this.y, k) > level + SLACK) continue;
      if (first < 0) first = k;
      low += 1;
    }
    return first > 0 && low > 1 ? this.crossing(first, level) : NaN;
  }
}

const INITIAL = 32;

/**
 * The readings written down under one check's name in one run, and what they say about each of its bands. Made once and used
 * again: `reset`, `add` every reading in any order, then `judge` each band. A number that was not read is NaN, a lever that
 * was not written down -1. No reading and no band makes it throw, and it allocates only when readings outgrow it.
 *
 * A reading counts for a band that states a lever, a speed or a boost pressure only if it states the same (speed within 1 %,
 * at least 5 rpm; boost within 2 kPa).
 * - Rack [mm] or delivery [mm3/stroke]: the mean of the readings at the band's speed (at its boost pressure, for a check of
 *   kind boost), else by straight line between the two neighbours; not measured beyond the first and last. A band without a
 *   place takes readings that were all taken at one speed.
 * - Breakaway [rpm]: where the rack of a sweep (two or more speeds with rack) first lies 0.1 mm below its plateau, the mean
 *   of all lower speeds. Straight line between the readings. Common practice, no source.
 * - Cut-off [rpm]: where the rack of a sweep first comes within 0.1 mm of its lowest, if it does so at two speeds at least.
 *   Straight line between the readings. Common practice, no source.
 * - Either without a sweep: the speed as read, several being no further apart than the window. Their band's own speed is not
 *   used.
 * - Droop [percent]: see `speedDroop`; rated speed as the band states it, no-load speed by the rule of the cut-off.
 * - A band whose kind is not stated goes by its unit: mm rack, mm3_per_stroke delivery, percent droop, rpm the speed as read
 *   (a sweep then leaves open which speed is meant, and is not measured). A unit that cannot belong to the kind is not
 *   measured.
 */
export class CheckReadings {
  /** Value found for the band judged last, in its unit; NaN where not measured. */
  value = NaN;
  /** How it was found: a number in `governorBases`. */
  basis = NOT_MEASURED;
  /** Plain comparison with the band: a number in the verdict codes. */
  verdict = NO_VERDICT;
  /** Readings that the value rests on, those of the whole sweep where there is one; 0 where not measured. */
  used = 0;

  private count = 0;
  private speed: Float64Array = new Float64Array(INITIAL);
  private rack: Float64Array = new Float64Array(INITIAL);
  private boost: Float64Array = new Float64Array(INITIAL);
  private delivery: Float64Array = new Float64Array(INITIAL);
  private lever: Float64Array = new Float64Array(INITIAL);
  private readonly curve = new Curve(INITIAL);
  private sweepReadings = 0;

  reset(): void {
    this.count = 0;
  }

  /** One reading: speed [rpm], rack [mm], boost [kPa], delivery [mm3/stroke], number of the lever position. */
  add(speed: number, rack: number, boost: number, delivery: number, lever: number): void {
    const k = this.count++;
    if (k === this.speed.length) this.grow();
    this.speed[k] = speed;
    this.rack[k] = rack;
    this.boost[k] = boost;
    this.delivery[k] = delivery;
    this.lever[k] = lever;
  }

  /** Works out value, basis, verdict and used for one band; answers the verdict. */
  judge(check: Check): number {
    const { curve } = this;
    curve.clear();
    this.find(check);
    this.value = curve.value;
    this.basis = curve.basis;
    this.used = curve.used;
    this.verdict = judge(curve.value, check.low, check.high);
    return this.verdict;
  }

  private grow(): void {
    this.speed = grown(this.speed);
    this.rack = grown(this.rack);
    this.boost = grown(this.boost);
    this.delivery = grown(this.delivery);
    this.lever = grown(this.lever);
  }

  private find(check: Check): void {
    const what = asked(check);
    switch (what) {
      case 'rack':
      case 'delivery':
        this.findAtPlace(check, this[what]);
        break;
      case 'breakaway':
      case 'cut-off':
        this.findSpeed(check, what === 'breakaway');
        break;
      case 'droop':
        this.findSpeed(check, false);
        this.toDroop(check.speed_rpm);
        break;
      case 'speed':
        if (!this.fillSweep(check)) this.findStatedSpeed(check);
        break;
      case 'nothing':
        break;
    }
  }

  private hasLever(k: number, check: Check): boolean {
    return check.lever < 0 || cell(this.lever, k) === check.lever;
  }

  private counts(k: number, check: Check): boolean {
    return this.hasLever(k, check) && isAt(cell(this.boost, k), check.boost_kpa, SAME_BOOST_KPA);
  }

  private findAtPlace(check: Check, quantity: Float64Array): void {
    if (check.kind === 'boost' && !Number.isNaN(check.boost_kpa)) this.findAtBoost(check, quantity);
    else if (Number.isNaN(check.speed_rpm)) this.findWithoutPlace(check, quantity);
    else this.findAtSpeed(check, quantity);
  }

  private findAtBoost(check: Check, quantity: Float64Array): void {
    const { speed_rpm } = check;
    for (let k = 0; k < this.count; k++) {
      if (!this.hasLever(k, check) || !isAt(cell(this.speed, k), speed_rpm, speedWindow(speed_rpm))) continue;
      this.insertKnown(cell(this.boost, k), cell(quantity, k));
    }
    this.curve.readAt(check.boost_kpa, SAME_BOOST_KPA);
  }

  private findAtSpeed(check: Check, quantity: Float64Array): void {
    for (let k = 0; k < this.count; k++) {
      if (this.counts(k, check)) this.insertKnown(cell(this.speed, k), cell(quantity, k));
    }
    this.curve.readAt(check.speed_rpm, speedWindow(check.speed_rpm));
  }

  /** Where no speed is asked for, one that was not written down is no ground to leave a reading out. */
  private findWithoutPlace(check: Check, quantity: Float64Array): void {
    const slowest = this.slowestOf(check);
    for (let k = 0; k < this.count; k++) {
      if (!this.counts(k, check)) continue;
      const speed = cell(this.speed, k);
      this.insertKnown(Number.isNaN(speed) ? slowest : speed, cell(quantity, k));
    }
    this.curve.readAnywhere(speedWindow);
  }

  /** Lowest speed that was written down [rpm], 0 where none was. */
  private slowestOf(check: Check): number {
    let slowest = Infinity;
    for (let k = 0; k < this.count; k++) {
      const speed = cell(this.speed, k);
      if (speed < slowest && this.counts(k, check)) slowest = speed;
    }
    return slowest === Infinity ? 0 : slowest;
  }

  private insertKnown(x: number, y: number): void {
    if (!Number.isNaN(x) && !Number.isNaN(y)) this.curve.insert(x, y);
  }

  /** Rack over speed, a place for each speed; whether it is a sweep at all. */
  private fillSweep(check: Check): boolean {
    for (let k = 0; k < this.count; k++) {
      if (this.counts(k, check)) this.insertKnown(cell(this.speed, k), cell(this.rack, k));
    }
    this.sweepReadings = this.curve.count;
    this.curve.merge();
    return this.curve.count > 1;
  }

  private findSpeed(check: Check, breakaway: boolean): void {
    const { curve } = this;
    if (this.fillSweep(check)) {
      const rpm = breakaway ? curve.leavesPlateau(RACK_STEP_MM) : curve.reachesLowest(RACK_STEP_MM);
      curve.answer(rpm, INTERPOLATED, this.sweepReadings);
    } else this.findStatedSpeed(check);
  }

  private findStatedSpeed(check: Check): void {
    this.curve.clear();
    for (let k = 0; k < this.count; k++) {
      const speed = cell(this.speed, k);
      if (this.counts(k, check)) this.insertKnown(speed, speed);
    }
    this.curve.readAnywhere(speedWindow);
  }

  private toDroop(rated: number): void {
    const { value, basis, used } = this.curve;
    this.curve.answer(speedDroop(value, rated), basis, used);
  }
}
