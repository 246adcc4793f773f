import { meanInterval } from '../stats/meanInterval';
import { wilson } from '../stats/wilson';
import { yearOf } from './calendar';
import { placeOfRow } from './groups';
import { Plain } from './plain';
import { figures, knownFrom, prepareQuotes, type Prepared } from './prepare';
import { daysRanges, figureRanges, middleDays, middleOf, type PlainRange } from './ranges';
import { filled } from './settings';
import { COVERAGES, plainWays, targets, type AgainstPlain, type BackTest, type Choices } from './types';
import type { Coverages, QuoteHistory, Target, TargetTest } from './types';

/** The estimate held against the shop's own past: every job quoted on the day it came in, and looked up once it was finished. */

/** One past job: what was told of it, and what came. */
export interface Tried {
  readonly row: number;
  readonly told: number;
  readonly came: number;
  /** Ends of the ranges, in the order of COVERAGES; a high end of Infinity where there was not enough data. */
  readonly low: readonly number[];
  readonly high: readonly number[];
  /** What the plain ways told, in the order of `plainWays`; NaN where they could not. */
  readonly plain: readonly number[];
}

/** With fewer pairs the interval of their mean leans on a distribution that is not known. */
const FEWEST_PAIRS = 30;
/** A figure goes through a logarithm and back: two that differ by no more than this part are the same. */
const HAIR = 1e-9;

/** The median; a typed array sorts many times faster than one of mixed values. */
function middleOr(values: readonly number[]): number | null {
  const sorted = Float64Array.from(values).sort();
  const [below, above] = [sorted[(sorted.length - 1) >> 1], sorted[sorted.length >> 1]];
  return below === undefined || above === undefined ? null : (below + above) / 2;
}

const missOf = ({ told, came }: Tried): number => Math.abs(told - came);

function coveragesOf(tried: readonly Tried[]): Coverages[] {
  return COVERAGES.map((coverage, at): Coverages => {
    const widths: number[] = [];
    let k = 0;
    for (const { came, low: lows, high: highs } of tried) {
      const [low, high] = [lows[at] ?? 0, highs[at] ?? Infinity];
      if (high === Infinity) continue;
      widths.push(high - low);
      if (low <= came && came <= high) k += 1;
    }
    const n = widths.length;
    const interval = n === 0 ? null : wilson(k, n);
    return {
      coverage,
      k,
      n,
      share: n === 0 ? null : k / n,
      low: interval?.low ?? null,
      high: interval?.high ?? null,
      unbounded: tried.length - n,
      medianWidth: middleOr(widths),
    };
  });
}

function against(tried: readonly Tried[]): AgainstPlain[] {
  return plainWays.map((way, at): AgainstPlain => {
    const both = tried.filter(({ plain }) => Number.isFinite(plain[at]));
    const plainMiss = ({ plain, came }: Tried) => Math.abs((plain[at] ?? NaN) - came);
    const nearer = (one: Tried) => {
      const difference = plainMiss(one) - missOf(one);
      return Math.abs(difference) > HAIR * Math.abs(one.came) ? difference : 0;
    };
    const pairs = both.length < FEWEST_PAIRS ? null : meanInterval(both.map(nearer));
    return {
      way,
      n: both.length,
      own: middleOr(both.map(missOf)),
      plain: middleOr(both.map(plainMiss)),
      difference: pairs?.mean ?? null,
      low: pairs?.low ?? null,
      high: pairs?.high ?? null,
      beats: pairs === null ? 'not enough data' : pairs.low > 0 ? 'yes' : pairs.high < 0 ? 'no' : 'even',
    };
  });
}

function by<K>(tried: readonly Tried[], keyOf: (one: Tried) => K): [K, Tried[]][] {
  const groups = new Map<K, Tried[]>();
  for (const one of tried) {
    const had = groups.get(keyOf(one));
    if (had === undefined) groups.set(keyOf(one), [one]);
    else had.push(one);
  }
  return [...groups];
}

