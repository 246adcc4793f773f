import tQuantile from '@stdlib/stats-base-dists-t-quantile';
import { squareAndAdd } from '../stats/newcombe';
import { tTails } from '../stats/tails';
import { scoreInterval } from '../stats/wilson';
import type { Rule } from './measures';
import type { Observations } from './observations';
import { isNear, tailOfShare, tailOverRest } from './shares';

/** The tests behind a comparison: both ask whether the difference is surely more than so much. */
export interface Difference {
  readonly value: number;
  /** Standard error, visits of one pump taken together. */
  readonly error: number;
  readonly freedom: number;
  /** The two sides, weighted alike. */
  readonly group: number;
  readonly rest: number;
  /** How many independent rows either side's weights are worth. */
  readonly groupWorth: number;
  readonly restWorth: number;
  readonly nGroup: number;
  readonly nRest: number;
  readonly serials: number;
  /** Sum of the weights n_g n_r / (n_g + n_r). */
  readonly weight: number;
}

/** Pumps on either side below which nothing is told. */
export const FEWEST_PUMPS = 8;
export const FEWEST_ROWS = 10;

/** Which rows of a comparison stand on which side: 1 the group, 0 the rest, -1 neither. */
export type Sides = Int8Array;

export const sideOf = (sides: Sides, i: number): 0 | 1 | null => (sides[i] === 1 ? 1 : sides[i] === 0 ? 0 : null);

/**
 * Difference of the group from the rest within strata: mean over strata of the difference of the means, by weight n_g n_r / (n_g + n_r)
 * (Mantel and Haenszel's for rates). Its error by the sum over pumps of squared sums of what each row adds, residuals taken from the
 * fitted stratum means and widened by n / (n - 1): several visits of a pump do not count as independent. Sources: N. Mantel and
 * W. Haenszel, J. Nat. Cancer Inst. 22 (1959) 719-748; cluster-robust variance of K.-Y. Liang and S. L. Zeger, Biometrika 73 (1986) 13-22
 * (both from memory).
 * @returns null where no stratum has both sides, or fewer than 8 pumps stand on a side
 */
export function difference(
  obs: Pick<Observations, 'n' | 'tame' | 'serial' | 'pumps' | 'strata' | 'stratum'>,
  sides: Sides,
): Difference | null {
  const { n, tame, serial, pumps, stratum, strata } = obs;
  const counts = [new Float64Array(strata), new Float64Array(strata)] as const;
  const sums = [new Float64Array(strata), new Float64Array(strata)] as const;
  const taking = new Int32Array(n);
  let rowsTaking = 0;
  for (let i = 0; i < n; i += 1) {
    const side = sideOf(sides, i);
    if (side === null) continue;
    taking[rowsTaking] = i;
    rowsTaking += 1;
    const s = stratum[i] ?? 0;
    counts[side][s] = (counts[side][s] ?? 0) + 1;
    sums[side][s] = (sums[side][s] ?? 0) + (tame[i] ?? 0);
  }
  let [weight, group, rest, groupPart, restPart] = [0, 0, 0, 0, 0];
  for (let s = 0; s < strata; s += 1) {
    const [nr, ng] = [counts[0][s] ?? 0, counts[1][s] ?? 0];
    if (nr === 0 || ng === 0) continue;
    const w = (ng * nr) / (ng + nr);
    weight += w;
    group += (w * (sums[1][s] ?? 0)) / ng;
    rest += (w * (sums[0][s] ?? 0)) / nr;
    groupPart += (w * w) / ng;
    restPart += (w * w) / nr;
  }
  if (weight === 0) return null;
  const value = (group - rest) / weight;
  const parts = [new Float64Array(pumps), new Float64Array(pumps)] as const;
  const rows = [new Int32Array(pumps), new Int32Array(pumps)] as const;
  for (let k = 0; k < rowsTaking; k += 1) {
    const i = taking[k] ?? 0;
    const side = sides[i] === 1 ? 1 : 0;
    const s = stratum[i] ?? 0;
    const [nr, ng] = [counts[0][s] ?? 0, counts[1][s] ?? 0];
    if (nr === 0 || ng === 0) continue;
    const all = ng + nr;
    const mean = ((sums[0][s] ?? 0) + (sums[1][s] ?? 0)) / all;
    const fitted = mean + value * (side === 1 ? nr / all : -ng / all);
    const residual = ((tame[i] ?? 0) - fitted) * Math.sqrt(all / (all - 1));
    const share = side === 1 ? nr / (all * weight) : -ng / (all * weight);
    const pump = serial[i] ?? 0;
    parts[side][pump] = (parts[side][pump] ?? 0) + share * residual;
    rows[side][pump] = (rows[side][pump] ?? 0) + 1;
  }
  let [variance, vg, vr, nGroup, nRest, serials, restSerials] = [0, 0, 0, 0, 0, 0, 0];
  for (let pump = 0; pump < pumps; pump += 1) {
    const [inRest, inGroup] = [rows[0][pump] ?? 0, rows[1][pump] ?? 0];
    const [ofRest, ofGroup] = [parts[0][pump] ?? 0, parts[1][pump] ?? 0];
    variance += (ofGroup + ofRest) ** 2;
    vg += ofGroup ** 2;
    vr += ofRest ** 2;
    nGroup += inGroup;
    nRest += inRest;
    if (inGroup > 0) serials += 1;
    if (inRest > 0) restSerials += 1;
  }
  if (serials < FEWEST_PUMPS || restSerials < FEWEST_PUMPS) return null;
  const freedom = (vg + vr) ** 2 / (vg ** 2 / (serials - 1) + vr ** 2 / (restSerials - 1));
  return {
    value,
    error: Math.sqrt(variance * (serials / (serials - 1))),
    freedom: Number.isFinite(freedom) ? freedom : serials - 1,
    group: group / weight,
    rest: rest / weight,
    groupWorth: (weight * weight) / groupPart,
    restWorth: (weight * weight) / restPart,
    nGroup,
    nRest,
    serials,
    weight,
  };
}

