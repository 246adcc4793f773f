import { int, type GrowingResults, type Slice } from './columns';
import { FindingLog } from './proof/findings';
import { bothPass, FIRST_RUN, NO, NOT_COUNTED, stageFirstPass, StageTally, YES } from './proof/firstpass';
import type { GaugeBook } from './proof/gauges';
import { ClosureStage } from './timing/jobClosures';
import { DrawStage } from './delivery/jobDraws';
import { GovernorStage } from './governor/jobGovernor';
import { code } from './layout';
import type { PreparedSpec } from './prepare';
import type { Readings } from './types';
import { combine, IN, NOT_MEASURED, OUT } from './proof/verdict';

const TIMING_AND_PHASING = code('stage', 'timing and phasing');
const TEST_POINT = code('stage', 'test point');
const GOVERNOR = code('stage', 'governor');
const NO_POINT = -1;
const NO_RUN = -1;
const STATED_PASS = code('finding', 'stated pass, recomputed out');
const STATED_FAIL = code('finding', 'stated fail, recomputed in');
const CHANGED_AFTER_DRAW = code('finding', 'shim changed after the last draw');
const SUPERSEDED = code('finding', 'superseded revision');
const NO_FIRST = code('finding', 'first measurement missing');
const TIMING_MISSING = code('finding', 'timing and phasing missing');
const POINT_MISSING = code('finding', 'test point missing');
const GOVERNOR_MISSING = code('finding', 'governor missing');

/** Stages that a specification asks for: timing and phasing, its test points, the governor where it has checks. */
const stagesOf = ({ points, spec }: PreparedSpec): number => 1 + points.length + (spec.checks.length > 0 ? 1 : 0);

/** Rows of one job in every table of readings. */
export interface JobSlices {
  readonly closures: Slice;
  readonly shims: Slice;
  readonly draws: Slice;
  readonly barrels: Slice;
  readonly governor: Slice;
}

/** What the job card says of the job as a whole. */
export interface JobCard {
  readonly job: number;
  /** Days from 1970-01-01. */
  readonly day: number;
  /** An `answer` code. */
  readonly statedPass: number;
}

function writeStages(job: number, prepared: PreparedSpec, tally: StageTally, { stages }: GrowingResults): void {
  const { points } = prepared;
  for (let stage = 0; stage < stagesOf(prepared); stage++) {
    const firstVerdict = int(tally.firstVerdict, stage);
    const row = stages.newRow();
    const columns = stages.columns;
    columns.job_no[row] = job;
    columns.stage[row] = stage === 0 ? TIMING_AND_PHASING : stage <= points.length ? TEST_POINT : GOVERNOR;
    columns.point[row] = points[stage - 1]?.point.point ?? NO_POINT;
    columns.runs[row] = int(tally.runs, stage);
    columns.first_verdict[row] = firstVerdict;
    columns.first_pass[row] = stageFirstPass(firstVerdict);
    columns.as_left_run[row] = int(tally.lastRun, stage);
    columns.as_left[row] = tally.leftVerdict(stage);
    columns.changes[row] = int(tally.changes, stage);
    columns.needless_changes[row] = int(tally.needless, stage);
  }
}

/** Works out job after job of one batch: every run's figures and verdicts, then the job's stages, then its outcome. */
export class JobCalibration {
  private readonly closures: ClosureStage;
  private readonly draws: DrawStage;
  private readonly governor: GovernorStage;
  private readonly tally: StageTally;
  private readonly findings: FindingLog;

  /** `elements` and `points`: the most that any specification of the batch has. */
  constructor(
    readings: Readings,
    elements: number,
    points: number,
    gauges: GaugeBook,
    private readonly out: GrowingResults,
  ) {
    this.findings = new FindingLog(out);
    this.closures = new ClosureStage(readings, elements, gauges, this.findings, out);
    this.draws = new DrawStage(readings, elements, points, gauges, this.findings, out);
    this.governor = new GovernorStage(readings, out);
    this.tally = new StageTally(2 + points);
  }

