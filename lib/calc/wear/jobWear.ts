import type { GrowingResults } from '../columns';
import { emptyLeakFit, equivalentClearance, fitLeak } from './leakage';
import type { PreparedSpec } from '../prepare';
import { retention } from './retention';
import type { RunDeliveries } from '../delivery/runDeliveries';

/** What one run's draws tell of wear: low-speed retention and leak slope, element by element. */
export class WearStage {
  private readonly speeds: Float64Array;
  private readonly deliveries: Float64Array;
  private readonly fit = emptyLeakFit();

  /** `points`: the most test points that any specification has. */
  constructor(
    points: number,
    private readonly out: GrowingResults,
  ) {
    this.speeds = new Float64Array(points);
    this.deliveries = new Float64Array(points);
  }

  write(job: number, run: number, prepared: PreparedSpec, drawn: RunDeliveries): void {
    this.writeRetention(job, run, prepared, drawn);
    this.writeLeakage(job, run, prepared, drawn);
  }

  private writeRetention(job: number, run: number, { pairs, points, spec }: PreparedSpec, drawn: RunDeliveries): void {
    for (const pair of pairs) {
      for (let k = 0; k < spec.elements; k++) {
        const low = drawn.at(pair.low, k);
        const rated = drawn.at(pair.rated, k);
        if (Number.isNaN(low) || Number.isNaN(rated)) continue;
        const row = this.out.retention.newRow();
        const columns = this.out.retention.columns;
        columns.job_no[row] = job;
        columns.run[row] = run;
        columns.element[row] = k + 1;
        columns.low_point[row] = points[pair.low]?.point.point ?? -1;
        columns.rated_point[row] = points[pair.rated]?.point.point ?? -1;
        columns.low_mm3[row] = low;
        columns.rated_mm3[row] = rated;
        columns.retention[row] = retention(low, rated);
      }
    }
  }

  private writeLeakage(job: number, run: number, prepared: PreparedSpec, drawn: RunDeliveries): void {
    const { racks, points, spec, gap } = prepared;
    for (const rack of racks) {
      for (let k = 0; k < spec.elements; k++) {
        let count = 0;
        for (const place of rack.places) {
          this.speeds[count] = points[place]?.point.speed_rpm ?? NaN;
          this.deliveries[count++] = drawn.at(place, k);
        }
        fitLeak(this.speeds, this.deliveries, count, this.fit);
        if (Number.isNaN(this.fit.slope)) continue;
        const row = this.out.leakage.newRow();
        const columns = this.out.leakage.columns;
        columns.job_no[row] = job;
        columns.run[row] = run;
        columns.element[row] = k + 1;
        columns.rack_mm[row] = rack.rack_mm;
        columns.speeds[row] = this.fit.n;
        columns.intercept_mm3[row] = this.fit.unleaked;
        columns.slope_mm3_rpm[row] = this.fit.slope;
        columns.clearance_um[row] = equivalentClearance(this.fit.slope, spec.injection_deg, gap);
      }
    }
  }
}
