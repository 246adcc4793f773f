import { real } from '../columns';
import { SAME_SPEED_SHARE } from '../delivery/gain';
import { mean } from '../delivery/spread';
import { within } from '../proof/verdict';

/** Straight line through one element's deliveries at several speeds and one rack: q = q0 - Lambda / rpm. */
export interface LeakFit {
  /** Delivery without leakage q0 [mm3/stroke]: what the line tends to at high speed. */
  unleaked: number;
  /** Leak slope Lambda [mm3/stroke times rpm], of any sign: at n rpm, Lambda / n is lost each stroke. */
  slope: number;
  /** Draws behind it. */
  n: number;
  /** Standard deviation about the line [mm3/stroke], n - 2 below; NaN for two draws, which lie on their line. */
  residual: number;
}

/** A fit to be filled by `fitLeak`. */
export function emptyLeakFit(): LeakFit {
  return { unleaked: NaN, slope: NaN, n: 0, residual: NaN };
}

/** No delivery at all means that leakage took everything it could; the line no longer holds there. */
function isIn(rpm: Float64Array, q: Float64Array, k: number): boolean {
  const speed = real(rpm, k);
  const delivery = real(q, k);
  return speed > 0 && speed < Infinity && delivery > 0 && delivery < Infinity;
}

function clear(out: LeakFit, n: number): void {
  out.unleaked = NaN;
  out.slope = NaN;
  out.n = n;
  out.residual = NaN;
}

/**
 * Leak slope of one element: least squares of delivery on 1 / rpm at one rack. A draw with a speed or a delivery that is missing
 * or not above 0 is left out. Speeds within 1 % of one another count as one. Source: definition; leakage per stroke is leak
 * flow times the time that a stroke gives it.
 * @param rpm speeds of the pump; the first `count` count
 * @param q deliveries [mm3/stroke], as many
 * @param out filled; `n` always, the rest NaN where fewer than two different speeds are left
 */
export function fitLeak(rpm: Float64Array, q: Float64Array, count: number, out: LeakFit): void {
  let n = 0;
  let inverseSum = 0;
  let deliverySum = 0;
  let slowest = Infinity;
  let fastest = -Infinity;
  for (let k = 0; k < count; k++) {
    if (!isIn(rpm, q, k)) continue;
    const speed = real(rpm, k);
    n++;
    inverseSum += 1 / speed;
    deliverySum += real(q, k);
    slowest = Math.min(slowest, speed);
    fastest = Math.max(fastest, speed);
  }
  clear(out, n);
  if (n < 2 || within(fastest, slowest, slowest * (1 + SAME_SPEED_SHARE))) return;
  let products = 0;
  let squares = 0;
  for (let k = 0; k < count; k++) {
    if (!isIn(rpm, q, k)) continue;
    const away = 1 / real(rpm, k) - inverseSum / n;
    products += away * (real(q, k) - deliverySum / n);
    squares += away * away;
  }
  out.slope = 0 - products / squares;
  out.unleaked = (deliverySum + out.slope * inverseSum) / n;
  out.residual = scatterAbout(out, rpm, q, count);
}

function scatterAbout(fit: LeakFit, rpm: Float64Array, q: Float64Array, count: number): number {
  if (fit.n < 3) return NaN;
  let squares = 0;
  for (let k = 0; k < count; k++) {
    if (isIn(rpm, q, k)) squares += (real(q, k) - fit.unleaked + fit.slope / real(rpm, k)) ** 2;
  }
  return Math.sqrt(squares / (fit.n - 2));
}

/**
 * Leak flow while the element injects [mm3/s], from its leak slope [mm3/stroke times rpm]: 6 Lambda / injection. At n rpm the
 * pump turns 6 n deg a second, so an injection of D deg lasts D / (6 n) s, and Lambda / n over that is 6 Lambda / D at any
 * speed. Leakage outside the injection is taken as none. Source: definition.
 * @param injection duration of injection [deg of camshaft]; NaN unless above 0
 */
export function leakFlow(slope: number, injection: number): number {
  return injection > 0 ? (6 * slope) / injection : NaN;
}

