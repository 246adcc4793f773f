import { int, reading, real, type GrowingResults, type Slice } from '../columns';
import { isAsked, isOutside, perStroke, type DrawWindow } from './delivery';
import { DrawTally } from './drawTally';
import { agrees, type FindingLog } from '../proof/findings';
import type { StageTally } from '../proof/firstpass';
import type { GaugeBook } from '../proof/gauges';
import { BalanceStage } from './jobBalance';
import { noteGauge } from '../timing/jobClosures';
import { WearStage } from '../wear/jobWear';
import { code } from '../layout';
import { volumeAtReference } from './petroleum';
import type { PreparedPoint, PreparedSpec } from '../prepare';
import { RunDeliveries } from './runDeliveries';
import type { DrawRows, Readings } from '../types';
import { ASSUMED_STROKES_UNCERTAINTY, decide, deliveryUncertainty } from '../proof/uncertainty';
import { combine, judge, judgeWhole, NOT_MEASURED, OUT } from '../proof/verdict';

const NO = code('yes_no', 'no');
const YES = code('yes_no', 'yes');
const NONE_ASKED = code('spread_basis', 'none asked');
const RACK = code('exclusion', 'rack outside its window');
const SPEED = code('exclusion', 'speed outside its window');
const FLUID = code('exclusion', 'fluid temperature outside its window');
const FEED = code('exclusion', 'feed pressure outside its window');
const UNRECORDED = code('finding', 'window not recorded');
const MISRECKONED = code('finding', 'delivery misreckoned');
const ELEMENT_MISSING = code('finding', 'element missing');
const OUT_OF_ORDER = code('finding', 'test points out of order');
const RUNS_OUT_OF_ORDER = code('finding', 'runs out of order');
/** The finding of each exclusion. */
const findingOf: readonly number[] = [
  code('finding', 'draw before the rack was set'),
  code('finding', 'speed outside its window'),
  code('finding', 'fluid outside its window'),
  code('finding', 'feed outside its window'),
];
const MINUTES_A_DAY = 24 * 60;

/** Verdict on a spread. A range in mm3 only grows with further elements, so too wide a one settles an incomplete set as well. */
function judgeSpread(
  amount: number,
  { point, spreadAsked }: PreparedPoint,
  measured: number,
  elements: number,
): number {
  if (!spreadAsked) return NOT_MEASURED;
  const verdict = judge(amount, NaN, point.spread);
  return verdict === OUT && point.spread_basis === 'range_mm3' ? OUT : judgeWhole(verdict, measured, elements);
}

/**
 * Deliveries, job by job, run by run and test point by test point, with what was excluded; what they tell of balance and wear
 * is handed on run by run. A test point that the specification does not have gets its figures, but nothing to judge them by. All
 * arrays are by element - 1, long enough for the largest specification, and used again.
 */
export class DrawStage {
  /** Draws of the job last worked out that do not count. */
  excludedDraws = 0;

  private readonly draws: DrawRows;
  private readonly tally: DrawTally;
  private readonly drawn: RunDeliveries;
  private readonly wear: WearStage;
  private readonly balance: BalanceStage;
  /** By test point: the decision of the last run measured, and how many elements that run had. */
  private readonly decisions: Int32Array;
  private readonly lastMeasured: Int32Array;
  /** By test point: when it was first drawn in the latest of the runs before [minutes from 1970-01-01]; NaN where not known. */
  private readonly drawnBefore: Float64Array;
  private day = 0;

  constructor(
    readings: Readings,
    elements: number,
    points: number,
    private readonly gauges: GaugeBook,
    private readonly findings: FindingLog,
    private readonly out: GrowingResults,
  ) {
    this.draws = readings.draws;
    this.tally = new DrawTally(elements);
    this.drawn = new RunDeliveries(elements, points);
    this.wear = new WearStage(points, out);
    this.balance = new BalanceStage(readings, elements, points, findings, out);
    this.decisions = new Int32Array(points);
    this.lastMeasured = new Int32Array(points);
    this.drawnBefore = new Float64Array(points);
  }

  /** Decision on a test point in the last run measured of the job last worked out. */
  leftDecision(place: number): number {
    return int(this.decisions, place);
  }

