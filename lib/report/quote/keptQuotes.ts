import { wilson } from '../../stats/wilson';
import { spokenRange } from './quoteFace';
import { sumsOf, type QuoteDocument, type Told } from './quoteDocument';
import { fromMinor } from './quoteSheet';

/** What became of kept quotes: each beside the job that the log has of that pump since. */

/** A job of the log, as far as a quote can be compared with it. */
export interface LaterJob {
  readonly job_id: string;
  readonly pump_serial: string;
  readonly received_on: string;
  /** Null while it is open. */
  readonly finished_on: string | null;
  readonly labour_hours: number | null;
  readonly parts_cost: number | null;
  readonly currency: string | null;
}

/** A pump may have come in so many days before it was quoted (ours). */
export const COUNTER_DAYS = 30;

export interface Compared {
  readonly quoted: number;
  readonly low: number;
  readonly high: number;
  readonly took: number;
  readonly within: boolean;
}

export interface Outcome {
  readonly job: LaterJob;
  /** Null where the quote told no range, or the job's card no figure. */
  readonly hours: Compared | null;
  /** Parts only where the card has the quote's currency. */
  readonly parts: Compared | null;
  readonly days: Compared | null;
  /** Cost at the quote's rate less the price before tax, in whole currency units; above 0 the job lost money. */
  readonly over: number | null;
}

const DAY_MS = 86_400_000;
const dayNumber = (day: string): number => Math.round(Date.parse(`${day.slice(0, 10)}T00:00:00Z`) / DAY_MS);

/**
 * The job that a quote became: the first of that serial number that was received at most COUNTER_DAYS before the quote, or after it, and
 * was not finished before the day of the quote. Null where the quote has no serial number or the log no such job.
 */
export function quotedJob(quote: QuoteDocument, jobs: readonly LaterJob[]): LaterJob | null {
  const { serial } = quote.asked;
  if (serial === null) return null;
  const from = dayNumber(quote.on) - COUNTER_DAYS;
  const [first] = jobs
    .filter(
      (job) =>
        job.pump_serial === serial &&
        dayNumber(job.received_on) >= from &&
        (job.finished_on === null || dayNumber(job.finished_on) >= dayNumber(quote.on)),
    )
    .toSorted((a, b) => a.received_on.localeCompare(b.received_on) || a.job_id.localeCompare(b.job_id));
  return first ?? null;
}

function compared(told: Told | null, took: number | null): Compared | null {
  const range = told === null ? null : spokenRange(told);
  if (told === null || range === null || took === null) return null;
  return { quoted: told.median, ...range, took, within: took >= range.low && took <= range.high };
}

const rateOf = ({ lines, currency }: QuoteDocument): number | null => {
  const labour = lines.find(({ kind }) => kind === 'labour');
  return labour === undefined ? null : fromMinor(labour.price, currency);
};

function overPrice(quote: QuoteDocument, job: LaterJob): number | null {
  const rate = rateOf(quote);
  if (rate === null || job.labour_hours === null || job.parts_cost === null || job.currency !== quote.currency)
    return null;
  const price = quote.price.kind === 'range' ? quote.price.high : sumsOf(quote).price;
  return job.labour_hours * rate + job.parts_cost - fromMinor(price, quote.currency);
}

/** A quote beside its job; null while the job is open, since hours still come to it. */
export function outcomeOf(quote: QuoteDocument, job: LaterJob): Outcome | null {
  if (job.finished_on === null) return null;
  const { hours, parts, days } = quote.told;
  return {
    job,
    hours: compared(hours, job.labour_hours),
    parts: compared(parts, job.currency === quote.currency ? job.parts_cost : null),
    days: compared(days, dayNumber(job.finished_on) - dayNumber(job.received_on)),
    over: overPrice(quote, job),
  };
}

export interface Held {
  /** Quotes whose job took what the range said, of those that can be compared. */
  readonly k: number;
  readonly n: number;
  /** Wilson interval of the share at 95 %; null where nothing can be compared. */
  readonly interval: { readonly low: number; readonly high: number } | null;
}

/** How many quotes held, by one of their figures. */
export function heldOf(outcomes: readonly Outcome[], figure: 'hours' | 'parts' | 'days'): Held {
  const told = outcomes.flatMap((outcome) => outcome[figure] ?? []);
  const k = told.filter(({ within }) => within).length;
  return { k, n: told.length, interval: told.length === 0 ? null : wilson(k, told.length) };
}