/** How many rows as independent ones a rate's side is worth, by how far visits of one pump hang together. */
function cluster(d: Difference): number {
  const plain = (d.group * (1 - d.group)) / d.groupWorth + (d.rest * (1 - d.rest)) / d.restWorth;
  return plain > 0 ? Math.max(1, (d.error * d.error) / plain) : 1;
}

/**
 * p of the difference being no more than `margin`. Readings: Student's t with degrees of freedom by Satterthwaite over pumps. Rates:
 * `tailOverRest`, on as many trials a side as its weights are worth, fewer where visits of one pump hang together; normal tails are too
 * light for rare faults.
 */
export function pBeyond(d: Difference, margin: number, { kind, way }: Pick<Rule, 'kind' | 'way'>): number {
  if (kind === 'reading') {
    if (!(d.error > 0)) return 1;
    const off = (way === 'either' ? Math.abs(d.value) : d.value) - margin;
    const half = tTails(off / d.error, d.freedom) / 2;
    const p = off > 0 ? half : 1 - half;
    return way === 'either' ? Math.min(1, 2 * p) : p;
  }
  if (d.value <= margin) return 1;
  const inflation = cluster(d);
  const [trials, restTrials] = [d.groupWorth / inflation, d.restWorth / inflation];
  const rest = Math.max(0, Math.min(1, d.rest));
  return tailOverRest(trials * Math.min(1, rest + d.value), trials, restTrials * rest, restTrials, margin);
}

/** Whether a rate may be beyond `margin` at a quick look, the rest's share as if it were known: p is below `level` then, or near it. */
export function mayBeBeyond(d: Difference, margin: number, level: number): boolean {
  const rate = Math.max(0, d.rest) + margin;
  const seen = d.groupWorth * Math.min(1, Math.max(0, d.rest) + d.value);
  return rate < 1 && !isNear(seen, d.groupWorth, rate) && tailOfShare(seen, d.groupWorth, rate) < level;
}

export interface Intervals {
  readonly group: readonly [number, number];
  readonly rest: readonly [number, number];
  readonly difference: readonly [number, number];
}

const UPPER_95 = 0.975;

/** Intervals at 95 %. Rates: Wilson's for the sides, Newcombe's square-and-add for the difference. Readings: Student's t. */
export function intervals(d: Difference, kind: Rule['kind']): Intervals {
  if (kind === 'rate') {
    const inflation = cluster(d);
    // Sums of weights may stray past the ends by rounding.
    const bounded = (of: number, worth: number) => {
      const share = Math.max(0, Math.min(1, of));
      return { share, ...scoreInterval(share, worth / inflation) };
    };
    const [group, rest] = [bounded(d.group, d.groupWorth), bounded(d.rest, d.restWorth)];
    const { low, high } = squareAndAdd(group, rest);
    return { group: [group.low, group.high], rest: [rest.low, rest.high], difference: [low, high] };
  }
  const wide = tQuantile(UPPER_95, d.freedom) * d.error;
  const share = d.restWorth / (d.groupWorth + d.restWorth);
  const [g, r] = [wide * Math.sqrt(share), wide * Math.sqrt(1 - share)];
  return {
    group: [d.group - g, d.group + g],
    rest: [d.rest - r, d.rest + r],
    difference: [d.value - wide, d.value + wide],
  };
}
