import { camRises, liftRate, type CamRise } from './cam';
import { SLACK } from './shimsteps';
import type { Spec } from '../types';

/**
 * Phase errors seen as lifts: where on the cam each element closes, and between which lifts it may close once the reference has
 * moved. Places are mm of lift from where the reference closed as measured, so that its own is 0 before and `y` after.
 *
 * Along the cam's own rise where the sheet tells it: an element with the error e closes at the lift L(A(h) + e), and may close
 * from L(A(h + y) - T) to L(A(h + y) + T), with A the angle at a lift and L the lift at an angle. Where no rise is known, or it
 * does not reach as far as an element or the lift's band, by one lift rate v for all, that at the lift after the change: places
 * are e v, the window y - T v to y + T v.
 */
export class ShimLifts {
  /** Where an element may close after the change set last [mm from where the reference was]. */
  from = NaN;
  to = NaN;
  /** Lift rate at the lift after that change [mm/deg]; NaN along the cam. */
  private rate = NaN;
  private rise: CamRise | null = null;
  private lift = NaN;
  private angleBefore = NaN;
  private angleAfter = NaN;
  private change = NaN;
  private readonly rises: readonly CamRise[];
  /** Along the cam: places by element - 1. */
  private readonly places: Float64Array;

  /** @param tolerance phase error allowed either way [deg of camshaft] */
  constructor(
    private readonly spec: Spec,
    private readonly tolerance: number,
  ) {
    this.rises = camRises(spec);
    this.places = new Float64Array(spec.elements);
  }

  /**
   * Sets what was measured.
   * @param lift of the reference [mm]; NaN where not read, and the nominal one stands in
   * @param errors [deg], NaN where not measured, by element - 1
   * @param low,high ends of the band that the lift may be moved within [mm]; NaN where it is not moved
   */
  measure(lift: number, errors: Float64Array, low: number, high: number): void {
    this.lift = Number.isNaN(lift) ? this.spec.lift_mm : lift;
    this.rise = this.rises.find((rise) => this.placeAlong(rise, errors, low, high)) ?? null;
  }

  /** Places every element along a rise; false where it does not reach so far. */
  private placeAlong(rise: CamRise, errors: Float64Array, low: number, high: number): boolean {
    if (low < rise.lowest || high > rise.highest) return false;
    this.angleBefore = rise.angleAt(this.lift);
    for (let k = 0; k < this.spec.elements; k++) {
      const error = errors[k] ?? NaN;
      const lift = rise.liftAt(this.angleBefore + (Number.isNaN(error) ? 0 : error));
      if (Number.isNaN(lift)) return false;
      this.places[k] = lift - this.lift;
    }
    return true;
  }

  /** Sets the change of the reference's lift [mm]; false where the cam does not reach so far. */
  moveReference(change: number): boolean {
    this.change = change;
    const { rise } = this;
    if (rise === null) {
      this.rate = liftRate(this.spec, this.lift + change).rate;
      this.from = change - this.tolerance * this.rate;
      this.to = change + this.tolerance * this.rate;
      return true;
    }
    this.angleAfter = rise.angleAt(this.lift + change);
    if (Number.isNaN(this.angleAfter)) return false;
    this.from = this.placeAt(rise, Math.max(rise.start, this.angleAfter - this.tolerance));
    this.to = this.placeAt(rise, Math.min(rise.end, this.angleAfter + this.tolerance));
    return true;
  }

  private placeAt(rise: CamRise, deg: number): number {
    return rise.liftAt(deg) - this.lift;
  }

  /** Where an element with an error [deg] closes before it is moved. */
  place(k: number, error: number): number {
    return this.rise === null ? error * this.rate : (this.places[k] ?? NaN);
  }

  /** Whether an element can close there at all: the cam as it is known goes so far. */
  reaches(place: number): boolean {
    const { rise, lift } = this;
    return rise === null || (lift + place >= rise.lowest - SLACK && lift + place <= rise.highest + SLACK);
  }

  /** Error [deg] that an element with an error `error` has after its own lift changed by `y` and the reference's as set. */
  errorAfter(k: number, error: number, y: number): number {
    const { rise } = this;
    if (rise === null) return error + (y - this.change) / this.rate;
    if (y === 0) return error - (this.angleAfter - this.angleBefore);
    const lift = this.lift + this.place(k, error) + y;
    return rise.angleAt(Math.min(rise.highest, Math.max(rise.lowest, lift))) - this.angleAfter;
  }
}
