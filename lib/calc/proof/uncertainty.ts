/**
 * What a figure's gauge leaves open. Uncertainties are expanded ones with k = 2, in the unit of their figure. One that is not
 * stated is NaN, and so is that of every figure read with the gauge; `decide` then compares plainly. Sums of squares take
 * reading errors for small and unrelated. Source of the propagation: JCGM 100:2008, 5.1 and 5.2.
 */
import { MM3_PER_CM3 } from '../../units/units';
import { real } from '../columns';
import { mean } from '../delivery/spread';
import type { SpreadBasis } from '../types';
import { CANNOT_TELL, IN, judge, NOT_MEASURED, OUT, within } from './verdict';

/** Coverage factor k of every expanded uncertainty here: about 95 % where errors are normal. */
export const COVERAGE = 2;

/** Whether an expanded uncertainty can be used: finite, and not below 0. */
export function isStated(expanded: number): boolean {
  return expanded >= 0 && expanded < Infinity;
}

/** Uncertainty of a figure that is one reading of its gauge, such as the reference lift [unit of the gauge]; else NaN. */
export function readingUncertainty(gauge: number): number {
  return isStated(gauge) ? gauge : NaN;
}

/**
 * Uncertainty of a phase error [deg of camshaft]: e is the difference of two readings, so its square is the sum of theirs; read
 * with one gauge, sqrt(2) U. The two reading errors are taken as uncorrelated; what they share, such as a degree wheel set a
 * little off, falls out of e. The nominal angle is exact.
 * @param element U of the element's reading [deg]
 * @param reference U of the reference element's reading [deg]
 */
export function phaseUncertainty(element: number, reference: number): number {
  return isStated(element) && isStated(reference) ? Math.sqrt(element ** 2 + reference ** 2) : NaN;
}

/**
 * Uncertainty of a change of shims or screw [mm] worked out from a phase error: |v| U_e. The lift rate v [mm/deg] is taken as
 * exact.
 */
export function changeUncertainty(phase: number, v: number): number {
  return isStated(phase) ? Math.abs(v) * phase : NaN;
}

/**
 * Expanded uncertainty of the count of strokes [strokes]. Counters count them one by one; that none is lost is assumed, as a log has no
 * place for it: a draw names one gauge, its graduate. Common practice, no source.
 */
export const ASSUMED_STROKES_UNCERTAINTY = 0;

/**
 * Uncertainty of a delivery q = 1000 V / N [mm3/stroke] from its gauges (type B): square root of
 * (1000 U_V / N)^2 + (1000 V U_N / N^2)^2. Repeats into one graduate do not lessen it.
 * @param volume V [cm3], from 0
 * @param strokes N, above 0
 * @param ofVolume U_V of the graduate [cm3]
 * @param ofStrokes U_N of the counter [strokes]; 0 where strokes are counted one by one
 * @returns NaN where a gauge states none, or there is no delivery
 */
export function deliveryUncertainty(volume: number, strokes: number, ofVolume: number, ofStrokes: number): number {
  if (!(volume >= 0 && strokes > 0 && isStated(ofVolume) && isStated(ofStrokes))) return NaN;
  const perStroke = MM3_PER_CM3 / strokes;
  return perStroke * Math.sqrt(ofVolume ** 2 + ((volume * ofStrokes) / strokes) ** 2);
}

/**
 * Standard deviation of one draw about its element's own mean [mm3/stroke], pooled over the elements of a test point: two or
 * three repeats of one element alone tell too little. Elements are taken to scatter alike. Source: JCGM 100:2008, 4.2.4
 * (pooled estimate of variance).
 * @param squares sum over the elements of the squared deviations of their repeats from their own mean [(mm3/stroke)^2]
 * @param freedom sum over the elements of repeats less 1; NaN is returned unless above 0
 */
export function pooledDeviation(squares: number, freedom: number): number {
  return freedom > 0 ? Math.sqrt(squares / freedom) : NaN;
}

/**
 * Expanded uncertainty of the mean of repeats from their own scatter (type A): 2 s / sqrt(m), JCGM 100:2008, 4.2.3. k stays 2
 * however few the repeats; below about ten degrees of freedom that covers less than 95 %.
 * @param deviation s, pooled [mm3/stroke]; NaN where nothing was drawn twice. The scatter is then not known, 0 is returned, and
 *   the uncertainty covers the gauge alone
 * @param repeats m, above 0; else NaN
 */
