import tQuantile from '@stdlib/stats-base-dists-t-quantile';
import { moments, type Moments } from './moments';
import type { Series } from './series';
import { fTail, tTails } from './tails';
import type { Interval } from './wilson';

/** A difference of means [unit of the readings] with its interval by Student's t. */
export interface Offset {
  readonly offset: number;
  readonly error: number;
  /** Degrees of freedom, not whole in general. */
  readonly freedom: number;
  readonly interval: Interval;
  readonly t: number;
  /** Chance of an offset as large, either way, if there were none. */
  readonly p: number;
}

/** Weighted sum of group means, no scatter taken as shared; degrees of freedom by Satterthwaite. */
function contrast(told: readonly Moments[], weights: readonly number[], confidence: number): Offset | null {
  const parts = told.map(({ n, sd }, k) => ({ square: ((weights[k] ?? 0) * sd) ** 2 / n, freedom: n - 1 }));
  const variance = parts.reduce((sum, { square }) => sum + square, 0);
  if (!(variance > 0)) return null;
  // The first group's level is taken off, so that a large level costs no digits; the weights add up to 0.
  const level = told[0]?.mean ?? NaN;
  const offset = told.reduce((sum, { mean }, k) => sum + (weights[k] ?? 0) * (mean - level), 0);
  const error = Math.sqrt(variance);
  const freedom = variance ** 2 / parts.reduce((sum, { square, freedom: own }) => sum + square ** 2 / own, 0);
  const half = tQuantile((1 + confidence) / 2, freedom) * error;
  const t = offset / error;
  const interval = { low: offset - half, high: offset + half };
  return { offset, error, freedom, interval, t, p: tTails(t, freedom) };
}

/**
 * Welch's interval of the difference of two means, first less second; scatter and number of readings may differ. Source: B. L. Welch,
 * Biometrika 34 (1947) 28-35 (from memory); NIST/SEMATECH e-Handbook 1.3.5.3.
 * @param first readings [one unit]; what is not finite is left out
 * @param second likewise
 * @param confidence between 0 and 1
 * @returns null for fewer than two readings in either, or where neither varies
 */
export function welch(first: Series, second: Series, confidence = 0.95): Offset | null {
  return contrast([moments(first), moments(second)], [1, -1], confidence);
}

/**
 * Offset of each group (bench) from the plain mean of the other groups' means, each group with a scatter of its own and any number of
 * readings. Source: Welch's interval for a contrast, degrees of freedom by F. E. Satterthwaite, Biometrics Bull. 2 (1946) 110-114 (from
 * memory). Looking at k offsets at once finds one by chance about k times as often: to hold all together, ask for a confidence of
 * 1 - (1 - confidence) / k (Bonferroni).
 * @param groups readings of each [one unit]; what is not finite is left out
 * @returns as many as groups, in their order; all null for fewer than two groups, for a group with fewer than two readings, or where no
 * reading varies within its group
 */
export function groupOffsets(groups: readonly Series[], confidence = 0.95): (Offset | null)[] {
  const told = groups.map(moments);
  const others = told.length - 1;
  return told.map((_, own) =>
    others < 1
      ? null
      : contrast(
          told,
          told.map((__, k) => (k === own ? 1 : -1 / others)),
          confidence,
        ),
  );
}

export interface WelchTest {
  readonly f: number;
  readonly above: number;
  /** Not whole in general. */
  readonly below: number;
  readonly p: number;
}

/**
 * Whether groups have one mean, each with a scatter of its own. Source: B. L. Welch, Biometrika 38 (1951) 330-336 (from memory).
 * @param groups readings of each [one unit]; what is not finite is left out
 * @returns null for fewer than two groups, or where a group has fewer than two readings or does not vary
 */
export function welchAnova(groups: readonly Series[]): WelchTest | null {
  const told = groups.map(moments);
  const k = told.length;
  if (k < 2 || !told.every(({ sd }) => sd > 0)) return null;
  const level = told[0]?.mean ?? NaN;
  const weighted = told.map(({ n, mean, squares }) => ({ n, w: (n * (n - 1)) / squares, d: mean - level }));
  const all = weighted.reduce((sum, { w }) => sum + w, 0);
  const centre = weighted.reduce((sum, { w, d }) => sum + w * d, 0) / all;
  const between = weighted.reduce((sum, { w, d }) => sum + w * (d - centre) ** 2, 0) / (k - 1);
  const lack = weighted.reduce((sum, { n, w }) => sum + (1 - w / all) ** 2 / (n - 1), 0);
  const f = between / (1 + (2 * (k - 2) * lack) / (k * k - 1));
  const below = (k * k - 1) / (3 * lack);
  return { f, above: k - 1, below, p: fTail(f, k - 1, below) };
}
