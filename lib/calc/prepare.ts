import { liftRate } from './cam';
import { drawWindows, type DrawWindows } from './delivery';
import { code } from './layout';
import { ASSUMED_TOLERANCE_DEG, nominalAngles } from './phasing';
import { retentionPairs, type RetentionPair } from './retention';
import { highestLift, lowestLift } from './timing';
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

/** Throws RangeError where the firing order is not a permutation of the elements, or a list has another length than it. */
export function prepareSpec(spec: Spec): PreparedSpec {
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
  return {
    spec,
    reference,
    nominal: nominalAngles(spec),
    tolerance: toleranceAssumed ? ASSUMED_TOLERANCE_DEG : spec.phasing_tol_deg,
    toleranceAssumed,
    nominalBasis: liftRate(spec, spec.lift_mm).basis,
    lowLift: lowestLift(spec),
    highLift: highestLift(spec),
    points: spec.test_points.map(preparePoint),
    places: new Map(spec.test_points.map((point, place) => [point.point, place])),
    basePlace: basePlace(spec.test_points),
    pairs: retentionPairs(spec),
  };
}