/** Leak slope [mm3/stroke times rpm] that a leak flow [mm3/s] makes; the inverse of `leakFlow`. */
export function slopeFromFlow(flow: number, injection: number): number {
  return injection > 0 ? (flow * injection) / 6 : NaN;
}

/** The gap between plunger and barrel, but for its width. */
export interface Gap {
  /** Plunger diameter d [mm]. */
  readonly diameter: number;
  /** Sealing length l [mm]. */
  readonly length: number;
  /** Pressure across it dp [MPa]. */
  readonly pressure: number;
  /** Dynamic viscosity of the fluid in it mu [mPa s]. */
  readonly viscosity: number;
}

/**
 * Flow [mm3/s] through a gap of 1 um. With lengths in mm and pressure in MPa = N/mm2, viscosity is wanted in N s/mm2, and 1 mPa s
 * is 1e-9 of it; 1 um cubed is 1e-9 mm3. The two factors cancel, so Q = pi d c^3 dp / (12 mu l) holds in the units stated.
 */
function flowThroughMicrometre(gap: Gap): number {
  const stated = gap.diameter > 0 && gap.length > 0 && gap.pressure > 0 && gap.viscosity > 0;
  return stated ? (Math.PI * gap.diameter * gap.pressure) / (12 * gap.viscosity * gap.length) : NaN;
}

/**
 * Laminar flow [mm3/s] through the gap between a plunger and its barrel, plunger in the middle: Q = pi d c^3 dp / (12 mu l).
 * Source: Poiseuille flow between parallel walls, the gap unrolled; a share of about c / d below the exact annulus.
 * @param clearance c on the radius [um], from 0
 * @returns NaN where anything is not stated or not above 0, the clearance below 0
 */
export function flowFromClearance(clearance: number, gap: Gap): number {
  return clearance >= 0 ? clearance ** 3 * flowThroughMicrometre(gap) : NaN;
}

/**
 * Equivalent clearance c [um], on the radius, that lets a leak flow [mm3/s] through; the inverse of `flowFromClearance`. An upper
 * bound: a plunger that lies against its barrel lets 2.5 times as much through as one in the middle, so the true clearance may
 * be as small as 0.74 of this. 0 for a flow of 0 or below: the draws show no leakage.
 * @returns NaN where the flow or anything of the gap is not stated, or the gap is not above 0
 */
export function clearanceFromFlow(flow: number, gap: Gap): number {
  const unit = flowThroughMicrometre(gap);
  if (Number.isNaN(unit)) return NaN;
  return flow <= 0 ? 0 : Math.cbrt(flow / unit);
}

/**
 * Equivalent clearance c [um] from the leak slope [mm3/stroke times rpm] and the duration of injection [deg of camshaft]. An
 * upper bound, and 0 for a slope of 0 or below: no leakage seen, which scatter of the draws can bring about as well.
 * @returns NaN where anything is not stated or cannot be
 */
export function equivalentClearance(slope: number, injection: number, gap: Gap): number {
  return clearanceFromFlow(leakFlow(slope, injection), gap);
}

/**
 * Coefficient of variation [%] of the elements' deliveries at a light draw: standard deviation (n - 1 below) over mean. NaN for
 * fewer than two, for a mean not above 0, and where any is missing.
 * @param values deliveries per stroke [mm3]; the first `count` count
 */
export function coefficientOfVariation(values: Float64Array, count: number): number {
  const centre = mean(values, count);
  if (count < 2 || !(centre > 0)) return NaN;
  let squares = 0;
  for (let k = 0; k < count; k++) squares += (real(values, k) - centre) ** 2;
  return (100 * Math.sqrt(squares / (count - 1))) / centre;
}

/**
 * Deficit of low-speed retention [ratio]: 1 - retention / baseline. Above 0 means that less is kept than by a sound element;
 * below 0, more. NaN where either is not known, or the baseline is not above 0.
 */
export function retentionDeficit(retention: number, baseline: number): number {
  return baseline > 0 ? 1 - retention / baseline : NaN;
}
