import { int, type GrowingResults, type Slice } from './columns';
import { bothPass, NOT_COUNTED, stageFirstPass, StageTally, YES } from './firstpass';
import { ClosureStage } from './job-closures';
import { DrawStage } from './job-draws';
import { code } from './layout';
import type { PreparedSpec } from './prepare';
import type { Readings } from './types';
import { combine, IN } from './verdict';

const TIMING_AND_PHASING = code('stage', 'timing and phasing');
const TEST_POINT = code('stage', 'test point');
const NO_POINT = -1;

/** Rows of one job in every table of readings. */
export interface JobSlices {
  readonly closures: Slice;
  readonly shims: Slice;
  readonly draws: Slice;
  readonly barrels: Slice;
}

function writeStages(job: number, { points }: PreparedSpec, tally: StageTally, { stages }: GrowingResults): void {
  for (let stage = 0; stage <= points.length; stage++) {
    const firstVerdict = int(tally.firstVerdict, stage);
    const row = stages.newRow();
    const columns = stages.columns;
    columns.job_no[row] = job;
    columns.stage[row] = stage === 0 ? TIMING_AND_PHASING : TEST_POINT;
    columns.point[row] = points[stage - 1]?.point.point ?? NO_POINT;
    columns.runs[row] = int(tally.runs, stage);
    columns.first_verdict[row] = firstVerdict;
    columns.first_pass[row] = stageFirstPass(firstVerdict);
    columns.as_left_run[row] = int(tally.lastRun, stage);
    columns.as_left[row] = int(tally.lastVerdict, stage);
    columns.changes[row] = int(tally.changes, stage);
    columns.needless_changes[row] = int(tally.needless, stage);
  }
}

/** Works out job after job of one batch: every run's figures and verdicts, then the job's stages, then its outcome. */
export class JobCalibration {
  private readonly closures: ClosureStage;
  private readonly draws: DrawStage;
  private readonly tally: StageTally;

  /** `elements` and `points`: the most that any specification of the batch has. */
  constructor(
    readings: Readings,
    elements: number,
    points: number,
    private readonly out: GrowingResults,
  ) {
    this.closures = new ClosureStage(readings, elements, out);
    this.draws = new DrawStage(readings, elements, points, out);
    this.tally = new StageTally(1 + points);
  }

  calibrate(job: number, prepared: PreparedSpec, slices: JobSlices): void {
    this.tally.reset();
    this.closures.calibrate(job, prepared, slices.closures, slices.shims, this.tally);
    this.draws.calibrate(job, prepared, slices.draws, slices.barrels, this.tally);
    writeStages(job, prepared, this.tally, this.out);
    this.writeOutcome(job, prepared);
  }

  private writeOutcome(job: number, { points, toleranceAssumed }: PreparedSpec): void {
    let firstPass = YES;
    let asLeft = IN;
    let counted = 0;
    for (let stage = 0; stage <= points.length; stage++) {
      const pass = stageFirstPass(int(this.tally.firstVerdict, stage));
      firstPass = bothPass(firstPass, pass);
      if (pass !== NOT_COUNTED) counted++;
      asLeft = combine(asLeft, int(this.tally.lastVerdict, stage));
    }
    const row = this.out.outcomes.newRow();
    const columns = this.out.outcomes.columns;
    columns.job_no[row] = job;
    columns.first_pass[row] = firstPass;
    columns.stages_asked[row] = 1 + points.length;
    columns.stages_counted[row] = counted;
    columns.as_left[row] = asLeft;
    columns.received_error_deg[row] = this.closures.receivedError;
    columns.left_error_deg[row] = this.closures.leftError;
    columns.lift_rate_basis[row] = this.closures.basis;
    columns.tolerance_assumed[row] = code('yes_no', toleranceAssumed ? 'yes' : 'no');
    columns.excluded_draws[row] = this.draws.excludedDraws;
  }
}
