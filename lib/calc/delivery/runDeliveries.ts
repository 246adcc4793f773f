import { real } from '../columns';

/** What one run's draws gave, test point by test point; used again for every run. Test point p stands at place p. */
export class RunDeliveries {
  /** Delivery [mm3/stroke] of element k at test point p, at p * elements + k; NaN where no draw counts. */
  private readonly deliveries: Float64Array;
  /** Mean over the elements [mm3/stroke], and the rack it was drawn at [mm]; NaN where not every element was measured. */
  readonly means: Float64Array;
  readonly racks: Float64Array;
  /** When the point was first drawn [minutes from 1970-01-01]; NaN where no draw of it says when. */
  readonly taken: Float64Array;

  constructor(
    private readonly elements: number,
    points: number,
  ) {
    this.deliveries = new Float64Array(elements * points);
    this.means = new Float64Array(points);
    this.racks = new Float64Array(points);
    this.taken = new Float64Array(points);
  }

  reset(): void {
    this.deliveries.fill(NaN);
    this.means.fill(NaN);
    this.racks.fill(NaN);
    this.taken.fill(NaN);
  }

  /** Takes in when one draw was taken [minutes from 1970-01-01]; NaN, where that was not written down, tells nothing. */
  noteTaken(place: number, taken: number): void {
    if (Number.isNaN(taken) || real(this.taken, place) <= taken) return;
    this.taken[place] = taken;
  }

  /** Delivery [mm3/stroke] of the element at `k` at the test point at `place`. */
  at(place: number, k: number): number {
    return real(this.deliveries, place * this.elements + k);
  }

  set(place: number, k: number, delivery: number): void {
    this.deliveries[place * this.elements + k] = delivery;
  }
}