  /** `day`: the day the pump came in [days from 1970-01-01], by which gauges of draws without a time are looked up. */
  calibrate(
    job: number,
    day: number,
    prepared: PreparedSpec,
    drawSlice: Slice,
    barrelSlice: Slice,
    tally: StageTally,
  ): void {
    const rows = this.draws;
    this.excludedDraws = 0;
    this.day = day;
    this.decisions.fill(NOT_MEASURED);
    this.lastMeasured.fill(-1);
    this.drawnBefore.fill(NaN);
    this.balance.begin();
    while (drawSlice.start < drawSlice.end) {
      const run = int(rows.run, drawSlice.start);
      let baseVerdict = NOT_MEASURED;
      this.drawn.reset();
      this.balance.turnedBefore(job, run, prepared, barrelSlice, tally);
      while (drawSlice.start < drawSlice.end && int(rows.run, drawSlice.start) === run) {
        const place = prepared.places.get(int(rows.point, drawSlice.start)) ?? -1;
        const verdict = this.calibratePoint(job, run, prepared, place, drawSlice, tally);
        if (place === prepared.basePlace) baseVerdict = verdict;
      }
      this.wear.write(job, run, prepared, this.drawn);
      this.noteOrder(run, prepared);
      this.balance.afterRun(job, run, prepared, this.drawn, baseVerdict, barrelSlice, tally);
    }
    this.balance.finish(job, prepared, barrelSlice, tally);
    prepared.points.forEach(({ point }, place) => {
      const measured = int(this.lastMeasured, place);
      if (measured < 0 || measured === prepared.spec.elements) return;
      const run = int(tally.lastRun, 1 + place);
      this.findings.note(ELEMENT_MISSING, run, point.point, 0, measured, prepared.spec.elements);
    });
  }

  /**
   * Notes each test point that was first drawn before one that comes earlier in the order of work, and each that was drawn before an
   * earlier run of its own.
   */
  private noteOrder(run: number, { points }: PreparedSpec): void {
    let latest = NaN;
    points.forEach(({ point }, place) => {
      const taken = real(this.drawn.taken, place);
      if (Number.isNaN(taken)) return;
      const before = real(this.drawnBefore, place);
      if (taken < before) this.findings.note(RUNS_OUT_OF_ORDER, run, point.point, 0, taken, before);
      else this.drawnBefore[place] = taken;
      if (taken < latest) this.findings.note(OUT_OF_ORDER, run, point.point, 0, taken, latest);
      else latest = taken;
    });
  }

  private calibratePoint(
    job: number,
    run: number,
    prepared: PreparedSpec,
    place: number,
    drawSlice: Slice,
    stages: StageTally,
  ): number {
    const number = int(this.draws.point, drawSlice.start);
    const elements = prepared.spec.elements;
    const asked = prepared.points[place];
    this.tally.reset(elements);
    this.readDraws(drawSlice, run, number, place, prepared, asked);
    this.tally.close(elements);
    const average = this.tally.mean();
    if (place >= 0) this.handOn(place, elements, average);
    this.writeDeliveries(job, run, number, elements, asked, average);
    const verdict = this.writePoint(job, run, number, prepared, place, average);
    if (asked !== undefined && this.tally.measured > 0) {
      stages.addRun(1 + place, run, verdict);
      this.lastMeasured[place] = this.tally.measured;
    }
    return verdict;
  }

  /** Keeps the figures of a test point for what is worked out from the run as a whole. */
  private handOn(place: number, elements: number, average: number): void {
    for (let k = 0; k < elements; k++) this.drawn.set(place, k, this.tally.deliveryOf(k));
    if (this.tally.measured < elements) return;
    this.drawn.means[place] = average;
    this.drawn.racks[place] = this.tally.meanRack();
  }

  /** Gathers the draws of one run at one test point. A draw that gives no figure is passed over. */
  private readDraws(
    slice: Slice,
    run: number,
    point: number,
    place: number,
    prepared: PreparedSpec,
    asked: PreparedPoint | undefined,
  ): void {
    const rows = this.draws;
    const { elements } = prepared.spec;
    for (; slice.start < slice.end; slice.start++) {
      const row = slice.start;
      if (int(rows.point, row) !== point || int(rows.run, row) !== run) return;
      const k = int(rows.element, row) - 1;
      const q = perStroke(reading(rows.volume_cm3, row), reading(rows.strokes, row));
      if (k < 0 || k >= elements || Number.isNaN(q)) continue;
      this.noteRecorded(row, run, point, place, k, q);
      if (asked !== undefined && !this.counts(row, asked)) {
        this.tally.exclude(k);
        this.excludedDraws++;
        continue;
      }
      this.addDraw(row, k, q, prepared);
    }
  }

