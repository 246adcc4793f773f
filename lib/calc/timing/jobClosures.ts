import { liftRate, type LiftRate } from './cam';
import { int, reading, real, type GrowingResults, type Slice } from '../columns';
import type { FindingLog } from '../proof/findings';
import { FIRST_RUN, type StageTally } from '../proof/firstpass';
import type { GaugeBook } from '../proof/gauges';
import { code } from '../layout';
import {
  ALLOWED_PAIR_DIFFERENCE_MM,
  changeForPhase,
  closureAfter,
  nearestChange,
  phaseError,
  screwTurns,
} from './phasing';
import type { PreparedSpec } from '../prepare';
import type { PlanArrays } from './shimplan';
import { isUneven, Stacks } from './stacks';
import { changeForLift, liftError, liftPerAdjuster, referenceLift } from './timing';
import type { ClosureRows, Readings, ShimRows } from '../types';
import { changeUncertainty, decide, phaseUncertainty, readingUncertainty } from '../proof/uncertainty';
import { combine, IN, judge, judgeAll, judgeWhole, NOT_MEASURED, OUT, within } from '../proof/verdict';

const NO = code('yes_no', 'no');
const YES = code('yes_no', 'yes');
const TIMING_STAGE = 0;
const NO_POINT = -1;
const WRONG_SIGN = code('finding', 'shim change stated with the wrong sign');
const WRONG_WAY = code('finding', 'shim changed the wrong way');
const MISRECKONED = code('finding', 'shim change misreckoned');
const PAIR_FOUND_UNEVEN = code('finding', 'split pair found uneven');
const PAIR_DIFFERS = code('finding', 'split pair differs');
const PAST_DATE = code('finding', 'gauge past its date');
const NO_CALIBRATION = code('finding', 'gauge without calibration');
const AFTER_LAST = code('finding', 'shim changed after the last closure');
const LIFT_NOT_READ = code('finding', 'lift not read');
const ELEMENT_MISSING = code('finding', 'element missing');

/** Notes a reading whose gauge was not in date. */
export function noteGauge(
  gauges: GaugeBook,
  findings: FindingLog,
  gauge: number,
  day: number,
  run: number,
  point: number,
): void {
  const state = gauges.state(gauge, day);
  if (state === 'past its date') findings.note(PAST_DATE, run, point, 0, NaN, NaN);
  if (state === 'without calibration') findings.note(NO_CALIBRATION, run, point, 0, NaN, NaN);
}

/**
 * Timing and phasing, job by job and run by run: a timing row for every run with a closure, a phasing row for every element
 * with a closure or a shim row in it. A shim row of run r is the change made after measurement r. All arrays are by
 * element - 1, long enough for the largest specification, and used again for every run.
 */
export class ClosureStage {
  /** Worst phase errors [deg] of the job last worked out, as received and as left; NaN where not measured. */
  receivedError = NaN;
  leftError = NaN;
  /** Where its lift rate comes from: in the last run measured, else at the nominal lift. */
  basis = 0;
  /** With the gauges' uncertainty, timing and phasing together in the last run measured. */
  leftDecision = NOT_MEASURED;
  /** The run after which a stack was changed last; -1 where none was. */
  lastChange = -1;

  private readonly closures: ClosureRows;
  private readonly shims: ShimRows;
  private readonly theta: Float64Array;
  private readonly lift: Float64Array;
  private readonly stacks: Stacks;
  /** 1 where the element has any row in this run. */
  private readonly written: Uint8Array;
  private readonly uncertainty: Float64Array;
  private readonly errors: Float64Array;
  private readonly plan: PlanArrays;
  private day = 0;
  /** Expanded uncertainty of each element's lift gauge [mm]. */
  private readonly liftGauge: Float64Array;

  constructor(
    readings: Readings,
    elements: number,
    private readonly gauges: GaugeBook,
    private readonly findings: FindingLog,
    private readonly out: GrowingResults,
  ) {
    this.closures = readings.closures;
    this.shims = readings.shims;
    this.theta = new Float64Array(elements);
    this.lift = new Float64Array(elements);
    this.stacks = new Stacks(elements);
    this.written = new Uint8Array(elements);
    this.uncertainty = new Float64Array(elements);
    this.errors = new Float64Array(elements);
    this.liftGauge = new Float64Array(elements);
    this.plan = {
      errors: this.errors,
      before: this.stacks.before,
      changes: new Float64Array(elements),
      errorsAfter: new Float64Array(elements),
    };
  }

