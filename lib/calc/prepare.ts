import { liftRate } from './timing/cam';
import { drawWindows, type DrawWindows } from './delivery/delivery';
import { code } from './layout';
import { ASSUMED_TOLERANCE_DEG, nominalAngles } from './timing/phasing';
import { chooseGains, type Gains } from './delivery/gain';
import type { Gap } from './wear/leakage';
import { ASSUMED_REFERENCE_C } from './delivery/petroleum';
import { retentionPairs, SAME_RACK_MM, type RetentionPair } from './wear/retention';
import { ShimPlanner } from './timing/shimplan';
import { statedOnly } from './stated';
import { highestLift, lowestLift } from './timing/timing';
import type { Spec, TestPoint } from './types';

export interface PreparedPoint {
  readonly point: TestPoint;
  readonly windows: DrawWindows;
  readonly spreadAsked: boolean;
  /** A `spread_basis` code; 'none asked' where no spread is. */
  readonly basis: number;
}

/** A specification with everything that does not depend on readings worked out once. */
export interface PreparedSpec {
  readonly spec: Spec;
  /** Number of the reference element, from 1. */
  readonly reference: number;
  /** Nominal closures [deg], by element - 1. */
  readonly nominal: Float64Array;
  readonly tolerance: number;
  readonly toleranceAssumed: boolean;
  /** Where the lift rate comes from at the nominal lift (a `lift_rate_basis` code). */
  readonly nominalBasis: number;
  readonly lowLift: number;
  readonly highLift: number;
  readonly points: readonly PreparedPoint[];
  /** Place of a test point in `points`, by its number. */
  readonly places: ReadonlyMap<number, number>;
  /** Place of the base test point: the one of that purpose, else the first; -1 where there is none. */
  readonly basePlace: number;
  readonly pairs: readonly RetentionPair[];
  /** Plans the least rework for one run after the other. */
  readonly planner: ShimPlanner;
  /** Temperature that deliveries are brought to [deg C], and whether it was assumed. */
  readonly referenceC: number;
  readonly referenceAssumed: boolean;
  /** Gains from geometry alone. */
  readonly gains: Gains;
  /** Places of the test points at one rack, for every rack drawn at two speeds or more. */
  readonly racks: readonly RackPlaces[];
  readonly gap: Gap;
}

export interface RackPlaces {
  readonly rack_mm: number;
  readonly places: readonly number[];
}

function preparePoint(point: TestPoint): PreparedPoint {
  const spreadAsked = !Number.isNaN(point.spread);
  return {
    point,
    windows: drawWindows(point),
    spreadAsked,
    basis: code('spread_basis', spreadAsked ? point.spread_basis : 'none asked'),
  };
}

function basePlace(points: readonly TestPoint[]): number {
  const base = points.findIndex((point) => point.purpose === 'base');
  return base < 0 && points.length > 0 ? 0 : base;
}

/** Racks at which the specification asks for draws at more than one speed; racks nearer than SAME_RACK_MM count as one. */
function rackPlaces(points: readonly TestPoint[]): RackPlaces[] {
  const racks: { rack_mm: number; places: number[] }[] = [];
  points.forEach((point, place) => {
    if (Number.isNaN(point.rack_mm)) return;
    const known = racks.find((rack) => Math.abs(rack.rack_mm - point.rack_mm) <= SAME_RACK_MM + 1e-9);
    if (known === undefined) racks.push({ rack_mm: point.rack_mm, places: [place] });
    else known.places.push(place);
  });
  const speeds = (places: readonly number[]): Set<number> =>
    new Set(places.map((place) => points[place]?.speed_rpm ?? 0));
  return racks.filter(({ places }) => speeds(places).size > 1);
}

/** Throws RangeError where the firing order is not a permutation of the elements, or a list has another length than it. */
export function prepareSpec(sheet: Spec): PreparedSpec {
  const spec = statedOnly(sheet);
  const order = [...spec.firing_order].sort((a, b) => a - b);
  const complete = order.length === spec.elements && order.every((element, k) => element === k + 1);
  const [reference] = spec.firing_order;
  if (!complete || reference === undefined) {
    throw new RangeError(`Specification ${spec.spec_no}: its firing order does not name every element once`);
  }
  if (spec.closure_angles_deg !== null && spec.closure_angles_deg.length !== spec.elements) {
    throw new RangeError(`Specification ${spec.spec_no}: it lists another number of closure angles than elements`);
  }
  const toleranceAssumed = Number.isNaN(spec.phasing_tol_deg);
  const referenceAssumed = Number.isNaN(spec.reference_c);
  const tolerance = toleranceAssumed ? ASSUMED_TOLERANCE_DEG : spec.phasing_tol_deg;
  return {
    spec,
    reference,
    nominal: nominalAngles(spec),
    tolerance,
    toleranceAssumed,
    nominalBasis: liftRate(spec, spec.lift_mm).basis,
    lowLift: lowestLift(spec),
    highLift: highestLift(spec),
    points: spec.test_points.map(preparePoint),
    places: new Map(spec.test_points.map((point, place) => [point.point, place])),
    basePlace: basePlace(spec.test_points),
    pairs: retentionPairs(spec),
    planner: new ShimPlanner(spec, tolerance),
    referenceC: referenceAssumed ? ASSUMED_REFERENCE_C : spec.reference_c,
    referenceAssumed,
    gains: chooseGains(NaN, spec.plunger_mm, spec.helix_deg, spec.sleeve_radius_mm),
    racks: rackPlaces(spec.test_points),
    gap: {
      diameter: spec.plunger_mm,
      length: spec.seal_length_mm,
      pressure: spec.injection_mpa,
      viscosity: spec.viscosity_mpa_s,
    },
  };
}
