import { int, real } from '../columns';
import { coefficientOfVariation } from '../wear/leakage';
import { mean, spread } from './spread';
import type { SpreadBasis } from '../types';
import {
  combined,
  decide,
  meanUncertainty,
  pooledDeviation,
  repeatUncertainty,
  spreadUncertainty,
} from '../proof/uncertainty';
import { combine, IN, judgeAll, judgeWhole, OUT, within } from '../proof/verdict';

/**
 * The draws of one run at one test point, element by element: added one at a time, then closed, after which the figures of the
 * test point can be asked. Deliveries and their uncertainties are in mm3/stroke, the latter expanded (k = 2). `k` is the
 * element - 1. Used again for every test point, so that no object is made a reading.
 */
export class DrawTally {
  /** Draws that count, and that do not, by element - 1. */
  readonly counted: Int32Array;
  readonly excluded: Int32Array;
  /** Elements with a draw that counts; told by `close`. */
  measured = 0;
  /** Window readings that were asked for and are not there. */
  unchecked = 0;

  /** By element - 1: sums until `close`, then means. */
  private readonly delivery: Float64Array;
  private readonly atReference: Float64Array;
  /** By element - 1: sums of the gauges' uncertainties until `close`, then that of the delivery with its repeats. */
  private readonly uncertainty: Float64Array;
  /** Sum of squares about the element's first draw, for the scatter of its repeats. */
  private readonly squares: Float64Array;
  private readonly first: Float64Array;
  private readonly lowest: Float64Array;
  private readonly highest: Float64Array;
  /** Figures of the elements measured, closed up: delivery, at reference, and uncertainty by gauge and by repeats. */
  private readonly deliveries: Float64Array;
  private readonly deliveriesAtReference: Float64Array;
  private readonly typeB: Float64Array;
  private readonly typeA: Float64Array;
  private readonly weights: Float64Array;
  private rackSum = 0;
  private rackCount = 0;

  /** `elements`: the most that any specification has. */
  constructor(elements: number) {
    const reals = (): Float64Array => new Float64Array(elements);
    this.counted = new Int32Array(elements);
    this.excluded = new Int32Array(elements);
    this.delivery = reals();
    this.atReference = reals();
    this.uncertainty = reals();
    this.squares = reals();
    this.first = reals();
    this.lowest = reals();
    this.highest = reals();
    this.deliveries = reals();
    this.deliveriesAtReference = reals();
    this.typeB = reals();
    this.typeA = reals();
    this.weights = reals();
  }

  /** Begins a test point of a pump with so many elements. */
  reset(elements: number): void {
    for (let k = 0; k < elements; k++) {
      this.counted[k] = 0;
      this.excluded[k] = 0;
      this.delivery[k] = 0;
      this.atReference[k] = 0;
      this.uncertainty[k] = 0;
      this.squares[k] = 0;
      this.lowest[k] = Infinity;
      this.highest[k] = -Infinity;
    }
    this.measured = 0;
    this.unchecked = 0;
    this.rackSum = 0;
    this.rackCount = 0;
  }

  exclude(k: number): void {
    this.excluded[k] = int(this.excluded, k) + 1;
  }

  /**
   * A draw that counts.
   * @param q delivery as drawn
   * @param corrected the same at the reference temperature; NaN where that is not known
   * @param ofGauge uncertainty from the graduate; NaN where it states none
   */
  add(k: number, q: number, corrected: number, ofGauge: number): void {
    const before = int(this.counted, k);
    const off = before === 0 ? 0 : q - real(this.first, k);
    if (before === 0) this.first[k] = q;
    this.counted[k] = before + 1;
    this.delivery[k] = real(this.delivery, k) + q;
    this.squares[k] = real(this.squares, k) + off * off;
    this.lowest[k] = Math.min(real(this.lowest, k), q);
    this.highest[k] = Math.max(real(this.highest, k), q);
    this.atReference[k] = real(this.atReference, k) + corrected;
    this.uncertainty[k] = real(this.uncertainty, k) + ofGauge;
  }

