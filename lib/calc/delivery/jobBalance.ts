import { BalancePlanner, runsPastSlot, slotLeft, type BalancePlan } from './balance';
import { int, reading, real, type GrowingResults, type Slice } from '../columns';
import type { FindingLog } from '../proof/findings';
import type { StageTally } from '../proof/firstpass';
import { chooseGains, fitRack, type Gains } from './gain';
import { code } from '../layout';
import type { PreparedSpec } from '../prepare';
import type { RunDeliveries } from './runDeliveries';
import type { BarrelRows, Readings } from '../types';
import { NOT_MEASURED } from '../proof/verdict';

const NO = code('yes_no', 'no');
const YES = code('yes_no', 'yes');
const AFTER_LAST = code('finding', 'barrel turned after the last draw');

/**
 * Balance at the base test point: the least-rework plan after each run, beside the elements that were turned. A barrel row of run
 * r is the rotation made after measurement r. All arrays are by element - 1 and used again.
 */
export class BalanceStage {
  private readonly barrels: BarrelRows;
  private readonly planned: Float64Array;
  private readonly after: Float64Array;
  private readonly deliveries: Float64Array;
  private readonly made: Float64Array;
  /** What the job has turned each element so far. */
  private readonly used: Float64Array;
  private readonly speeds: Float64Array;
  private readonly racks: Float64Array;
  private readonly means: Float64Array;
  private readonly planner: BalancePlanner;
  private lastTurned = -1;
  private lastDrawn = -1;

  constructor(
    readings: Readings,
    elements: number,
    points: number,
    private readonly findings: FindingLog,
    private readonly out: GrowingResults,
  ) {
    this.barrels = readings.barrels;
    this.planned = new Float64Array(elements);
    this.after = new Float64Array(elements);
    this.deliveries = new Float64Array(elements);
    this.made = new Float64Array(elements);
    this.used = new Float64Array(elements);
    this.speeds = new Float64Array(points);
    this.racks = new Float64Array(points);
    this.means = new Float64Array(points);
    this.planner = new BalancePlanner(this.planned, this.after);
  }

  begin(): void {
    this.used.fill(0);
    this.lastTurned = -1;
    this.lastDrawn = -1;
  }

  /** Takes in the barrels turned after runs below `run`, in which nothing was drawn. */
  turnedBefore(job: number, run: number, prepared: PreparedSpec, slice: Slice, tally: StageTally): void {
    while (slice.start < slice.end && int(this.barrels.run, slice.start) < run) {
      const turnedIn = int(this.barrels.run, slice.start);
      this.readBarrels(turnedIn, prepared, slice, NOT_MEASURED, tally);
      this.planned.fill(NaN);
      this.after.fill(NaN);
      this.writeRotations(job, turnedIn, prepared);
    }
  }

  /** Plans from what was drawn in a run, whose base verdict is told, and takes in what was turned after it. */
  afterRun(
    job: number,
    run: number,
    prepared: PreparedSpec,
    drawn: RunDeliveries,
    verdict: number,
    slice: Slice,
    tally: StageTally,
  ): void {
    const turned = this.readBarrels(run, prepared, slice, verdict, tally);
    const { basePlace, points, spec } = prepared;
    const base = points[basePlace]?.point;
    let any = false;
    for (let k = 0; k < spec.elements && base !== undefined; k++) {
      const delivery = drawn.at(basePlace, k);
      this.deliveries[k] = delivery;
      any ||= !Number.isNaN(delivery);
    }
    this.planned.fill(NaN);
    this.after.fill(NaN);
    if (any && base !== undefined) {
      this.lastDrawn = run;
      const gains = this.gainsOf(prepared, drawn);
      const plan = this.planner.plan(this.deliveries, spec.elements, base, gains);
      this.writePlan(job, run, base.point, plan, gains, turned);
    }
    this.writeRotations(job, run, prepared);
  }

  finish(job: number, prepared: PreparedSpec, slice: Slice, tally: StageTally): void {
    this.turnedBefore(job, Infinity, prepared, slice, tally);
    if (this.lastDrawn >= 0 && this.lastTurned >= this.lastDrawn) {
      const base = prepared.points[prepared.basePlace]?.point.point ?? -1;
      this.findings.note(AFTER_LAST, this.lastTurned, base, 0, NaN, NaN);
    }
  }