  /** `day`: the day the pump came in [days from 1970-01-01], by which gauges are looked up. */
  calibrate(
    job: number,
    day: number,
    prepared: PreparedSpec,
    closureSlice: Slice,
    shimSlice: Slice,
    tally: StageTally,
  ): void {
    const { spec, reference } = prepared;
    this.receivedError = NaN;
    this.leftError = NaN;
    this.lastChange = -1;
    this.leftDecision = NOT_MEASURED;
    this.basis = prepared.nominalBasis;
    this.day = day;
    this.stacks.beginJob();
    let lastClosure = -1;
    let missing = 0;
    let liftRead = true;
    while (closureSlice.start < closureSlice.end || shimSlice.start < shimSlice.end) {
      const run = this.nextRun(closureSlice, shimSlice);
      this.resetRun();
      const closuresRead = this.readClosures(closureSlice, run, spec.elements);
      this.readShims(shimSlice, run, spec.elements);
      const rate = liftRate(spec, real(this.lift, reference - 1));
      let verdict = NOT_MEASURED;
      let changed = 0;
      let moved = 0;
      this.setErrors(prepared);
      if (closuresRead) {
        verdict = this.writeTiming(job, run, prepared, rate);
        tally.addRun(TIMING_STAGE, run, verdict);
        prepared.planner.plan(real(this.lift, reference - 1), this.plan);
        lastClosure = run;
        missing = spec.elements - this.countMeasured(spec.elements);
        liftRead = !Number.isNaN(real(this.lift, reference - 1));
      }
      for (let k = 0; k < spec.elements; k++) {
        if (this.written[k] !== 1) continue;
        this.writePhasing(job, run, k, prepared, rate.rate, closuresRead);
        if (this.stacks.changed[k] === 1) {
          tally.addChange(TIMING_STAGE, run, verdict);
          this.lastChange = run;
          changed++;
          moved += Math.abs(real(this.stacks.made, k));
        }
        this.compareRecorded(run, k, prepared, rate.rate);
      }
      if (closuresRead) this.writePlan(job, run, prepared, changed, moved);
    }
    this.noteUnevenPairs(spec.elements);
    if (lastClosure < 0) return;
    if (this.lastChange >= lastClosure) this.findings.note(AFTER_LAST, this.lastChange, NO_POINT, 0, NaN, NaN);
    if (!liftRead) this.findings.note(LIFT_NOT_READ, lastClosure, NO_POINT, reference, NaN, NaN);
    if (missing > 0) {
      this.findings.note(ELEMENT_MISSING, lastClosure, NO_POINT, 0, spec.elements - missing, spec.elements);
    }
  }

  /** Notes the pairs that were found uneven and, as far as was written down, stayed so. */
  private noteUnevenPairs(elements: number): void {
    for (let k = 0; k < elements; k++) {
      const run = this.stacks.leftUnevenSince(k);
      if (run < 0) continue;
      this.findings.note(PAIR_DIFFERS, run, NO_POINT, k + 1, this.stacks.leftDifference(k), ALLOWED_PAIR_DIFFERENCE_MM);
    }
  }

  private countMeasured(elements: number): number {
    let measured = 0;
    for (let k = 0; k < elements; k++) if (!Number.isNaN(real(this.theta, k))) measured++;
    return measured;
  }

  private setErrors({ spec, reference, nominal }: PreparedSpec): void {
    const thetaReference = real(this.theta, reference - 1);
    for (let k = 0; k < spec.elements; k++) {
      this.errors[k] = phaseError(real(this.theta, k), thetaReference, real(nominal, k));
    }
  }

