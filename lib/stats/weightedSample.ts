/** Sums of weights are sums of rounded figures: a share meant to be reached may be missed by a hair. */
const HAIR = 1e-9;

/** The same figures with room for more. */
function grown(figures: Float64Array, room: number): Float64Array<ArrayBuffer> {
  const more = new Float64Array(room);
  more.set(figures);
  return more;
}

/**
 * Values with weights, kept in rising order so that quantiles are quick to ask for again and again while values come in. Weights matter
 * by their ratio alone. Which of equal values came first makes no difference: they lie by their weights.
 */
export class WeightedSample {
  private count = 0;
  private values = new Float64Array(4);
  private weights = new Float64Array(4);
  /** Sum of the weights up to and with each value. */
  private sums = new Float64Array(4);
  /** Sum of weight times value, likewise. */
  private moments = new Float64Array(4);
  /** Values that came since the last question, and their weights. */
  private freshValues: number[] = [];
  private freshWeights: number[] = [];

  /** @param weight above 0; a value that is not finite, or has no such weight, is left out */
  add(value: number, weight: number): void {
    if (!Number.isFinite(value) || !(weight > 0) || weight === Infinity) return;
    this.freshValues.push(value);
    this.freshWeights.push(weight);
  }

  /** Puts what came in into its place, from the largest down, moving what lies above it by blocks. */
  private settle(): void {
    const m = this.freshValues.length;
    if (m === 0) return;
    const { freshValues, freshWeights } = this;
    const order = Array.from(freshValues.keys()).sort(
      (a, b) => (freshValues[a] ?? 0) - (freshValues[b] ?? 0) || (freshWeights[a] ?? 0) - (freshWeights[b] ?? 0),
    );
    const needed = this.count + m;
    if (needed > this.values.length) {
      this.values = grown(this.values, 2 * needed);
      this.weights = grown(this.weights, 2 * needed);
      this.sums = grown(this.sums, 2 * needed);
      this.moments = grown(this.moments, 2 * needed);
    }
    let end = this.count;
    for (let fresh = m - 1; fresh >= 0; fresh -= 1) {
      const [value, weight] = [freshValues[order[fresh] ?? 0] ?? 0, freshWeights[order[fresh] ?? 0] ?? 0];
      const place = this.placeOf(value, weight, end);
      this.values.copyWithin(place + fresh + 1, place, end);
      this.weights.copyWithin(place + fresh + 1, place, end);
      this.values[place + fresh] = value;
      this.weights[place + fresh] = weight;
      end = place;
    }
    this.count = needed;
    this.freshValues = [];
    this.freshWeights = [];
    let sum = end > 0 ? (this.sums[end - 1] ?? 0) : 0;
    let moment = end > 0 ? (this.moments[end - 1] ?? 0) : 0;
    for (let k = end; k < needed; k += 1) {
      const weight = this.weights[k] ?? 0;
      sum += weight;
      moment += weight * (this.values[k] ?? 0);
      this.sums[k] = sum;
      this.moments[k] = moment;
    }
  }

  /** The first place among the first `end` whose value is above, or whose value is equal and whose weight is above. */
  private placeOf(value: number, weight: number, end: number): number {
    let [low, high] = [0, end];
    while (low < high) {
      const middle = (low + high) >> 1;
      const there = this.values[middle] ?? 0;
      if (there > value || (there === value && (this.weights[middle] ?? 0) > weight)) high = middle;
      else low = middle + 1;
    }
    return low;
  }

  get n(): number {
    return this.count + this.freshValues.length;
  }

  /** Sum of the weights. */
  get total(): number {
    this.settle();
    return this.count === 0 ? 0 : (this.sums[this.count - 1] ?? 0);
  }

  /** The value at a place; `beyond` past the last. */
  private at(place: number, beyond: number): number {
    return place < this.count ? (this.values[place] ?? beyond) : beyond;
  }

  /** Place of the first value at which the weights have come to `sum`, or past it; n where they do not. */
  private reaching(sum: number, past = false): number {
    let [low, high] = [0, this.count];
    while (low < high) {
      const middle = (low + high) >> 1;
      const there = this.sums[middle] ?? 0;
      if (there > sum || (!past && there === sum)) high = middle;
      else low = middle + 1;
    }
    return low;
  }

  /**
   * Quantile by weight: the smallest value at which the weights come to the share `share` of their sum; where they come to it exactly, the
   * middle between that value and the next. With equal weights this is type 2 of R. J. Hyndman and Y. Fan, Am. Stat. 50 (1996)
   * 361-365, so that 0.5 gives the usual median.
   * @param share between 0 and 1
   * @returns NaN without a value
   */
  quantile(share: number): number {
    const sum = share * this.total;
    const hair = HAIR * this.total;
    const last = this.at(this.count - 1, NaN);
    if (this.count === 0) return NaN;
    return (this.at(this.reaching(sum - hair), last) + this.at(this.reaching(sum + hair), last)) / 2;
  }

  /** Sum of weight times value over the lowest values that together weigh `sum`, the last of them in part. */
  private momentTo(sum: number): number {
    const place = Math.min(this.reaching(sum), this.count - 1);
    const [weighed, moment] = place === 0 ? [0, 0] : [this.sums[place - 1] ?? 0, this.moments[place - 1] ?? 0];
    return moment + (sum - weighed) * (this.values[place] ?? 0);
  }

  /**
   * Mean of the middle half by weight: a quarter of the weight is cut off at each end. J. W. Tukey's midmean (Exploratory Data Analysis, 1977;
   * from memory). For values that scatter evenly it is the median with less chance in it; of n like values one that goes wild moves it by
   * 2/n of the width of the middle half (and a place) at most.
   * @returns NaN without a value
   */
  midmean(): number {
    const { total } = this;
    if (this.count === 0) return NaN;
    // Rounding must not push it past the values, nor off those that are all alike.
    const [low, high] = [this.at(this.reaching(0.25 * total), NaN), this.at(this.reaching(0.75 * total), NaN)];
    const mean = (2 * (this.momentTo(0.75 * total) - this.momentTo(0.25 * total))) / total;
    return Math.min(high, Math.max(low, mean));
  }

  /**
   * The value that the next one stays at or below with a chance of at least `share`: the smallest at which the weights come to `share` of
   * their sum and that of the next together. With equal weights it is the ceil(share (n + 1))-th. See `conformalInterval`.
   * @param next weight of the next value, above 0
   * @returns Infinity where the values are too few
   */
  upper(share: number, next: number): number {
    return this.at(this.reaching(share * (this.total + next) * (1 - HAIR)), Infinity);
  }

  /** The same from below: the next value stays at or above it with a chance of at least `share`; -Infinity where the values are too few. */
  lower(share: number, next: number): number {
    // The largest value such that what lies at or above it weighs enough: what lies below may weigh so much at most.
    const below = this.total - share * (this.total + next) * (1 - HAIR);
    return below < 0 ? -Infinity : this.at(this.reaching(below, true), -Infinity);
  }
}
