import { DAYS_A_YEAR, dayOf, monthOf } from './calendar';
import { readingsOf } from './features';
import { Rolling, type Told } from './rolling';
import { DRIFT_DAYS, filled, HALF_LIFE_YEARS } from './settings';
import type { Choices, QuoteHistory } from './types';
import { Waits, type ToldDays } from './waits';

/** The history walked through once, month by month, to the day of the quote. */

/** What is known on a day, and what can be told by it. */
export interface Prepared {
  readonly history: QuoteHistory;
  readonly choices: Required<Choices>;
  /** The day as a number. */
  readonly day: number;
  readonly figures: Readonly<Record<Figure, Rolling>>;
  readonly waits: Waits;
  /** Rows that were finished before that day. */
  readonly known: readonly number[];
  /** Parts in the chosen currency in today's money, and labour at the rate with them, by row; NaN where not known. */
  readonly parts: Float64Array;
  readonly cost: Float64Array;
  /** Day from which jobs were finished of late: DRIFT_DAYS before the last one was, whenever the log ends. */
  readonly lateFrom: number;
  /** Days that were told of each row, not rounded, where it was finished of late; else NaN. */
  readonly daysTold: Float64Array;
}

export type Figure = 'hours' | 'parts' | 'cost';
export const figures = ['hours', 'parts', 'cost'] as const satisfies readonly Figure[];

/** Hours by their logarithm; money by that of one more, as there are jobs that took no parts. */
export const scaleOf: Readonly<Record<Figure, { to: (value: number) => number; from: (scaled: number) => number }>> = {
  hours: { to: (hours) => (hours > 0 ? Math.log(hours) : NaN), from: Math.exp },
  parts: { to: Math.log1p, from: (scaled) => Math.max(0, Math.expm1(scaled)) },
  cost: { to: Math.log1p, from: (scaled) => Math.max(0, Math.expm1(scaled)) },
};

/** Day from which a job's outcome is known; NaN while it is open. A job finished before it came in is a slip: it counts from when it came in. */
export const knownFrom = ({ received, finished }: QuoteHistory, row: number): number =>
  Math.max(finished[row] ?? NaN, received[row] ?? NaN);

/** A sum of so many years ago at a rise of `index` a year. */
export const inTodaysMoney = (cost: number, years: number, index: number): number => cost * (1 + index) ** years;

/** Parts of each row in today's money; NaN where they are not told or are in another currency. */
function partsToday(
  history: QuoteHistory,
  { currency, partsIndexPerYear }: Required<Choices>,
  day: number,
): Float64Array {
  const wanted = currency === null ? -1 : history.names.currency.indexOf(currency);
  if (currency !== null && wanted < 0) return new Float64Array(history.model.length).fill(NaN);
  return history.partsCost.map((cost, row) => {
    const years = (day - knownFrom(history, row)) / DAYS_A_YEAR;
    return history.currency[row] === wanted ? inTodaysMoney(cost, years, partsIndexPerYear) : NaN;
  });
}

/** Weight of a job by the day it was finished: a half after every half-life. Only ratios matter. */
export function weightOn(day: number, today: number, halfLifeYears: number): number {
  const years = halfLifeYears > 0 ? halfLifeYears : HALF_LIFE_YEARS;
  return 2 ** ((day - today) / DAYS_A_YEAR / years);
}

/** Rows in the order of a day; of the same day by their job, so that the order of the history makes no difference. */
function inOrder(history: QuoteHistory, dayOfRow: (row: number) => number, before: number): number[] {
  const { job } = history.names;
  const days = Float64Array.from(history.model, (_, row) => dayOfRow(row));
  const byName = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0);
  return Array.from(days.keys())
    .filter((row) => (days[row] ?? NaN) < before)
    .sort((a, b) => (days[a] ?? 0) - (days[b] ?? 0) || byName(job[a] ?? '', job[b] ?? ''));
}

/** What is told of one job. */
export type ToldAll = Readonly<Record<Figure, Told>> & { readonly days: ToldDays };

/** Called for each job as it is quoted, with what was known on the first of its month. */
export type Visit = (row: number, told: ToldAll, prepared: Prepared) => void;

/**
 * Reads the history for quotes on a day: every job that came in before is quoted by what was finished before the first of its
 * month, and learnt from once it is finished.
 * @throws RangeError where `choices.today` is no day
 */
export function prepareQuotes(history: QuoteHistory, choices: Choices, visit?: Visit): Prepared {
  const set = filled(choices);
  const today = dayOf(set.today);
  if (!Number.isFinite(today)) throw new RangeError(`No day: ${set.today}`);
  const parts = partsToday(history, set, today);
  const { hourRate } = set;
  const cost = parts.map((part, row) =>
    hourRate === null ? NaN : (history.labourHours[row] ?? NaN) * hourRate + part,
  );
  const weights = Float64Array.from(history.model, (_, row) =>
    weightOn(knownFrom(history, row), today, set.halfLifeYears),
  );
  const readings = readingsOf(history);
  const rollingOf = (figure: Figure, values: Float64Array) =>
    new Rolling(history, values.map(scaleOf[figure].to), weights, readings);
  const rolling = {
    hours: rollingOf('hours', history.labourHours),
    parts: rollingOf('parts', parts),
    cost: rollingOf('cost', cost),
  };
  const waits = new Waits(history, weights, readings);
  const daysTold = new Float64Array(history.model.length).fill(NaN);
  const came = inOrder(history, (row) => history.received[row] ?? NaN, today);
  const done = inOrder(history, (row) => knownFrom(history, row), today);
  const lateFrom = done.reduce((last, row) => Math.max(last, knownFrom(history, row)), -Infinity) - DRIFT_DAYS;
  let [learnt, waiting] = [0, 0];
  const moveTo = (day: number): Prepared => {
    for (let row = done[learnt]; row !== undefined && knownFrom(history, row) < day; row = done[(learnt += 1)]) {
      for (const figure of figures) rolling[figure].learn(row);
      waits.learn(row);
    }
    for (; (history.received[came[waiting] ?? -1] ?? NaN) < day; waiting += 1) {
      const row = came[waiting];
      if (row !== undefined) waits.takeIn(row);
    }
    const now = weightOn(day, today, set.halfLifeYears);
    for (const figure of figures) rolling[figure].moveTo(now);
    waits.moveTo(day, now);
    const known = done.slice(0, learnt);
    return { history, choices: set, day, figures: rolling, waits, known, parts, cost, lateFrom, daysTold };
  };
  let [month, state] = [-Infinity, moveTo(-Infinity)];
  for (const row of came) {
    const own = monthOf(history.received[row] ?? NaN);
    if (own !== month) [month, state] = [own, moveTo(own)];
    const [hours, parts, cost] = [rolling.hours.quoteRow(row), rolling.parts.quoteRow(row), rolling.cost.quoteRow(row)];
    const days = waits.quoteRow(row);
    if (knownFrom(history, row) >= lateFrom) daysTold[row] = days.days;
    visit?.(row, { hours, parts, cost, days }, state);
  }
  return moveTo(today);
}