  /** Holds what the card says of one element's change against its stacks, and the change against the error it was to mend. */
  private compareRecorded(run: number, k: number, { spec, reference, tolerance }: PreparedSpec, v: number): void {
    const made = real(this.stacks.made, k);
    const judged = this.stacks.judgeStated(k);
    if (judged !== 'agrees') {
      const finding = judged === 'wrong sign' ? WRONG_SIGN : MISRECKONED;
      this.findings.note(finding, run, NO_POINT, k + 1, real(this.stacks.stated, k), made);
    }
    const ofReference = real(this.stacks.made, reference - 1);
    const relative = made - (Number.isNaN(ofReference) ? 0 : ofReference);
    const error = real(this.errors, k);
    const after = error + (liftPerAdjuster(spec.adjuster) * relative) / v;
    if (
      run >= FIRST_RUN &&
      this.stacks.changed[k] === 1 &&
      !within(error, -tolerance, tolerance) &&
      Math.abs(after) > Math.abs(error) + 1e-9
    ) {
      this.findings.note(WRONG_WAY, run, NO_POINT, k + 1, made, changeForPhase(error, v, spec.adjuster));
    }
    const found = real(this.stacks.pairFound, k);
    if (isUneven(found)) this.findings.note(PAIR_FOUND_UNEVEN, run, NO_POINT, k + 1, found, ALLOWED_PAIR_DIFFERENCE_MM);
    const difference = real(this.stacks.pair, k);
    // What was left as found may still be made even after a later run, so it is told of at the end of the job.
    if (isUneven(difference) && this.stacks.leftUnevenSince(k) < 0) {
      this.findings.note(PAIR_DIFFERS, run, NO_POINT, k + 1, difference, ALLOWED_PAIR_DIFFERENCE_MM);
    }
  }

  private writePlan(job: number, run: number, { planner }: PreparedSpec, changed: number, moved: number): void {
    const row = this.out.shim_plans.newRow();
    const columns = this.out.shim_plans.columns;
    columns.job_no[row] = job;
    columns.run[row] = run;
    columns.status[row] = planner.status;
    columns.barrels[row] = planner.barrels;
    columns.moved_mm[row] = planner.moved;
    columns.lift_after_mm[row] = planner.liftAfter;
    columns.worst_after_deg[row] = planner.worstAfter;
    columns.step_mm[row] = planner.step;
    columns.step_assumed[row] = planner.stepAssumed ? YES : NO;
    columns.done_barrels[row] = changed;
    columns.done_mm[row] = moved;
  }

  private nextRun(closureSlice: Slice, shimSlice: Slice): number {
    return Math.min(
      closureSlice.start < closureSlice.end ? int(this.closures.run, closureSlice.start) : Infinity,
      shimSlice.start < shimSlice.end ? int(this.shims.run, shimSlice.start) : Infinity,
    );
  }

  private resetRun(): void {
    this.theta.fill(NaN);
    this.lift.fill(NaN);
    this.stacks.beginRun();
    this.uncertainty.fill(NaN);
    this.liftGauge.fill(NaN);
    this.written.fill(0);
  }

  /** True where at least one closure was read. */
  private readClosures(slice: Slice, run: number, elements: number): boolean {
    const rows = this.closures;
    let any = false;
    for (; slice.start < slice.end && int(rows.run, slice.start) === run; slice.start++) {
      const row = slice.start;
      const k = int(rows.element, row) - 1;
      if (k < 0 || k >= elements) continue;
      const theta = reading(rows.cam_deg, row);
      this.written[k] = 1;
      this.theta[k] = theta;
      this.lift[k] = referenceLift(reading(rows.lift_mm, row), reading(rows.preload_mm, row));
      any ||= !Number.isNaN(theta);
      const gauge = int(rows.gauge, row);
      if (gauge < 0) continue;
      this.uncertainty[k] = this.gauges.uncertainty(gauge, this.day, 'cam_deg');
      this.liftGauge[k] = this.gauges.uncertainty(gauge, this.day, 'mm');
      noteGauge(this.gauges, this.findings, gauge, this.day, run, NO_POINT);
    }
    return any;
  }

  private readShims(slice: Slice, run: number, elements: number): void {
    const rows = this.shims;
    for (; slice.start < slice.end && int(rows.run, slice.start) === run; slice.start++) {
      const row = slice.start;
      const k = int(rows.element, row) - 1;
      if (k < 0 || k >= elements) continue;
      this.written[k] = 1;
      this.stacks.read(rows, row, k);
    }
  }