  /** Reads the rotations made after `run`; gives how many elements were turned. */
  private readBarrels(run: number, prepared: PreparedSpec, slice: Slice, verdict: number, tally: StageTally): number {
    const { basePlace, spec } = prepared;
    this.made.fill(NaN);
    let turned = 0;
    for (; slice.start < slice.end && int(this.barrels.run, slice.start) === run; slice.start++) {
      const element = int(this.barrels.element, slice.start);
      const rotation = reading(this.barrels.rotation_deg, slice.start);
      if (element < 1 || element > spec.elements || !(Math.abs(rotation) > 0)) continue;
      this.made[element - 1] = rotation;
      this.lastTurned = run;
      turned++;
      if (basePlace >= 0) tally.addChange(1 + basePlace, run, verdict);
    }
    return turned;
  }

  /** Gain by the job's own draws where they tell it, else by geometry. */
  private gainsOf({ points, spec, gains }: PreparedSpec, drawn: RunDeliveries): Gains {
    let count = 0;
    points.forEach(({ point }, place) => {
      const mean = real(drawn.means, place);
      if (Number.isNaN(mean)) return;
      const rack = real(drawn.racks, place);
      this.speeds[count] = point.speed_rpm;
      this.racks[count] = Number.isNaN(rack) ? point.rack_mm : rack;
      this.means[count++] = mean;
    });
    const own = fitRack(this.speeds, this.racks, this.means, count);
    return own.n === 0 ? gains : chooseGains(own.slope, spec.plunger_mm, spec.helix_deg, spec.sleeve_radius_mm);
  }

  private writePlan(job: number, run: number, point: number, plan: BalancePlan, gains: Gains, turned: number): void {
    const row = this.out.balance_plans.newRow();
    const columns = this.out.balance_plans.columns;
    let degrees = 0;
    for (const rotation of this.made) if (!Number.isNaN(rotation)) degrees += Math.abs(rotation);
    columns.job_no[row] = job;
    columns.run[row] = run;
    columns.point[row] = point;
    columns.status[row] = code('balance', plan.status);
    columns.turned[row] = plan.turned;
    columns.turned_with_rack[row] = plan.turnedWithRack;
    columns.target_mm3[row] = plan.target;
    columns.rack_move_mm[row] = plan.rackMove_mm;
    columns.mean_after_mm3[row] = plan.meanAfter;
    columns.spread_after[row] = plan.spreadAfter;
    columns.per_degree_mm3[row] = gains.perDegree;
    columns.per_degree_basis[row] = code('gain_basis', gains.perDegreeBasis);
    columns.per_rack_mm3[row] = gains.perRackMm;
    columns.per_rack_basis[row] = code('gain_basis', gains.perRackBasis);
    columns.gain_ratio[row] = gains.ratio;
    columns.done_turned[row] = turned;
    columns.done_deg[row] = degrees;
  }

  /** A row for every element that is to be turned or was; what was turned then counts as used. */
  private writeRotations(job: number, run: number, { spec }: PreparedSpec): void {
    const slot = spec.balance_by === 'sleeve' ? NaN : spec.slot_deg;
    for (let k = 0; k < spec.elements; k++) {
      const planned = real(this.planned, k);
      const made = real(this.made, k);
      const used = real(this.used, k);
      if ((planned === 0 || Number.isNaN(planned)) && Number.isNaN(made)) continue;
      const row = this.out.rotations.newRow();
      const columns = this.out.rotations.columns;
      columns.job_no[row] = job;
      columns.run[row] = run;
      columns.element[row] = k + 1;
      columns.planned_deg[row] = planned;
      columns.planned_mm3[row] = real(this.after, k);
      columns.made_deg[row] = made;
      columns.used_deg[row] = used;
      columns.slot_left_deg[row] = slotLeft(slot, used, Number.isNaN(planned) ? made : planned);
      columns.past_slot[row] = runsPastSlot(slot, used, planned) ? YES : NO;
      if (!Number.isNaN(made)) this.used[k] = used + made;
    }
  }
}
