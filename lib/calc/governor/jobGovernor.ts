import { int, reading, type GrowingResults, type Slice } from '../columns';
import type { StageTally } from '../proof/firstpass';
import { CheckReadings } from './governor';
import { code, codes } from '../layout';
import type { PreparedSpec } from '../prepare';
import type { GovernorRows, Readings } from '../types';
import { judgeAll, NOT_MEASURED, OUT } from '../proof/verdict';

const unitCode = (unit: (typeof codes.check_unit)[number]): number => code('check_unit', unit);

/** Governor and accessories, job by job and run by run: a row for every band of the specification in every run with a reading. */
export class GovernorStage {
  private readonly rows: GovernorRows;
  private readonly readings = new CheckReadings();

  constructor(
    readings: Readings,
    private readonly out: GrowingResults,
  ) {
    this.rows = readings.governor;
  }

  /** `stage`: the governor's place in the tally. */
  calibrate(job: number, prepared: PreparedSpec, slice: Slice, stage: number, tally: StageTally): void {
    while (slice.start < slice.end) {
      const run = int(this.rows.run, slice.start);
      let end = slice.start;
      while (end < slice.end && int(this.rows.run, end) === run) end++;
      if (prepared.spec.checks.length > 0) this.judgeRun(job, run, prepared, slice.start, end, stage, tally);
      slice.start = end;
    }
  }

  /** A run whose readings tell of no band is none in which the stage was measured. */
  private judgeRun(
    job: number,
    run: number,
    prepared: PreparedSpec,
    start: number,
    end: number,
    stage: number,
    tally: StageTally,
  ): void {
    let measured = 0;
    let failed = 0;
    let last = -1;
    for (const band of prepared.spec.checks) {
      if (band.check !== last) this.gather(band.check, start, end);
      last = band.check;
      const verdict = this.readings.judge(band);
      if (verdict !== NOT_MEASURED) measured++;
      if (verdict === OUT) failed++;
      const row = this.out.governor_checks.newRow();
      const columns = this.out.governor_checks.columns;
      columns.job_no[row] = job;
      columns.run[row] = run;
      columns.check[row] = band.check;
      columns.at_rpm[row] = band.speed_rpm;
      columns.at_boost_kpa[row] = band.boost_kpa;
      columns.value[row] = this.readings.value;
      columns.low[row] = band.low;
      columns.high[row] = band.high;
      columns.unit[row] = unitCode(band.unit);
      columns.basis[row] = this.readings.basis;
      columns.readings[row] = this.readings.used;
      columns.verdict[row] = verdict;
    }
    if (measured > 0) tally.addRun(stage, run, judgeAll(measured, prepared.spec.checks.length, failed));
  }

  /** Takes in the readings of one check; the run's rows stand together by check. */
  private gather(check: number, start: number, end: number): void {
    this.readings.reset();
    for (let row = start; row < end; row++) {
      if (int(this.rows.check, row) !== check) continue;
      this.readings.add(
        reading(this.rows.speed_rpm, row),
        reading(this.rows.rack_mm, row),
        reading(this.rows.boost_kpa, row),
        reading(this.rows.delivery_mm3, row),
        int(this.rows.lever, row),
      );
    }
  }
}
