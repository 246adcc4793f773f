import chiSquareCdf from '@stdlib/stats-base-dists-chisquare-cdf';

/** A direction whose variance is this small a share of the largest holds no information. */
const NOTHING = 1e-10;

export interface RankedGroup {
  readonly n: number;
  /** Events seen. */
  readonly observed: number;
  /** Events expected, had all groups the same curve. */
  readonly expected: number;
}

export interface LogRank {
  /** By number of the group. */
  readonly groups: readonly RankedGroup[];
  readonly chiSquare: number;
  /** Degrees of freedom: groups that can be told apart, less one. */
  readonly freedom: number;
  /** Two-sided; below about 1e-15 it is rounding. */
  readonly p: number;
}

interface Case {
  readonly time: number;
  readonly event: boolean;
  readonly group: number;
}

/** Cell of a square matrix kept row by row. */
const cell = (matrix: Float64Array, size: number, row: number, column: number) => matrix[row * size + column] ?? NaN;

/**
 * u' V⁻ u by elimination, largest pivot first, and the number of pivots that hold information. V is symmetric without negative
 * directions, size² long; u is its size long.
 */
function quadraticForm(u: Float64Array, v: Float64Array): { value: number; rank: number } {
  const size = u.length;
  const [left, rest] = [Float64Array.from(v), Float64Array.from(u)];
  const scale = Math.max(...Array.from(u, (_, k) => cell(v, size, k, k)));
  const open = new Set(u.keys());
  let [value, rank] = [0, 0];
  for (;;) {
    const pivot = [...open].reduce(
      (best, k) => (best < 0 || cell(left, size, k, k) > cell(left, size, best, best) ? k : best),
      -1,
    );
    const information = cell(left, size, pivot, pivot);
    if (pivot < 0 || !(information > NOTHING * scale)) return { value, rank };
    open.delete(pivot);
    rank++;
    const step = rest[pivot] ?? NaN;
    value += step ** 2 / information;
    for (const row of open) {
      const factor = cell(left, size, row, pivot) / information;
      rest[row] = (rest[row] ?? NaN) - factor * step;
      for (const column of open) {
        left[row * size + column] = cell(left, size, row, column) - factor * cell(left, size, pivot, column);
      }
    }
  }
}

/** Cases of a group by its number. */
function tally(cases: readonly Case[], count: number): Float64Array {
  const sums = new Float64Array(count);
  for (const { group } of cases) sums[group] = (sums[group] ?? 0) + 1;
  return sums;
}

interface Moments {
  readonly observed: Float64Array;
  readonly expected: Float64Array;
  /** Of observed less expected, count² long, row by row. */
  readonly variance: Float64Array;
}

/** Sums over all times with events; `cases` by rising time. */
function moments(cases: readonly Case[], count: number): Moments {
  const atRisk = tally(cases, count);
  const observed = tally(
    cases.filter(({ event }) => event),
    count,
  );
  const expected = new Float64Array(count);
  const variance = new Float64Array(count * count);
  for (let first = 0, next = 0; first < cases.length; first = next) {
    const time = cases[first]?.time;
    while (cases[next]?.time === time) next++;
    const now = cases.slice(first, next);
    const events = now.filter(({ event }) => event).length;
    const all = cases.length - first;
    const share = (k: number) => (atRisk[k] ?? NaN) / all;
    // With a single case left there is nothing to share out.
    const weight = all > 1 ? (events * (all - events)) / (all - 1) : 0;
    for (let i = 0; i < count; i++) {
      expected[i] = (expected[i] ?? NaN) + events * share(i);
      for (let j = 0; j < count; j++) {
        const at = i * count + j;
        variance[at] = (variance[at] ?? NaN) + weight * share(i) * ((i === j ? 1 : 0) - share(j));
      }
    }
    for (const c of now) atRisk[c.group] = (atRisk[c.group] ?? NaN) - 1;
  }
  return { observed, expected, variance };
}

/**
 * Log-rank test: did the groups have their events at the same pace? At each time with events, those are shared out over the groups as
 * they are at risk (hypergeometric mean and variance); chi-square of observed less expected over all times. N. Mantel, Cancer
 * Chemotherapy Reports 50 (1966) 163-170; R. Peto and J. Peto, J. Roy. Stat. Soc. A 135 (1972) 185-206. Strongest where one group's
 * pace is a fixed multiple of another's; weak where the curves cross.
 *
 * @param times from 0 up, in one unit, of any length
 * @param hadEvent as long: 1 where the event came at that time, 0 where the case was last seen without it
 * @param group as long: the number of the case's group, 0 up to `count` − 1. A case with no such time or group is left out
 * @param count how many groups there are, 2 to 1,000
 * @returns null where no two groups were at risk together at any event
 */
export function logRank(
  times: ArrayLike<number>,
  hadEvent: ArrayLike<number>,
  group: ArrayLike<number>,
  count: number,
): LogRank | null {
  const cases = Array.from(times, (time, k): Case => ({ time, event: hadEvent[k] === 1, group: group[k] ?? NaN }))
    .filter((c) => Number.isFinite(c.time) && c.time >= 0)
    .filter((c) => Number.isInteger(c.group) && c.group >= 0 && c.group < count)
    .sort((a, b) => a.time - b.time);
  const { observed, expected, variance } = moments(cases, count);
  const { value, rank } = quadraticForm(
    observed.map((seen, k) => seen - (expected[k] ?? NaN)),
    variance,
  );
  if (rank === 0) return null;
  const sizes = tally(cases, count);
  return {
    groups: Array.from(sizes, (n, k) => ({ n, observed: observed[k] ?? NaN, expected: expected[k] ?? NaN })),
    chiSquare: value,
    freedom: rank,
    p: Math.max(0, 1 - chiSquareCdf(value, rank)),
  };
}