  private noteRecorded(row: number, run: number, point: number, place: number, k: number, q: number): void {
    const rows = this.draws;
    const taken = reading(rows.taken_min, row);
    if (place >= 0) this.drawn.noteTaken(place, taken);
    const stated = reading(rows.stated_mm3_per_stroke, row);
    if (!agrees(stated, q)) this.findings.note(MISRECKONED, run, point, k + 1, stated, q);
    const gauge = int(rows.gauge, row);
    if (gauge >= 0) noteGauge(this.gauges, this.findings, gauge, this.dayOf(taken), run, point);
  }

  private dayOf(taken: number): number {
    return Number.isNaN(taken) ? this.day : Math.floor(taken / MINUTES_A_DAY);
  }

  private addDraw(row: number, k: number, q: number, { spec, referenceC }: PreparedSpec): void {
    const rows = this.draws;
    const corrected = volumeAtReference(q, spec.fluid_density_15c, reading(rows.fluid_c, row), referenceC);
    const gauge = int(rows.gauge, row);
    const day = this.dayOf(reading(rows.taken_min, row));
    const ofVolume = gauge < 0 ? NaN : this.gauges.uncertainty(gauge, day, 'cm3');
    const volume = reading(rows.volume_cm3, row);
    const gaugeU = deliveryUncertainty(volume, reading(rows.strokes, row), ofVolume, ASSUMED_STROKES_UNCERTAINTY);
    this.tally.add(k, q, corrected, gaugeU);
    this.tally.addRack(reading(rows.rack_mm, row));
  }

  /** Checks one draw against every window, so that all reasons against it are written, not the first alone. */
  private counts(row: number, { windows }: PreparedPoint): boolean {
    const unchecked = this.tally.unchecked;
    const rack = this.passes(row, RACK, reading(this.draws.rack_mm, row), windows.rack);
    const speed = this.passes(row, SPEED, reading(this.draws.speed_rpm, row), windows.speed);
    const fluid = this.passes(row, FLUID, reading(this.draws.fluid_c, row), windows.fluid);
    const feed = this.passes(row, FEED, reading(this.draws.feed_kpa, row), windows.feed);
    if (this.tally.unchecked > unchecked) {
      this.findings.note(UNRECORDED, int(this.draws.run, row), int(this.draws.point, row), 0, NaN, NaN);
    }
    return rack && speed && fluid && feed;
  }

  private passes(row: number, reason: number, value: number, window: DrawWindow): boolean {
    if (value >= window.low && value <= window.high) return true;
    if (!isAsked(window)) return true;
    if (Number.isNaN(value)) this.tally.unchecked++;
    if (!isOutside(value, window)) return true;
    this.writeExcluded(row, reason, value, window);
    return false;
  }

  private writeExcluded(row: number, reason: number, value: number, { low, high }: DrawWindow): void {
    const at = this.out.excluded.newRow();
    const columns = this.out.excluded.columns;
    columns.job_no[at] = int(this.draws.job_no, row);
    columns.run[at] = int(this.draws.run, row);
    columns.point[at] = int(this.draws.point, row);
    columns.element[at] = int(this.draws.element, row);
    columns.repeat[at] = int(this.draws.repeat, row);
    columns.reason[at] = reason;
    columns.reading[at] = value;
    columns.low[at] = low;
    columns.high[at] = high;
    const limit = value < low ? low : high;
    this.findings.note(findingOf[reason] ?? 0, int(this.draws.run, row), int(this.draws.point, row), 0, value, limit);
  }

