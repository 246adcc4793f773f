import { changeOfShare } from '../stats/changeOfShare';
import { changeOfMean } from '../stats/changePoint';

/** When a difference began and ended. */
export interface Period {
  readonly since: { readonly day: number; readonly p: number } | null;
  readonly until: number | null;
}

export interface SeriesRow {
  readonly day: number;
  /** The group's reading less what the rest had; of a rate, 0 or 1. */
  readonly value: number;
}

const LEVEL = 0.05;
/** That it ended is told only where it is surer: a fault taken for mended is looked for no more (ours). */
const ENDED_LEVEL = 0.01;
/** Rows that either side of a change must have, and part of the rows (ours): an odd row or two at an end are no new level. */
const SHORTEST = 6;
const SHORTEST_PART = 0.03;
/** A level counts as before the fault where it is less than this part of the level with it. */
const LITTLE = 0.5;

/** Rearrangements behind a p, fewer for a long series, since their time goes with its length; 199 tell p to 0.005. */
const MOST_ROUNDS = 999;
const FEWEST_ROUNDS = 199;
const WORK = 500_000;
/** Standard errors at 95 %. */
const SURELY = 1.96;

interface Split {
  readonly at: number;
  readonly before: number;
  readonly after: number;
  readonly p: number;
}

function splitOf(rows: readonly SeriesRow[], kind: 'rate' | 'reading'): Split | null {
  const values = rows.map(({ value }) => value);
  const settings = {
    shortest: Math.max(SHORTEST, Math.ceil(SHORTEST_PART * values.length)),
    rounds: Math.max(FEWEST_ROUNDS, Math.min(MOST_ROUNDS, Math.floor(WORK / values.length))),
  };
  const change =
    kind === 'rate'
      ? changeOfShare(
          values,
          values.map(() => 1),
          settings,
        )
      : changeOfMean(values, settings);
  return change !== null && change.p <= LEVEL ? change : null;
}

function errorOf(rows: readonly SeriesRow[], mean: number): number {
  const squares = rows.reduce((sum, { value }) => sum + (value - mean) ** 2, 0);
  return Math.sqrt(squares / Math.max(1, rows.length - 1) / rows.length);
}

/** What the series is held against. */
export interface Against {
  readonly kind: 'rate' | 'reading';
  /** Level of the rest on the scale of the values; 0 for readings, the share for rates. */
  readonly rest: number;
  /** 1 where the group has more, -1 where it has less. */
  readonly way: 1 | -1;
  /** Difference that matters. */
  readonly margin: number;
}

/**
 * The stretch of the group's series in which it differs from the rest: the most likely change first, then one more within the side
 * that differs, each with a p-value of its own at or below 0.05, an end at or below 0.01. The side without the fault must have less than half of
 * its level. Further, before a beginning it must not surely be beyond the margin, and after an end it must lie within it: a fault that
 * grew was there before, and one that shrank is there still.
 * @param rows in order of time
 */
export function periodOf(rows: readonly SeriesRow[], { kind, rest, way, margin }: Against): Period {
  let [start, end] = [0, rows.length];
  let since: Period['since'] = null;
  let until: number | null = null;
  for (let round = 0; round < 2; round += 1) {
    const here = rows.slice(start, end);
    const split = splitOf(here, kind);
    if (split === null) break;
    const [before, after] = [way * (split.before - rest), way * (split.after - rest)];
    const first = here[split.at];
    const last = here[split.at - 1];
    if (first === undefined || last === undefined) break;
    const unsure = SURELY * errorOf(here.slice(0, split.at), split.before);
    if (after > 0 && before < LITTLE * after && before - unsure <= margin && since === null) {
      since = { day: first.day, p: split.p };
      start += split.at;
    } else if (split.p <= ENDED_LEVEL && before > 0 && after < LITTLE * before && after <= margin && until === null) {
      until = last.day;
      end = start + split.at;
    } else break;
  }
  return { since, until };
}
