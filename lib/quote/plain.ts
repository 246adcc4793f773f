import { WeightedSample } from '../stats/weightedSample';
import { plainWays, type PlainWay } from './types';

/** Plain ways to quote, from the same finished jobs: what the estimate is held against. */
export class Plain {
  private readonly sums = new Map<string, { sum: number; n: number }>();
  private readonly last = new Map<number, number[]>();
  private readonly all = new WeightedSample();

  learn(model: number, work: number, value: number): void {
    if (!Number.isFinite(value)) return;
    for (const key of [`${model}`, `${model} ${work}`]) {
      const had = this.sums.get(key) ?? { sum: 0, n: 0 };
      this.sums.set(key, { sum: had.sum + value, n: had.n + 1 });
    }
    this.last.set(model, [...(this.last.get(model) ?? []), value].slice(-5));
    this.all.add(value, 1);
  }

  /** One figure a way, in the order of `plainWays`; NaN where there is no such job. */
  quote(model: number, work: number): number[] {
    const mean = (key: string) => {
      const had = this.sums.get(key);
      return had === undefined ? NaN : had.sum / had.n;
    };
    const five = this.last.get(model) ?? [];
    const ways: Readonly<Record<PlainWay, number>> = {
      'mean of the model': mean(`${model}`),
      'last five of the model': five.length === 0 ? NaN : five.reduce((sum, value) => sum + value, 0) / five.length,
      'median of all': this.all.quantile(0.5),
      'mean of model and work': mean(`${model} ${work}`),
    };
    return plainWays.map((way) => ways[way]);
  }
}