const summary = (tried: readonly Tried[]) => ({
  n: tried.length,
  medianError: middleOr(tried.map(missOf)),
  coverages: coveragesOf(tried),
});

function testOf(history: QuoteHistory, target: Target, tried: readonly Tried[]): TargetTest {
  return {
    target,
    ...summary(tried),
    against: against(tried),
    byModel: by(tried, ({ row }) => history.names.model[history.model[row] ?? -1] ?? '')
      .map(([model, own]) => ({ model, ...summary(own) }))
      .sort((a, b) => (a.model < b.model ? -1 : 1)),
    byYear: by(tried, ({ row }) => yearOf(history.received[row] ?? 0))
      .map(([year, own]) => ({ year, ...summary(own) }))
      .sort((a, b) => a.year - b.year),
  };
}

/** What a job came to, in the target's unit; NaN where it is not known. */
function cameOf(history: QuoteHistory, target: Target, row: number, { parts, cost }: Prepared): number {
  const { labourHours, received, finished } = history;
  if (target === 'days') {
    const days = (finished[row] ?? NaN) - (received[row] ?? NaN);
    return days >= 0 ? days : NaN;
  }
  const value = { hours: labourHours, parts, cost }[target][row] ?? NaN;
  return target !== 'hours' || value > 0 ? value : NaN;
}

/** Each job as it was told on its day, target by target; those that could not be told, or whose outcome is not known, are left out. */
export function tryAll(history: QuoteHistory, choices: Choices): Record<Target, Tried[]> {
  const tried: Record<Target, Tried[]> = { hours: [], parts: [], days: [], cost: [] };
  const plain: Record<Target, Plain> = { hours: new Plain(), parts: new Plain(), days: new Plain(), cost: new Plain() };
  let [learnt, day] = [0, NaN];
  const catchUp = (prepared: Prepared) => {
    for (const row of prepared.known.slice(learnt)) {
      const { model, work } = placeOfRow(history, row);
      for (const target of targets) plain[target].learn(model, work, cameOf(history, target, row, prepared));
    }
    learnt = prepared.known.length;
    day = prepared.day;
  };
  const note = (target: Target, row: number, prepared: Prepared, told: number, ranges: readonly PlainRange[]) => {
    const [low, high] = [ranges.map((range) => range.low), ranges.map((range) => range.high)];
    const { model, work } = placeOfRow(history, row);
    const came = cameOf(history, target, row, prepared);
    tried[target].push({ row, told, came, low, high, plain: plain[target].quote(model, work) });
  };
  const { known } = prepareQuotes(history, choices, (row, quoted, prepared) => {
    if (prepared.day !== day) catchUp(prepared);
    for (const figure of figures) {
      const told = quoted[figure];
      if (told.level >= 0) note(figure, row, prepared, middleOf(figure, told), figureRanges(prepared, figure, told));
    }
    const { days } = quoted;
    if (days.level >= 0) note('days', row, prepared, middleDays(days), daysRanges(prepared, days));
  });
  // What came is looked up only here: no quote above knew it.
  const isKnown = new Set(known);
  const compared = (target: Target) =>
    tried[target].filter(({ row, came }) => isKnown.has(row) && Number.isFinite(came));
  return { hours: compared('hours'), parts: compared('parts'), days: compared('days'), cost: compared('cost') };
}

/**
 * Quotes the shop's past job by job, from what was finished before the first of the month in which each came in, and tells how often
 * ranges held, how far the middle was off, and whether plain ways were nearer. Jobs still open are left out, which favours quick ones in
 * the last weeks. Parts and cost are in today's money.
 */
export function backtest(history: QuoteHistory, choices: Choices): BackTest {
  const tried = tryAll(history, choices);
  const jobs = history.model.length;
  const open = Array.from({ length: jobs }, (_, row) => row).filter((row) =>
    Number.isNaN(knownFrom(history, row)),
  ).length;
  return {
    choices: filled(choices),
    jobs,
    open,
    tests: targets.map((target) => testOf(history, target, tried[target])),
  };
}