  private writeDeliveries(
    job: number,
    run: number,
    point: number,
    elements: number,
    asked: PreparedPoint | undefined,
    average: number,
  ): void {
    for (let k = 0; k < elements; k++) {
      const draws = int(this.tally.counted, k);
      const excluded = int(this.tally.excluded, k);
      if (draws + excluded === 0) continue;
      const q = this.tally.deliveryOf(k);
      const row = this.out.deliveries.newRow();
      const columns = this.out.deliveries.columns;
      columns.job_no[row] = job;
      columns.run[row] = run;
      columns.point[row] = point;
      columns.element[row] = k + 1;
      columns.mm3_per_stroke[row] = q;
      columns.draws[row] = draws;
      columns.excluded[row] = excluded;
      columns.repeat_range_mm3[row] = this.tally.repeatRangeOf(k);
      columns.deviation_mm3[row] = q - average;
      columns.verdict[row] = asked === undefined ? NOT_MEASURED : judge(q, asked.point.low_mm3, asked.point.high_mm3);
      columns.at_reference_mm3[row] = this.tally.atReferenceOf(k);
      columns.uncertainty_mm3[row] = this.tally.uncertaintyOf(k);
    }
  }

  /** Writes one test point's row for one run; gives its verdict. */
  private writePoint(
    job: number,
    run: number,
    number: number,
    prepared: PreparedSpec,
    place: number,
    average: number,
  ): number {
    const { tally } = this;
    const { measured } = tally;
    const { elements } = prepared.spec;
    const asked = prepared.points[place];
    const row = this.out.points.newRow();
    const columns = this.out.points.columns;
    columns.job_no[row] = job;
    columns.run[row] = run;
    columns.point[row] = number;
    columns.elements_measured[row] = measured;
    columns.mean_mm3[row] = average;
    columns.unchecked[row] = tally.unchecked;
    columns.mean_at_reference_mm3[row] = tally.meanAtReference();
    columns.reference_assumed[row] = prepared.referenceAssumed ? YES : NO;
    columns.scatter_percent[row] = tally.scatter();
    const meanU = tally.meanUncertainty();
    columns.mean_uncertainty_mm3[row] = meanU;
    columns.spread_uncertainty[row] = NaN;
    columns.decision[row] = NOT_MEASURED;
    if (asked === undefined) {
      columns.low_mm3[row] = NaN;
      columns.high_mm3[row] = NaN;
      columns.spread[row] = NaN;
      columns.spread_limit[row] = NaN;
      columns.mean_verdict[row] = NOT_MEASURED;
      columns.spread_basis[row] = NONE_ASKED;
      columns.spread_verdict[row] = NOT_MEASURED;
      columns.speed_tolerance_assumed[row] = NO;
      columns.verdict[row] = NOT_MEASURED;
      return NOT_MEASURED;
    }
    const { low_mm3, high_mm3, spread: limit, spread_basis } = asked.point;
    const tellsSpread = asked.spreadAsked && (measured > 1 || elements === 1);
    const amount = tellsSpread ? tally.spread(spread_basis) : NaN;
    const meanVerdict = judgeWhole(judge(average, low_mm3, high_mm3), measured, elements);
    const spreadVerdict = judgeSpread(amount, asked, measured, elements);
    const evenness = asked.spreadAsked ? spreadVerdict : tally.judgeEach(low_mm3, high_mm3, elements);
    const verdict = combine(meanVerdict, evenness);
    columns.low_mm3[row] = low_mm3;
    columns.high_mm3[row] = high_mm3;
    columns.mean_verdict[row] = meanVerdict;
    columns.spread[row] = amount;
    columns.spread_limit[row] = limit;
    columns.spread_basis[row] = asked.basis;
    columns.spread_verdict[row] = spreadVerdict;
    columns.speed_tolerance_assumed[row] = asked.windows.speedAssumed ? YES : NO;
    columns.verdict[row] = verdict;
    const spreadU = tellsSpread ? tally.spreadUncertainty(spread_basis) : NaN;
    const meanDecision = judgeWhole(decide(average, low_mm3, high_mm3, meanU), measured, elements);
    const evenDecision = asked.spreadAsked
      ? spreadVerdict === OUT
        ? decide(amount, NaN, limit, spreadU)
        : judgeWhole(decide(amount, NaN, limit, spreadU), measured, elements)
      : tally.decideEach(low_mm3, high_mm3, elements);
    const decision = combine(meanDecision, evenDecision);
    columns.spread_uncertainty[row] = spreadU;
    columns.decision[row] = decision;
    if (measured > 0) this.decisions[place] = decision;
    return verdict;
  }
}
