import normalQuantile from '@stdlib/stats-base-dists-normal-quantile';
import tQuantile from '@stdlib/stats-base-dists-t-quantile';
import { PARENT_JOBS } from './settings';

/** How far models of the same work lie apart: what is not known of a model that has few jobs of its own. */

export interface ModelSpread {
  /** Variance of the models' own middles about the middle of their kin, on the scale of the figure. */
  readonly variance: number;
  /** Degrees of freedom of that variance, 1 or more. */
  readonly freedom: number;
  /** Models that the middle of the group is taken over, 1 or more; fewer where some have most of its jobs. */
  readonly models: number;
}

export interface ModelMiddle {
  readonly middle: number;
  /** Weight of its jobs, above 0. */
  readonly weight: number;
}

const squaresAbout = (values: readonly number[]): number => {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
};

/** As many like models as leave as much chance in their mean: (sum of w)^2 / sum of w^2. */
function evenly(kin: readonly ModelMiddle[]): number {
  const total = kin.reduce((sum, { weight }) => sum + weight, 0);
  return total ** 2 / kin.reduce((sum, { weight }) => sum + weight ** 2, 0);
}

/**
 * The variance within groups of a one-way analysis of variance (NIST/SEMATECH e-Handbook 7.4.3.3, from memory) of the models' middles,
 * the groups being models with as many elements. Where each model is the only one of its kin, or the asked one has no kin, it is the
 * variance about the mean of all.
 * @param kin the models' own middles, one list for each number of elements
 * @param own the list of the asked model's kin; null where it has none
 * @returns null for fewer than two models
 */
export function modelSpread(
  kin: readonly (readonly ModelMiddle[])[],
  own: readonly ModelMiddle[] | null,
): ModelSpread | null {
  const all = kin.flat();
  if (all.length < 2) return null;
  const groups = kin.filter((models) => models.length > 0).map((models) => models.map(({ middle }) => middle));
  const within = all.length - groups.length;
  const models = evenly(own !== null && own.length > 0 ? own : all);
  if (own !== null && own.length > 0 && within > 0) {
    const squares = groups.reduce((sum, middles) => sum + squaresAbout(middles), 0);
    return { variance: squares / within, freedom: within, models };
  }
  const freedom = all.length - 1;
  return { variance: squaresAbout(all.map(({ middle }) => middle)) / freedom, freedom, models };
}

/**
 * Misses of other models' jobs for a model with few of its own: what is not known of its middle is added to each end, squares to squares.
 * Own jobs stray about their middle, which counts for n' / (n' + PARENT_JOBS) of what is quoted, and the rest is the group's,
 * from which the model lies off as models do: by Student's t, as few models tell how far.
 * @param ends of the misses, and `middle` their median
 * @param ownN weight of the model's own jobs in the middle that is quoted; 0 where it is a group's
 * @param spread null where nobody tells how far models lie apart
 */
export function widened(
  ends: { readonly low: number; readonly high: number; readonly middle: number },
  ownN: number,
  coverage: number,
  spread: ModelSpread | null,
): { readonly low: number; readonly high: number } {
  if (spread === null) return { low: NaN, high: NaN };
  const parent = PARENT_JOBS / (ownN + PARENT_JOBS);
  const own = ownN / (ownN + PARENT_JOBS) ** 2;
  const t = tQuantile((1 + coverage) / 2, spread.freedom);
  const apart = (parent * t) ** 2 * spread.variance * (1 + 1 / spread.models);
  const half = (miss: number) => Math.sqrt((miss - ends.middle) ** 2 * (1 + own) + apart);
  return { low: ends.middle - half(ends.low), high: ends.middle + half(ends.high) };
}

/**
 * Ends read off a group's own figures rather than off misses, for a model that is one more of the group: they hold how far its models lie
 * apart as a sample of many would, and what few models leave open is added, squares to squares.
 * @param ends of the figures, and `middle` their median
 * @param spread null where nobody tells how far models lie apart
 */
export function widenedGroup(
  ends: { readonly low: number; readonly high: number; readonly middle: number },
  coverage: number,
  spread: ModelSpread | null,
): { readonly low: number; readonly high: number } {
  if (spread === null) return { low: NaN, high: NaN };
  const [t, z] = [tQuantile((1 + coverage) / 2, spread.freedom), normalQuantile((1 + coverage) / 2, 0, 1)];
  const more = spread.variance * (t ** 2 * (1 + 1 / spread.models) - z ** 2);
  const half = (end: number) => Math.sqrt((end - ends.middle) ** 2 + more);
  return { low: ends.middle - half(ends.low), high: ends.middle + half(ends.high) };
}