  private writePhasing(job: number, run: number, k: number, prepared: PreparedSpec, v: number, planned: boolean): void {
    const { spec, tolerance } = prepared;
    const theta = real(this.theta, k);
    const thetaReference = real(this.theta, prepared.reference - 1);
    const alpha = real(prepared.nominal, k);
    const error = real(this.errors, k);
    const uncertainty = this.errorUncertainty(k, prepared);
    const change = changeForPhase(error, v, spec.adjuster);
    const row = this.out.phasing.newRow();
    const columns = this.out.phasing.columns;
    columns.job_no[row] = job;
    columns.run[row] = run;
    columns.element[row] = k + 1;
    columns.closure_deg[row] = closureAfter(theta, thetaReference);
    columns.nominal_deg[row] = alpha;
    columns.error_deg[row] = error;
    columns.shim_change_mm[row] = change;
    columns.shim_step_mm[row] = nearestChange(spec, change, real(this.stacks.before, k));
    columns.screw_turns[row] = screwTurns(spec, change);
    columns.made_mm[row] = real(this.stacks.made, k);
    columns.pair_difference_mm[row] = real(this.stacks.pair, k);
    columns.verdict[row] = judge(error, -tolerance, tolerance);
    columns.error_uncertainty_deg[row] = uncertainty;
    columns.change_uncertainty_mm[row] = changeUncertainty(uncertainty, v);
    columns.decision[row] = decide(error, -tolerance, tolerance, uncertainty);
    columns.plan_mm[row] = planned ? real(this.plan.changes, k) : NaN;
    columns.planned_error_deg[row] = planned ? real(this.plan.errorsAfter, k) : NaN;
  }

  /** The reference's own error is 0 by definition, whatever its gauge. */
  private errorUncertainty(k: number, { reference }: PreparedSpec): number {
    return k === reference - 1
      ? NaN
      : phaseUncertainty(real(this.uncertainty, k), real(this.uncertainty, reference - 1));
  }

  /** Writes the run's timing row; gives the verdict on timing and phasing together. */
  private writeTiming(job: number, run: number, prepared: PreparedSpec, rate: LiftRate): number {
    const { spec, tolerance, reference } = prepared;
    const thetaReference = real(this.theta, reference - 1);
    let measured = 0;
    let failed = 0;
    let worst = NaN;
    let worstElement = 0;
    let decided = IN;
    // In firing order, so that of two errors of one size the same element is named however the elements are numbered.
    for (const element of spec.firing_order) {
      const theta = real(this.theta, element - 1);
      if (Number.isNaN(theta)) continue;
      measured++;
      const error = phaseError(theta, thetaReference, real(prepared.nominal, element - 1));
      if (Number.isNaN(error) || (element === reference && spec.elements > 1)) continue;
      if (!within(error, -tolerance, tolerance)) failed++;
      decided = combine(decided, decide(error, -tolerance, tolerance, this.errorUncertainty(element - 1, prepared)));
      if (worstElement !== 0 && Math.abs(error) <= Math.abs(worst)) continue;
      worst = error;
      worstElement = element;
    }
    const lift = real(this.lift, reference - 1);
    const error = liftError(spec, lift);
    const timingVerdict = judge(lift, prepared.lowLift, prepared.highLift);
    // Without the reference no error can be told, so nothing fails, and not all elements were read.
    const phasingVerdict = judgeAll(measured, spec.elements, failed);
    const liftUncertainty = readingUncertainty(real(this.liftGauge, reference - 1));
    const timingDecision = decide(lift, prepared.lowLift, prepared.highLift, liftUncertainty);
    const phasingDecision = decided === OUT ? OUT : judgeWhole(decided, measured, spec.elements);
    const row = this.out.timing.newRow();
    const columns = this.out.timing.columns;
    columns.job_no[row] = job;
    columns.run[row] = run;
    columns.lift_mm[row] = lift;
    columns.low_mm[row] = prepared.lowLift;
    columns.high_mm[row] = prepared.highLift;
    columns.lift_error_mm[row] = error;
    columns.shim_change_mm[row] = changeForLift(error, spec.adjuster);
    columns.timing_verdict[row] = timingVerdict;
    columns.lift_rate_mm_per_deg[row] = rate.rate;
    columns.lift_rate_basis[row] = rate.basis;
    columns.tolerance_deg[row] = tolerance;
    columns.tolerance_assumed[row] = prepared.toleranceAssumed ? YES : NO;
    columns.elements_measured[row] = measured;
    columns.worst_error_deg[row] = worst;
    columns.worst_element[row] = worstElement;
    columns.phasing_verdict[row] = phasingVerdict;
    columns.lift_uncertainty_mm[row] = liftUncertainty;
    columns.timing_decision[row] = timingDecision;
    columns.phasing_decision[row] = phasingDecision;
    this.leftDecision = combine(timingDecision, phasingDecision);
    if (run === 0) this.receivedError = worst;
    this.leftError = worst;
    this.basis = rate.basis;
    return combine(timingVerdict, phasingVerdict);
  }
}
