import { int, reading, real, type GrowingResults, type Slice } from './columns';
import { isAsked, isOutside, perStroke, type DrawWindow } from './delivery';
import type { StageTally } from './firstpass';
import { code } from './layout';
import type { PreparedPoint, PreparedSpec } from './prepare';
import { retention } from './retention';
import { mean, spread } from './spread';
import type { BarrelRows, DrawRows, Readings } from './types';
import { combine, judge, judgeAll, judgeWhole, NOT_MEASURED, OUT, within } from './verdict';

const NO = code('yes_no', 'no');
const YES = code('yes_no', 'yes');
const NONE_ASKED = code('spread_basis', 'none asked');
const RACK = code('exclusion', 'rack outside its window');
const SPEED = code('exclusion', 'speed outside its window');
const FLUID = code('exclusion', 'fluid temperature outside its window');
const FEED = code('exclusion', 'feed pressure outside its window');

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
 * Deliveries, job by job, run by run and test point by test point, with what was excluded, low-speed retention and the barrels
 * turned afterwards. A test point that the specification does not have gets its figures, but nothing to judge them by. All
 * arrays are by element - 1, long enough for the largest specification, and used again.
 */
export class DrawStage {
  /** Draws of the job last worked out that do not count. */
  excludedDraws = 0;

  private readonly draws: DrawRows;
  private readonly barrels: BarrelRows;
  private readonly sum: Float64Array;
  private readonly lowest: Float64Array;
  private readonly highest: Float64Array;
  private readonly counted: Int32Array;
  private readonly excluded: Int32Array;
  /** Deliveries of the elements measured, closed up. */
  private readonly measured: Float64Array;
  /** Delivery of element k at test point p of this run, at p * elements + k; NaN where no draw counts. */
  private readonly ofRun: Float64Array;
  private unchecked = 0;

  constructor(
    readings: Readings,
    elements: number,
    points: number,
    private readonly out: GrowingResults,
  ) {
    this.draws = readings.draws;
    this.barrels = readings.barrels;
    this.sum = new Float64Array(elements);
    this.lowest = new Float64Array(elements);
    this.highest = new Float64Array(elements);
    this.counted = new Int32Array(elements);
    this.excluded = new Int32Array(elements);
    this.measured = new Float64Array(elements);
    this.ofRun = new Float64Array(elements * points);
  }

  calibrate(job: number, prepared: PreparedSpec, drawSlice: Slice, barrelSlice: Slice, tally: StageTally): void {
    const rows = this.draws;
    this.excludedDraws = 0;
    while (drawSlice.start < drawSlice.end) {
      const run = int(rows.run, drawSlice.start);
      let baseVerdict = NOT_MEASURED;
      this.ofRun.fill(NaN);
      while (drawSlice.start < drawSlice.end && int(rows.run, drawSlice.start) === run) {
        const place = prepared.places.get(int(rows.point, drawSlice.start)) ?? -1;
        const verdict = this.calibratePoint(job, run, prepared, place, drawSlice, tally);
        if (place === prepared.basePlace) baseVerdict = verdict;
      }
      this.writeRetention(job, run, prepared);
      this.tallyBarrels(barrelSlice, run - 1, NOT_MEASURED, prepared, tally);
      this.tallyBarrels(barrelSlice, run, baseVerdict, prepared, tally);
    }
    this.tallyBarrels(barrelSlice, Infinity, NOT_MEASURED, prepared, tally);
  }

  private calibratePoint(
    job: number,
    run: number,
    prepared: PreparedSpec,
    place: number,
    drawSlice: Slice,
    tally: StageTally,
  ): number {
    const number = int(this.draws.point, drawSlice.start);
    const elements = prepared.spec.elements;
    const asked = prepared.points[place];
    this.resetPoint(elements);
    this.readDraws(drawSlice, run, number, elements, asked);
    const measured = this.meanOfElements(elements, place);
    const average = mean(this.measured, measured);
    this.writeDeliveries(job, run, number, elements, asked, average);
    const verdict = this.writePoint(job, run, number, elements, asked, measured, average);
    if (asked !== undefined && measured > 0) tally.addRun(1 + place, run, verdict);
    return verdict;
  }

  private resetPoint(elements: number): void {
    for (let k = 0; k < elements; k++) {
      this.sum[k] = 0;
      this.lowest[k] = Infinity;
      this.highest[k] = -Infinity;
      this.counted[k] = 0;
      this.excluded[k] = 0;
    }
    this.unchecked = 0;
  }

  /** Gathers the draws of one run at one test point. A draw that gives no figure is passed over. */
  private readDraws(
    slice: Slice,
    run: number,
    point: number,
    elements: number,
    asked: PreparedPoint | undefined,
  ): void {
    const rows = this.draws;
    for (; slice.start < slice.end; slice.start++) {
      const row = slice.start;
      if (int(rows.point, row) !== point || int(rows.run, row) !== run) return;
      const k = int(rows.element, row) - 1;
      const q = perStroke(reading(rows.volume_cm3, row), reading(rows.strokes, row));
      if (k < 0 || k >= elements || Number.isNaN(q)) continue;
      if (asked !== undefined && !this.counts(row, asked)) {
        this.excluded[k] = int(this.excluded, k) + 1;
        this.excludedDraws++;
        continue;
      }
      this.counted[k] = int(this.counted, k) + 1;
      this.sum[k] = real(this.sum, k) + q;
      this.lowest[k] = Math.min(real(this.lowest, k), q);
      this.highest[k] = Math.max(real(this.highest, k), q);
    }
  }

