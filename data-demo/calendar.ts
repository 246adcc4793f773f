/** Days are counted from the shop's first, 2018-01-01. */
const FIRST = Date.UTC(2018, 0, 1);
const DAY_MS = 86_400_000;
const written = new Map<number, string>();

/** The day as yyyy-mm-dd. */
export function iso(day: number): string {
  const known = written.get(day);
  if (known !== undefined) return known;
  const text = new Date(FIRST + day * DAY_MS).toISOString().slice(0, 10);
  written.set(day, text);
  return text;
}

export const dayOf = (text: string): number => Math.round((Date.parse(`${text}T00:00:00Z`) - FIRST) / DAY_MS);

export const LAST_DAY = dayOf('2025-12-31');
export const DAYS = LAST_DAY + 1;
export const LATEST_YEAR_STARTS = dayOf('2025-01-01');

/** Day 0 was a Monday; Saturdays and Sundays move on to Monday. */
export const workday = (day: number): number => (day % 7 === 5 ? day + 2 : day % 7 === 6 ? day + 1 : day);

/** -1 in mid January, +1 in mid July. */
export const warmth = (day: number): number => -Math.cos((2 * Math.PI * (day - 15)) / 365.25);

/** `minutes` after eight in the morning of that day, as yyyy-mm-dd hh:mm. */
export function clock(day: number, minutes: number): string {
  const at = 480 + Math.min(Math.round(minutes), 900);
  const two = (n: number) => String(n).padStart(2, '0');
  return `${iso(day)} ${two(Math.floor(at / 60))}:${two(at % 60)}`;
}