  /** Rack of a draw that counts [mm]; NaN where it was not read. */
  addRack(rack: number): void {
    if (Number.isNaN(rack)) return;
    this.rackSum += rack;
    this.rackCount++;
  }

  /** Averages the repeats of each element, and closes the figures of those measured up. */
  close(elements: number): void {
    let squares = 0;
    let freedom = 0;
    for (let k = 0; k < elements; k++) {
      const draws = int(this.counted, k);
      if (draws === 0) continue;
      const q = real(this.delivery, k) / draws;
      const off = q - real(this.first, k);
      // About the first draw, so that no digits are lost on figures that hardly differ.
      squares += Math.max(0, real(this.squares, k) - draws * off * off);
      freedom += draws - 1;
      this.delivery[k] = q;
      this.atReference[k] = real(this.atReference, k) / draws;
      this.uncertainty[k] = real(this.uncertainty, k) / draws;
    }
    const deviation = pooledDeviation(squares, freedom);
    let measured = 0;
    for (let k = 0; k < elements; k++) {
      const draws = int(this.counted, k);
      if (draws === 0) continue;
      const typeB = real(this.uncertainty, k);
      const typeA = repeatUncertainty(deviation, draws);
      this.typeB[measured] = typeB;
      this.typeA[measured] = typeA;
      this.uncertainty[k] = combined(typeB, typeA);
      this.deliveriesAtReference[measured] = real(this.atReference, k);
      this.deliveries[measured++] = real(this.delivery, k);
    }
    this.measured = measured;
  }

  /** Delivery of an element, the mean of its draws; NaN where none counts, as in the next three. */
  deliveryOf(k: number): number {
    return int(this.counted, k) === 0 ? NaN : real(this.delivery, k);
  }

  atReferenceOf(k: number): number {
    return int(this.counted, k) === 0 ? NaN : real(this.atReference, k);
  }

  uncertaintyOf(k: number): number {
    return int(this.counted, k) === 0 ? NaN : real(this.uncertainty, k);
  }

  /** Largest less smallest draw of an element; NaN where fewer than two count. */
  repeatRangeOf(k: number): number {
    return int(this.counted, k) < 2 ? NaN : real(this.highest, k) - real(this.lowest, k);
  }

  /** Mean over the elements measured; NaN for none, as in the next three. */
  mean(): number {
    return mean(this.deliveries, this.measured);
  }

  meanAtReference(): number {
    return mean(this.deliveriesAtReference, this.measured);
  }

  meanUncertainty(): number {
    return meanUncertainty(this.typeB, this.typeA, this.measured);
  }

  /** Mean rack of the draws [mm]. */
  meanRack(): number {
    return this.rackSum / this.rackCount;
  }

  /** Standard deviation over the elements [% of their mean]; NaN for fewer than two. */
  scatter(): number {
    return coefficientOfVariation(this.deliveries, this.measured);
  }

  /** Spread over the elements measured, in the unit of its basis. */
  spread(basis: SpreadBasis): number {
    return spread(this.deliveries, this.measured, basis);
  }

  spreadUncertainty(basis: SpreadBasis): number {
    return spreadUncertainty(this.deliveries, this.typeB, this.typeA, this.measured, basis, this.weights);
  }

  /** Verdict where no spread is asked: every one of `elements` must lie in the band itself. */
  judgeEach(low: number, high: number, elements: number): number {
    let failed = 0;
    for (let k = 0; k < this.measured; k++) if (!within(real(this.deliveries, k), low, high)) failed++;
    return judgeAll(this.measured, elements, failed);
  }

  /** The same with each element's uncertainty. */
  decideEach(low: number, high: number, elements: number): number {
    let decision = IN;
    for (let k = 0; k < this.measured; k++) {
      const expanded = combined(real(this.typeB, k), real(this.typeA, k));
      decision = combine(decision, decide(real(this.deliveries, k), low, high, expanded));
    }
    return decision === OUT ? OUT : judgeWhole(decision, this.measured, elements);
  }
}