  /** Checks one draw against every window, so that all reasons against it are written, not the first alone. */
  private counts(row: number, { windows }: PreparedPoint): boolean {
    const rack = this.passes(row, RACK, reading(this.draws.rack_mm, row), windows.rack);
    const speed = this.passes(row, SPEED, reading(this.draws.speed_rpm, row), windows.speed);
    const fluid = this.passes(row, FLUID, reading(this.draws.fluid_c, row), windows.fluid);
    const feed = this.passes(row, FEED, reading(this.draws.feed_kpa, row), windows.feed);
    return rack && speed && fluid && feed;
  }

  private passes(row: number, reason: number, value: number, window: DrawWindow): boolean {
    if (value >= window.low && value <= window.high) return true;
    if (!isAsked(window)) return true;
    if (Number.isNaN(value)) this.unchecked++;
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
  }

  /** Averages the repeats of each element into `measured` and `ofRun`; gives how many elements have a draw that counts. */
  private meanOfElements(elements: number, place: number): number {
    let measured = 0;
    for (let k = 0; k < elements; k++) {
      const draws = int(this.counted, k);
      if (draws === 0) continue;
      const q = real(this.sum, k) / draws;
      this.sum[k] = q;
      this.measured[measured++] = q;
      if (place >= 0) this.ofRun[place * elements + k] = q;
    }
    return measured;
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
      const draws = int(this.counted, k);
      const excluded = int(this.excluded, k);
      if (draws + excluded === 0) continue;
      const q = draws === 0 ? NaN : real(this.sum, k);
      const row = this.out.deliveries.newRow();
      const columns = this.out.deliveries.columns;
      columns.job_no[row] = job;
      columns.run[row] = run;
      columns.point[row] = point;
      columns.element[row] = k + 1;
      columns.mm3_per_stroke[row] = q;
      columns.draws[row] = draws;
      columns.excluded[row] = excluded;
      columns.repeat_range_mm3[row] = draws < 2 ? NaN : real(this.highest, k) - real(this.lowest, k);
      columns.deviation_mm3[row] = q - average;
      columns.verdict[row] = asked === undefined ? NOT_MEASURED : judge(q, asked.point.low_mm3, asked.point.high_mm3);
    }
  }

  /** Writes one test point's row for one run; gives its verdict. */
  private writePoint(
    job: number,
    run: number,
    number: number,
    elements: number,
    asked: PreparedPoint | undefined,
    measured: number,
    average: number,
  ): number {
    const row = this.out.points.newRow();
    const columns = this.out.points.columns;
    columns.job_no[row] = job;
    columns.run[row] = run;
    columns.point[row] = number;
    columns.elements_measured[row] = measured;
    columns.mean_mm3[row] = average;
    columns.unchecked[row] = this.unchecked;
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
    const amount = tellsSpread ? spread(this.measured, measured, spread_basis) : NaN;
    const meanVerdict = judgeWhole(judge(average, low_mm3, high_mm3), measured, elements);
    const spreadVerdict = judgeSpread(amount, asked, measured, elements);
    const evenness = asked.spreadAsked ? spreadVerdict : this.judgeEach(low_mm3, high_mm3, measured, elements);
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
    return verdict;
  }

  /** Where no spread is asked, every element must lie in the band itself. */
  private judgeEach(low: number, high: number, measured: number, elements: number): number {
    let failed = 0;
    for (let k = 0; k < measured; k++) if (!within(real(this.measured, k), low, high)) failed++;
    return judgeAll(measured, elements, failed);
  }

  private writeRetention(job: number, run: number, { pairs, points, spec }: PreparedSpec): void {
    for (const pair of pairs) {
      for (let k = 0; k < spec.elements; k++) {
        const low = real(this.ofRun, pair.low * spec.elements + k);
        const rated = real(this.ofRun, pair.rated * spec.elements + k);
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

  /** Counts the barrel rows up to and with run `upTo` as changes of the base test point, whose verdict then was `verdict`. */
  private tallyBarrels(
    slice: Slice,
    upTo: number,
    verdict: number,
    { basePlace, spec }: PreparedSpec,
    tally: StageTally,
  ): void {
    for (; slice.start < slice.end && int(this.barrels.run, slice.start) <= upTo; slice.start++) {
      const element = int(this.barrels.element, slice.start);
      const turned = Math.abs(reading(this.barrels.rotation_deg, slice.start)) > 0;
      if (basePlace < 0 || element < 1 || element > spec.elements || !turned) continue;
      tally.addChange(1 + basePlace, int(this.barrels.run, slice.start), verdict);
    }
  }
}