export function repeatUncertainty(deviation: number, repeats: number): number {
  if (!(repeats > 0)) return NaN;
  return Number.isNaN(deviation) ? 0 : (COVERAGE * deviation) / Math.sqrt(repeats);
}

/** Uncertainty of one element's delivery from its gauges' and its repeats' (type B and type A), which are unrelated. */
export function combined(typeB: number, typeA: number): number {
  return isStated(typeB) && isStated(typeA) ? Math.sqrt(typeB ** 2 + typeA ** 2) : NaN;
}

/** Sums that the uncertainty of a figure over all elements is made of: U^2 = max(own, shared^2) + repeats. */
function fromSums(own: number, shared: number, repeats: number): number {
  return Math.sqrt(Math.max(own, shared ** 2) + repeats);
}

/**
 * Uncertainty of a figure that moves by c_i per mm3/stroke of element i. Graduates of one set share part of their error, how
 * much is not known: the worse of fully shared and not at all counts, and nothing in between is worse than both. Scatter of
 * repeats is each element's own.
 * @param weights c_i; the first `count` count, as in the other arrays
 * @param typeB U of each delivery from its gauges [mm3/stroke]
 * @param typeA U of each delivery from its repeats [mm3/stroke]
 * @returns NaN where one of them is not stated, or there are none
 */
export function weightedUncertainty(
  weights: Float64Array,
  typeB: Float64Array,
  typeA: Float64Array,
  count: number,
): number {
  let own = 0;
  let shared = 0;
  let repeats = 0;
  for (let k = 0; k < count; k++) {
    if (!isStated(real(typeB, k)) || !isStated(real(typeA, k))) return NaN;
    const part = real(weights, k) * real(typeB, k);
    own += part ** 2;
    shared += part;
    repeats += (real(weights, k) * real(typeA, k)) ** 2;
  }
  return count > 0 ? fromSums(own, shared, repeats) : NaN;
}

/**
 * Uncertainty of the mean over the elements [mm3/stroke]: `weightedUncertainty` with each weight 1 / n. Graduates of one set
 * count as fully shared in error, so it is no smaller than the graduate's own.
 */
export function meanUncertainty(typeB: Float64Array, typeA: Float64Array, count: number): number {
  let shared = 0;
  let repeats = 0;
  for (let k = 0; k < count; k++) {
    if (!isStated(real(typeB, k)) || !isStated(real(typeA, k))) return NaN;
    shared += real(typeB, k);
    repeats += real(typeA, k) ** 2;
  }
  return count > 0 ? fromSums(0, shared / count, repeats / count ** 2) : NaN;
}

function highest(values: Float64Array, count: number): number {
  let place = 0;
  for (let k = 1; k < count; k++) if (real(values, k) > real(values, place)) place = k;
  return place;
}

/** The last of several as low, so that elements that all read alike still give two different ones. */
function lowest(values: Float64Array, count: number): number {
  let place = 0;
  for (let k = 1; k < count; k++) if (real(values, k) <= real(values, place)) place = k;
  return place;
}

/** The one farthest from `centre`; the first of several as far. */
function farthest(values: Float64Array, count: number, centre: number): number {
  let place = 0;
  for (let k = 1; k < count; k++) {
    if (Math.abs(real(values, k) - centre) > Math.abs(real(values, place) - centre)) place = k;
  }
  return place;
}

function add(weights: Float64Array, place: number, amount: number): void {
  weights[place] = real(weights, place) + amount;
}

/** Fills in how far the range moves per mm3/stroke of each element, and returns the range. */
function rangeWeights(values: Float64Array, count: number, weights: Float64Array): number {
  const top = highest(values, count);
  const bottom = lowest(values, count);
  weights.fill(0, 0, count);
  add(weights, top, 1);
  add(weights, bottom, -1);
  return real(values, top) - real(values, bottom);
}

/** The same for the largest deviation from the mean, which every element moves. */
function deviationWeights(values: Float64Array, count: number, centre: number, weights: Float64Array): number {
  const place = farthest(values, count, centre);
  const away = real(values, place) - centre;
  const sign = away < 0 ? -1 : 1;
  weights.fill(-sign / count, 0, count);
  add(weights, place, sign);
  return Math.abs(away);
}

