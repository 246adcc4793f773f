/** Sums of weights are sums of rounded figures: a share meant to be reached may be missed by a hair. */
const HAIR = 1e-9;

/**
 * Values with weights, kept in rising order so that quantiles are quick to ask for after every batch added. Weights matter by their
 * ratio alone. What was added counts from the next `settle` on.
 */
export class WeightedSample {
  private values = new Float64Array(0);
  private weights = new Float64Array(0);
  /** Sum of the weights up to and with each value. */
  private sums = new Float64Array(0);
  private waiting: (readonly [value: number, weight: number])[] = [];

  /** @param weight above 0; a value that is not finite, or has no such weight, is left out */
  add(value: number, weight: number): void {
    if (Number.isFinite(value) && weight > 0 && Number.isFinite(weight)) this.waiting.push([value, weight]);
  }

  /** Lets what was added since count. Which of equal values came first makes no difference: they lie by their weights. */
  settle(): this {
    if (this.waiting.length === 0) return this;
    const come = this.waiting.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
    const [oldValues, oldWeights] = [this.values, this.weights];
    const n = oldValues.length + come.length;
    const values = new Float64Array(n);
    const weights = new Float64Array(n);
    for (let k = 0, old = 0, fresh = 0; k < n; k += 1) {
      const [value, weight] = [oldValues[old] ?? Infinity, oldWeights[old] ?? Infinity];
      const next = come[fresh];
      if (next === undefined || value < next[0] || (value === next[0] && weight <= next[1])) {
        values[k] = value;
        weights[k] = weight;
        old += 1;
      } else {
        [values[k], weights[k]] = next;
        fresh += 1;
      }
    }
    this.waiting = [];
    this.values = values;
    this.weights = weights;
    let sum = 0;
    this.sums = weights.map((weight) => (sum += weight));
    return this;
  }

  get n(): number {
    return this.values.length;
  }

  /** Sum of the weights. */
  get total(): number {
    return this.sums[this.n - 1] ?? 0;
  }

  /** Place of the first value at which the weights have come to `sum`; n where they do not. */
  private reaching(sum: number): number {
    let [low, high] = [0, this.n];
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((this.sums[middle] ?? 0) >= sum) high = middle;
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
    const last = this.values[this.n - 1] ?? NaN;
    const at = this.values[this.reaching(sum - hair)] ?? last;
    const past = this.values[this.reaching(sum + hair)] ?? last;
    return (at + past) / 2;
  }

  /**
   * The value that the next one stays at or below with a chance of at least `share`: the smallest at which the weights come to `share` of
   * their sum and that of the next together. With equal weights it is the ceil(share (n + 1))-th. See `conformalInterval`.
   * @param next weight of the next value, above 0
   * @returns Infinity where the values are too few
   */
  upper(share: number, next: number): number {
    const sum = share * (this.total + next);
    return this.values[this.reaching(sum * (1 - HAIR))] ?? Infinity;
  }

  /** The same from below: the next value stays at or above it with a chance of at least `share`; -Infinity where the values are too few. */
  lower(share: number, next: number): number {
    // The largest value such that what lies at or above it weighs enough: what lies below may weigh so much at most.
    const below = this.total - share * (this.total + next) * (1 - HAIR);
    if (below < 0) return -Infinity;
    let [low, high] = [0, this.n];
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((this.sums[middle] ?? 0) > below) high = middle;
      else low = middle + 1;
    }
    return this.values[low] ?? this.values[this.n - 1] ?? -Infinity;
  }
}
