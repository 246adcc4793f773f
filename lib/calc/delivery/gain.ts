import { real } from '../columns';
import { codes } from '../layout';
import { SAME_RACK_MM } from '../wear/retention';
import { within } from '../proof/verdict';

/** Where a gain comes from, in order of preference. */
export const gainBases = codes.gain_basis;
export type GainBasis = (typeof gainBases)[number];

/** Speeds this far apart, as a share of the lower, count as one. Common practice, no source. */
export const SAME_SPEED_SHARE = 0.01;

/** Whether a gain can be divided by and means what its sign says: above 0 and finite. */
export function isGain(gain: number): boolean {
  return gain > 0 && gain < Infinity;
}

/**
 * Gain k_phi [mm3/stroke per deg] of turning a barrel, or the sleeve on its plunger, from geometry: A pi d tan(helix) / 360 with
 * A = pi d^2 / 4. Positive rotation delays port opening. Source: definition; unrolled, the helix is a straight edge.
 * @param plunger plunger diameter d [mm]
 * @param helix angle of the helix from the plane square to the axis [deg], above 0 and below 90
 * @returns NaN for a diameter or an angle that is not stated or cannot be
 */
export function gainFromGeometry(plunger: number, helix: number): number {
  if (!(plunger > 0 && helix > 0 && helix < 90)) return NaN;
  const area = (Math.PI * plunger ** 2) / 4;
  return (area * Math.PI * plunger * Math.tan((helix * Math.PI) / 180)) / 360;
}

/** Gain [mm3/stroke per deg] from k_R [mm3/stroke per mm of rack]: one deg is pi r / 180 mm of rack. NaN unless r [mm] is above 0. */
export function perDegreeFromRack(perRackMm: number, sleeveRadius: number): number {
  return sleeveRadius > 0 ? (perRackMm * Math.PI * sleeveRadius) / 180 : NaN;
}

/** Gain k_R [mm3/stroke per mm of rack] from k_phi [mm3/stroke per deg]; the inverse of `perDegreeFromRack`. */
export function perRackFromDegree(perDegree: number, sleeveRadius: number): number {
  return sleeveRadius > 0 ? (perDegree * 180) / (Math.PI * sleeveRadius) : NaN;
}

/** What a job's own draws tell of the rack. */
export interface RackFit {
  /** k_R [mm3/stroke per mm of rack], of any sign; NaN where no test points tell it. */
  readonly slope: number;
  /** Test points behind it; 0 where there are none. */
  readonly n: number;
}

const NO_FIT: RackFit = { slope: NaN, n: 0 };

/** Test points of a job: speeds [rpm of the pump], racks [mm] and mean deliveries [mm3/stroke]; the first `count` count. */
interface RackPoints {
  readonly speeds: Float64Array;
  readonly racks: Float64Array;
  readonly deliveries: Float64Array;
  readonly count: number;
}

/** A delivery of 0 stands for every rack below cut-off, so it tells no slope. */
function isIn(points: RackPoints, k: number, lowestSpeed: number): boolean {
  const speed = real(points.speeds, k);
  const read = Number.isFinite(real(points.racks, k)) && Number.isFinite(real(points.deliveries, k));
  return read && real(points.deliveries, k) > 0 && within(speed, lowestSpeed, lowestSpeed * (1 + SAME_SPEED_SHARE));
}

/** Least squares over the test points from `lowestSpeed` to 1 % above; no fit where their racks do not differ. */
function fitAtSpeed(points: RackPoints, lowestSpeed: number): RackFit {
  let n = 0;
  let rackSum = 0;
  let deliverySum = 0;
  let lowest = Infinity;
  let highest = -Infinity;
  for (let k = 0; k < points.count; k++) {
    if (!isIn(points, k, lowestSpeed)) continue;
    const rack = real(points.racks, k);
    n++;
    rackSum += rack;
    deliverySum += real(points.deliveries, k);
    lowest = Math.min(lowest, rack);
    highest = Math.max(highest, rack);
  }
  if (!(highest - lowest > SAME_RACK_MM + 1e-9)) return NO_FIT;
  let products = 0;
  let squares = 0;
  for (let k = 0; k < points.count; k++) {
    if (!isIn(points, k, lowestSpeed)) continue;
    const away = real(points.racks, k) - rackSum / n;
    products += away * (real(points.deliveries, k) - deliverySum / n);
    squares += away * away;
  }
  return { slope: products / squares, n };
}

