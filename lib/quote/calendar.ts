/** Days counted from 1970-01-01. */

const DAY_MS = 86_400_000;
export const DAYS_A_YEAR = 365.25;

/** yyyy-mm-dd as a day number; NaN where it is none. */
export const dayOf = (text: string): number => (/^\d{4}-\d\d-\d\d$/.test(text) ? Date.parse(text) / DAY_MS : NaN);

/** A day number as yyyy-mm-dd; empty where it is none. */
export const textOf = (day: number): string =>
  Number.isFinite(day) ? new Date(day * DAY_MS).toISOString().slice(0, 10) : '';

export const yearOf = (day: number): number => new Date(day * DAY_MS).getUTCFullYear();

/** First day of the month that a day lies in. */
export function monthOf(day: number): number {
  const date = new Date(day * DAY_MS);
  return Date.UTC(date.getUTCFullYear(), date.getUTCMonth(), 1) / DAY_MS;
}
