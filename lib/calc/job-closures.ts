import { liftRate, type LiftRate } from './cam';
import { int, reading, real, type GrowingResults, type Slice } from './columns';
import type { StageTally } from './firstpass';
import { code } from './layout';
import {
  changeForPhase,
  closureAfter,
  isChange,
  madeChange,
  nearestChange,
  pairDifference,
  phaseError,
  screwTurns,
} from './phasing';
import type { PreparedSpec } from './prepare';
import { changeForLift, liftError, referenceLift } from './timing';
import type { ClosureRows, Readings, ShimRows } from './types';
import { combine, judge, judgeAll, NOT_MEASURED, within } from './verdict';

const NO = code('yes_no', 'no');
const YES = code('yes_no', 'yes');
const TIMING_STAGE = 0;

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

  private readonly closures: ClosureRows;
  private readonly shims: ShimRows;
  private readonly theta: Float64Array;
  private readonly lift: Float64Array;
  private readonly before: Float64Array;
  private readonly made: Float64Array;
  private readonly pair: Float64Array;
  /** 1 where the element has any row in this run. */
  private readonly written: Uint8Array;
  /** Stack as the last shim row before this run left it; NaN where that was not written down. */
  private readonly stack: Float64Array;

  constructor(
    readings: Readings,
    elements: number,
    private readonly out: GrowingResults,
  ) {
    this.closures = readings.closures;
    this.shims = readings.shims;
    this.theta = new Float64Array(elements);
    this.lift = new Float64Array(elements);
    this.before = new Float64Array(elements);
    this.made = new Float64Array(elements);
    this.pair = new Float64Array(elements);
    this.written = new Uint8Array(elements);
    this.stack = new Float64Array(elements);
  }

  calibrate(job: number, prepared: PreparedSpec, closureSlice: Slice, shimSlice: Slice, tally: StageTally): void {
    const { spec, reference } = prepared;
    this.receivedError = NaN;
    this.leftError = NaN;
    this.basis = prepared.nominalBasis;
    this.stack.fill(NaN);
    while (closureSlice.start < closureSlice.end || shimSlice.start < shimSlice.end) {
      const run = this.nextRun(closureSlice, shimSlice);
      this.resetRun();
      const closuresRead = this.readClosures(closureSlice, run, spec.elements);
      this.readShims(shimSlice, run, spec.elements);
      const rate = liftRate(spec, real(this.lift, reference - 1));
      let verdict = NOT_MEASURED;
      if (closuresRead) {
        verdict = this.writeTiming(job, run, prepared, rate);
        tally.addRun(TIMING_STAGE, run, verdict);
      }
      for (let k = 0; k < spec.elements; k++) {
        if (this.written[k] !== 1) continue;
        this.writePhasing(job, run, k, prepared, rate.rate);
        if (isChange(real(this.made, k))) tally.addChange(TIMING_STAGE, run, verdict);
      }
    }
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
    this.before.set(this.stack);
    this.made.fill(NaN);
    this.pair.fill(NaN);
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
    }
    return any;
  }

  private readShims(slice: Slice, run: number, elements: number): void {
    const rows = this.shims;
    for (; slice.start < slice.end && int(rows.run, slice.start) === run; slice.start++) {
      const row = slice.start;
      const k = int(rows.element, row) - 1;
      if (k < 0 || k >= elements) continue;
      const before = reading(rows.before_mm, row);
      const after = reading(rows.after_mm, row);
      this.written[k] = 1;
      if (!Number.isNaN(before)) this.before[k] = before;
      this.made[k] = madeChange(before, after);
      this.pair[k] = pairDifference(after, reading(rows.after_second_mm, row));
      this.stack[k] = after;
    }
  }

  private writePhasing(job: number, run: number, k: number, prepared: PreparedSpec, v: number): void {
    const { spec, tolerance } = prepared;
    const theta = real(this.theta, k);
    const thetaReference = real(this.theta, prepared.reference - 1);
    const alpha = real(prepared.nominal, k);
    const error = phaseError(theta, thetaReference, alpha);
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
    columns.shim_step_mm[row] = nearestChange(spec, change, real(this.before, k));
    columns.screw_turns[row] = screwTurns(spec, change);
    columns.made_mm[row] = real(this.made, k);
    columns.pair_difference_mm[row] = real(this.pair, k);
    columns.verdict[row] = judge(error, -tolerance, tolerance);
  }

  /** Writes the run's timing row; gives the verdict on timing and phasing together. */
  private writeTiming(job: number, run: number, prepared: PreparedSpec, rate: LiftRate): number {
    const { spec, tolerance, reference } = prepared;
    const thetaReference = real(this.theta, reference - 1);
    let measured = 0;
    let failed = 0;
    let worst = NaN;
    let worstElement = 0;
    // In firing order, so that of two errors of one size the same element is named however the elements are numbered.
    for (const element of spec.firing_order) {
      const theta = real(this.theta, element - 1);
      if (Number.isNaN(theta)) continue;
      measured++;
      const error = phaseError(theta, thetaReference, real(prepared.nominal, element - 1));
      if (Number.isNaN(error) || (element === reference && spec.elements > 1)) continue;
      if (!within(error, -tolerance, tolerance)) failed++;
      if (worstElement !== 0 && Math.abs(error) <= Math.abs(worst)) continue;
      worst = error;
      worstElement = element;
    }
    const lift = real(this.lift, reference - 1);
    const error = liftError(spec, lift);
    const timingVerdict = judge(lift, prepared.lowLift, prepared.highLift);
    // Without the reference no error can be told, so nothing fails, and not all elements were read.
    const phasingVerdict = judgeAll(measured, spec.elements, failed);
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
    if (run === 0) this.receivedError = worst;
    this.leftError = worst;
    this.basis = rate.basis;
    return combine(timingVerdict, phasingVerdict);
  }
}