/** Turns weights of an amount in mm3/stroke into those of the same amount in percent of the mean. */
function toPercent(weights: Float64Array, count: number, amount: number, centre: number): void {
  for (let k = 0; k < count; k++) weights[k] = (100 / centre) * (real(weights, k) - amount / centre / count);
}

/**
 * Uncertainty of `spread` on the same basis, in its unit: `weightedUncertainty` with the weights of the elements that are
 * highest, lowest or farthest now. Where others come within U of them the spread as read is also likely to be too large, which
 * this leaves out.
 * @param values deliveries [mm3/stroke]; the first `count` count, as in the other arrays
 * @param typeB U of each from its gauges [mm3/stroke]
 * @param typeA U of each from its repeats [mm3/stroke]
 * @param weights room for `count` figures, overwritten
 * @returns NaN where a delivery is missing or an uncertainty is not stated, for no element, and in percent of a mean that is not
 *   above 0
 */
export function spreadUncertainty(
  values: Float64Array,
  typeB: Float64Array,
  typeA: Float64Array,
  count: number,
  basis: SpreadBasis,
  weights: Float64Array,
): number {
  const centre = mean(values, count);
  const percent = basis === 'range_percent' || basis === 'deviation_percent';
  if (Number.isNaN(centre) || (percent && !(centre > 0))) return NaN;
  const isRange = basis === 'range_mm3' || basis === 'range_percent';
  const amount = isRange ? rangeWeights(values, count, weights) : deviationWeights(values, count, centre, weights);
  if (percent) toPercent(weights, count, amount, centre);
  return weightedUncertainty(weights, typeB, typeA, count);
}

/**
 * Verdict on a figure with its uncertainty: in where value - U and value + U both lie in the closed band, out where neither
 * limit can be kept even by U, else cannot tell. So a band narrower than 2 U is never kept for certain. A limit that is NaN is an
 * open end. Where U is not stated this is the plain comparison, as it is for U = 0. Source: ISO 14253-1; JCGM 106:2012, 8.3.2,
 * with a guard band of U.
 * @param value NaN where not measured; all in one unit
 */
export function decide(value: number, low: number, high: number, expanded: number): number {
  if (!isStated(expanded)) return judge(value, low, high);
  if (Number.isNaN(value) || (Number.isNaN(low) && Number.isNaN(high))) return NOT_MEASURED;
  if (within(value, low + expanded, high - expanded)) return IN;
  return within(value, low - expanded, high + expanded) ? CANNOT_TELL : OUT;
}

/** Abramowitz and Stegun, formula 26.2.17: coefficients of t to t^5, t = 1 / (1 + 0.2316419 z). */
const TAIL = 0.2316419;
const B1 = 0.31938153;
const B2 = -0.356563782;
const B3 = 1.781477937;
const B4 = -1.821255978;
const B5 = 1.330274429;

/**
 * Share of a standard normal distribution below `z`, to within 7.5e-8. Source: Abramowitz and Stegun, Handbook of Mathematical
 * Functions, 26.2.17. NaN for NaN.
 */
export function normalShare(z: number): number {
  const t = 1 / (1 + TAIL * Math.abs(z));
  const density = Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
  const above = density * t * (B1 + t * (B2 + t * (B3 + t * (B4 + t * B5))));
  return z < 0 ? above : 1 - above;
}

/**
 * Probability that the true value lies in the band, errors being normal with standard deviation U / 2 and nothing else known
 * beforehand: Phi((high - value) / u) - Phi((low - value) / u), to within 1.5e-7. A limit that is NaN is an open end; U = 0 gives 1
 * or 0. Source: JCGM 106:2012, 7.2 to 7.4.
 * @returns NaN where the figure was not measured or U is not stated
 */
export function conformanceProbability(value: number, low: number, high: number, expanded: number): number {
  if (Number.isNaN(value) || !isStated(expanded)) return NaN;
  if (expanded === 0) return within(value, low, high) ? 1 : 0;
  const deviation = expanded / COVERAGE;
  const belowHigh = Number.isNaN(high) ? 1 : normalShare((high - value) / deviation);
  const belowLow = Number.isNaN(low) ? 0 : normalShare((low - value) / deviation);
  return Math.max(0, belowHigh - belowLow);
}
