/** A column that the others make up to this part is not told apart from them. */
const ALIKE = 1e-10;

/**
 * Least squares of y on several x with weights, a case at a time: means and centred sums of products are brought up to date as in B. P. Welford,
 * Technometrics 4 (1962) 419-420, with weights as in D. H. D. West, Comm. ACM 22 (1979) 532-535 (both from memory), so that a large
 * level costs no digits; the normal equations are solved by Cholesky's method.
 */
export class CrossMoments {
  n = 0;
  /** Sum of the weights. */
  total = 0;
  private readonly means: Float64Array;
  /** Centred sums of products of the x and, last, y: lower triangle by rows. */
  private readonly products: Float64Array;
  private readonly off: Float64Array;

  constructor(private readonly columns: number) {
    this.means = new Float64Array(columns + 1);
    this.off = new Float64Array(columns + 1);
    this.products = new Float64Array(((columns + 1) * (columns + 2)) / 2);
  }

  /** @param x one figure a column; a case with a figure that is not finite is left out, and one without a weight above 0 */
  add(x: ArrayLike<number>, y: number, weight = 1): void {
    if (!(weight > 0) || !Number.isFinite(y)) return;
    for (let i = 0; i < this.columns; i += 1) if (!Number.isFinite(x[i])) return;
    this.n += 1;
    this.total += weight;
    const { off, means, products, total } = this;
    for (let i = 0; i <= this.columns; i += 1) off[i] = (i < this.columns ? (x[i] ?? 0) : y) - (means[i] ?? 0);
    // Weight times the share of it that is not taken up by the step of the mean.
    const part = weight * (1 - weight / total);
    for (let i = 0, at = 0; i <= this.columns; i += 1) {
      for (let j = 0; j <= i; j += 1, at += 1)
        products[at] = (products[at] ?? 0) + part * (off[i] ?? 0) * (off[j] ?? 0);
    }
    for (let i = 0; i <= this.columns; i += 1) means[i] = (means[i] ?? 0) + ((off[i] ?? 0) * weight) / total;
  }

  /** Weighted mean of a column; of y at `columns`. NaN without a case. */
  mean(column: number): number {
    return this.n === 0 ? NaN : (this.means[column] ?? NaN);
  }

  private product(i: number, j: number): number {
    return this.products[i >= j ? (i * (i + 1)) / 2 + j : (j * (j + 1)) / 2 + i] ?? 0;
  }

  /**
   * Slopes of the least squares plane with an intercept.
   * @returns one a column, y's unit per x's; null where the cases do not outnumber the columns by two, or a column does not vary or is made
   *   up of others
   */
  slopes(): Float64Array | null {
    const p = this.columns;
    if (this.n < p + 2) return null;
    const root = new Float64Array(p * p);
    const at = (i: number, j: number) => root[i * p + j] ?? 0;
    for (let i = 0; i < p; i += 1) {
      for (let j = 0; j <= i; j += 1) {
        let left = this.product(i, j);
        for (let k = 0; k < j; k += 1) left -= at(i, k) * at(j, k);
        if (i === j) {
          if (!(left > ALIKE * this.product(i, i))) return null;
          root[i * p + i] = Math.sqrt(left);
        } else root[i * p + j] = left / at(j, j);
      }
    }
    const slopes = new Float64Array(p);
    for (let i = 0; i < p; i += 1) {
      let left = this.product(p, i);
      for (let k = 0; k < i; k += 1) left -= at(i, k) * (slopes[k] ?? 0);
      slopes[i] = left / at(i, i);
    }
    for (let i = p - 1; i >= 0; i -= 1) {
      let left = slopes[i] ?? 0;
      for (let k = i + 1; k < p; k += 1) left -= at(k, i) * (slopes[k] ?? 0);
      slopes[i] = left / at(i, i);
    }
    return slopes;
  }
}
