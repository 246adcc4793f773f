import { features, type Asked, type Feature, type RangeSet, type Target } from '../quote/types';
import type { AmountWriter } from './amounts';
import { percent } from './figures';
import { figureOf, groupWords, nearWords } from './quote';

/** What a figure is made of: the groups that it rests on, and by how much each thing asked moved it. */

export interface MovedRow {
  readonly what: string;
  /** What it did to the figure. */
  readonly how: string;
  readonly n: number;
  /** Whose jobs tell it. */
  readonly whose: string;
}

const levelWords = {
  'model and complaint': 'jobs of the model with the complaint',
  model: 'jobs of the model',
  kin: 'jobs of its kin',
  work: 'jobs of this work',
  all: 'all jobs',
} as const;

const readJobs = 'jobs of this work in which the same was read';
function whoseWords(feature: Feature, { complaint, branch, work }: Asked): string {
  if (feature === 'complaint') return `jobs of this work with the complaint “${complaint ?? ''}”, ${work}`;
  return feature === 'branch' ? `jobs of the branch ${branch ?? ''}, all works` : `${readJobs}, ${work}`;
}

const wasAsked = (asked: Asked, feature: Feature | 'leakSlope'): boolean =>
  asked[feature] !== null && asked[feature] !== undefined && asked[feature] !== '';

/** `+4 %`; with a decimal where it is less than one. */
export function signedShare(factor: number): string {
  const by = Math.abs(factor - 1);
  return `${factor < 1 ? '−' : '+'}${percent(by, by < 0.01 ? 1 : 0)}`;
}

/** A figure's groups, nearest first, then what was asked: also what was asked and moves nothing, with the reason. */
export function movedRows(
  target: Target,
  set: RangeSet,
  asked: Asked,
  currency: string | null,
  write: AmountWriter,
): readonly MovedRow[] {
  const layers = set.layers.map(({ group, n, median, weight }) => ({
    what: levelWords[group.level],
    how: `about ${figureOf(target, median, currency, write)}, counts ${percent(weight)}`,
    n,
    whose: groupWords(group),
  }));
  const moved = set.adjustments.map(({ feature, factor, n }) => ({
    what: nearWords[feature],
    how: signedShare(factor),
    n,
    whose: whoseWords(feature, asked),
  }));
  const still = (set.median === null ? [] : features)
    .filter((feature) => wasAsked(asked, feature) && !set.adjustments.some((each) => each.feature === feature))
    .map((feature) => ({ what: nearWords[feature], how: 'moves nothing', n: 0, whose: 'too few past jobs tell' }));
  const leak = wasAsked(asked, 'leakSlope') && set.median !== null;
  const slope = { what: nearWords.leakSlope, how: 'moves nothing', n: 0, whose: 'it counts for similar jobs alone' };
  return [...layers, ...moved, ...still, ...(leak ? [slope] : [])];
}