  calibrate(card: JobCard, prepared: PreparedSpec, slices: JobSlices): void {
    const { job, day } = card;
    this.tally.reset();
    this.findings.reset();
    this.closures.calibrate(job, day, prepared, slices.closures, slices.shims, this.tally);
    this.draws.calibrate(job, day, prepared, slices.draws, slices.barrels, this.tally);
    this.governor.calibrate(job, prepared, slices.governor, 1 + prepared.points.length, this.tally);
    if (day >= prepared.spec.superseded_day) {
      this.findings.note(SUPERSEDED, NO_RUN, NO_POINT, 0, day, prepared.spec.superseded_day);
    }
    this.noteStaleBalance(prepared);
    writeStages(job, prepared, this.tally, this.out);
    this.writeOutcome(card, prepared);
    this.findings.write(job);
  }

  /** With the gauges' uncertainty; none is stated for readings of the governor, so its decision is the plain comparison. */
  private leftDecision(stage: number, { points }: PreparedSpec, verdict: number): number {
    if (stage === 0) return this.closures.leftDecision;
    return stage <= points.length ? this.draws.leftDecision(stage - 1) : verdict;
  }

  /** A job without a single measurement is still open, and lacks nothing yet. */
  private noteMissing(stage: number, { points }: PreparedSpec): void {
    const point = points[stage - 1]?.point.point ?? NO_POINT;
    const last = int(this.tally.lastRun, stage);
    if (!this.tally.runs.some((runs) => runs > 0)) return;
    if (last < 0 || (last < FIRST_RUN && this.tally.workedOn())) {
      const finding = stage === 0 ? TIMING_MISSING : stage <= points.length ? POINT_MISSING : GOVERNOR_MISSING;
      this.findings.note(finding, NO_RUN, point, 0, NaN, NaN);
    } else if (int(this.tally.firstVerdict, stage) === NOT_MEASURED && last > FIRST_RUN) {
      this.findings.note(NO_FIRST, NO_RUN, point, 0, NaN, NaN);
    }
  }

  /**
   * Notes a change of stacks after which the balance was not drawn again. Runs are counted stage by stage and shims carry no time, so this
   * can be told of a balance drawn as received only: of a later one nothing says whether the change came before or after.
   * Where another stage was measured after assembly, the test point is missing, and told of as such.
   */
  private noteStaleBalance({ basePlace }: PreparedSpec): void {
    const drawn = basePlace < 0 ? -1 : int(this.tally.lastRun, 1 + basePlace);
    const changed = this.closures.lastChange;
    if (drawn < 0 || drawn >= FIRST_RUN || changed < 0 || this.tally.workedOn()) return;
    this.findings.note(CHANGED_AFTER_DRAW, changed, NO_POINT, 0, NaN, NaN);
  }

  private writeOutcome({ job, statedPass }: JobCard, prepared: PreparedSpec): void {
    const { toleranceAssumed } = prepared;
    const stages = stagesOf(prepared);
    let firstPass = YES;
    let asLeft = IN;
    let counted = 0;
    let decision = IN;
    for (let stage = 0; stage < stages; stage++) {
      const pass = stageFirstPass(int(this.tally.firstVerdict, stage));
      firstPass = bothPass(firstPass, pass);
      if (pass !== NOT_COUNTED) counted++;
      const left = this.tally.leftVerdict(stage);
      asLeft = combine(asLeft, left);
      decision = combine(decision, left === NOT_MEASURED ? NOT_MEASURED : this.leftDecision(stage, prepared, left));
      this.noteMissing(stage, prepared);
    }
    if (statedPass === YES && asLeft === OUT) this.findings.note(STATED_PASS, NO_RUN, NO_POINT, 0, NaN, NaN);
    if (statedPass === NO && asLeft === IN) this.findings.note(STATED_FAIL, NO_RUN, NO_POINT, 0, NaN, NaN);
    const row = this.out.outcomes.newRow();
    const columns = this.out.outcomes.columns;
    columns.job_no[row] = job;
    columns.first_pass[row] = firstPass;
    columns.stages_asked[row] = stages;
    columns.stages_counted[row] = counted;
    columns.as_left[row] = asLeft;
    columns.received_error_deg[row] = this.closures.receivedError;
    columns.left_error_deg[row] = this.closures.leftError;
    columns.lift_rate_basis[row] = this.closures.basis;
    columns.tolerance_assumed[row] = code('yes_no', toleranceAssumed ? 'yes' : 'no');
    columns.excluded_draws[row] = this.draws.excludedDraws;
    columns.as_left_decision[row] = decision;
    columns.breaking[row] = this.findings.breaking;
    columns.weakening[row] = this.findings.weakening;
  }
}