/**
 * Gain k_R [mm3/stroke per mm of rack] from a job's own draws: least squares of mean delivery on rack over test points whose
 * speeds lie within 1 % of one another and whose racks are not all one. Of several such groups the one with most points, then
 * the fastest. Test points that lack a figure, or deliver nothing, are left out. Source: definition.
 * @param speeds [rpm of the pump] by test point; the first `count` count, as in the other arrays
 * @param racks [mm]
 * @param deliveries mean over the elements [mm3/stroke]
 */
export function fitRack(speeds: Float64Array, racks: Float64Array, deliveries: Float64Array, count: number): RackFit {
  const points: RackPoints = { speeds, racks, deliveries, count };
  let best = NO_FIT;
  let bestSpeed = -Infinity;
  for (let k = 0; k < count; k++) {
    const speed = real(speeds, k);
    if (!(speed > 0) || !isIn(points, k, speed)) continue;
    const fit = fitAtSpeed(points, speed);
    if (fit.n > best.n || (fit.n > 0 && fit.n === best.n && speed > bestSpeed)) {
      best = fit;
      bestSpeed = speed;
    }
  }
  return best;
}

/** The gains that a plan is made with. NaN goes with the basis 'unknown', and with nothing else. */
export interface Gains {
  /** k_phi [mm3/stroke per deg]. */
  readonly perDegree: number;
  readonly perDegreeBasis: GainBasis;
  /** k_R [mm3/stroke per mm of rack]. */
  readonly perRackMm: number;
  readonly perRackBasis: GainBasis;
  /** k_phi from the job's own draws over that from geometry, as a check of either; NaN unless both are known. */
  readonly ratio: number;
}

function basisOf(own: number, geometry: number): GainBasis {
  if (isGain(own)) return 'own draws';
  return isGain(geometry) ? 'geometry' : 'unknown';
}

function pick(basis: GainBasis, own: number, geometry: number): number {
  if (basis === 'unknown') return NaN;
  return basis === 'own draws' ? own : geometry;
}

/**
 * The gains to plan with: from the job's own draws, else from geometry, else unknown. A gain that is not above 0 is not used: more
 * rack cannot deliver less. Own draws tell k_phi only where the sleeve's radius is known.
 * @param ownPerRackMm k_R from `fitRack` [mm3/stroke per mm]; NaN where there is none
 * @param plunger diameter [mm]; NaN where not stated, as the next two
 * @param helix from the plane square to the axis [deg]
 * @param sleeveRadius of the rack teeth or the lever on the control sleeve [mm]
 */
export function chooseGains(ownPerRackMm: number, plunger: number, helix: number, sleeveRadius: number): Gains {
  const ownPerDegree = perDegreeFromRack(ownPerRackMm, sleeveRadius);
  const perDegree = gainFromGeometry(plunger, helix);
  const perRackMm = perRackFromDegree(perDegree, sleeveRadius);
  const perDegreeBasis = basisOf(ownPerDegree, perDegree);
  const perRackBasis = basisOf(ownPerRackMm, perRackMm);
  const ratio = isGain(ownPerDegree) && isGain(perDegree) ? ownPerDegree / perDegree : NaN;
  return {
    perDegree: pick(perDegreeBasis, ownPerDegree, perDegree),
    perDegreeBasis,
    perRackMm: pick(perRackBasis, ownPerRackMm, perRackMm),
    perRackBasis,
    ratio: isGain(ratio) ? ratio : NaN,
  };
}
