/** Days and times of a workbook: numbers that count days, told from other numbers by the cell's format alone. */

/** What a format shows: a day (perhaps with a time), a time of day, a length of time, or none of them. */
export type Shown = 'day' | 'time' | 'length' | null;

/** Formats that a workbook names by number and does not write out (ECMA-376 part 1, 18.8.30). */
export function builtInShown(id: number): Shown {
  if (id >= 14 && id <= 17) return 'day';
  if (id >= 18 && id <= 21) return 'time';
  if (id === 22) return 'day';
  // Days and times of East Asian editions.
  if ((id >= 27 && id <= 31) || id === 36 || (id >= 50 && id <= 54) || id === 57 || id === 58) return 'day';
  if ((id >= 32 && id <= 35) || id === 55 || id === 56) return 'time';
  if (id === 45 || id === 47) return 'time';
  return id === 46 ? 'length' : null;
}

/** Words in quotes, letters after a backslash, room left for a letter, and fillers show themselves and no part of a date. */
const LITERAL = /"[^"]*"|\\.|_.|\*./g;
/** Spreadsheets take 255 letters; a longer one would be searched for brackets for hours. */
const LONGEST_FORMAT = 1000;
const LENGTH = /\[(h+|m+|s+)\]/i;

/** What a written-out format shows, such as `dd.mm.yyyy hh:mm`. */
export function shownBy(format: string): Shown {
  if (format.length > LONGEST_FORMAT) return null;
  const [positive = ''] = format.replace(LITERAL, '').split(';');
  if (LENGTH.test(positive)) return 'length';
  const letters = positive
    .replace(/\[[^\]]*\]/g, '')
    .replace(/am\/pm|a\/p|general/gi, '')
    .toLowerCase();
  if (/[yd]/.test(letters)) return 'day';
  if (/[hs]/.test(letters)) return 'time';
  return letters.includes('m') ? 'day' : null;
}

const DAY_MS = 86_400_000;
/** The day after 9999-12-31, the last that spreadsheets know. */
const BEYOND = 2_958_466;
const DAYS_TO_1904 = 1462;
/** The 29th of February that 1900 did not have and that spreadsheets count, as day 60. */
const NO_DAY = 60;

const two = (n: number): string => String(n).padStart(2, '0');

/**
 * The text of a number that a format shows as a day or a time; null where a spreadsheet would not show one either. Days are
 * yyyy-mm-dd, with hh:mm where the number is not a whole day, with seconds where there are any.
 *
 * @param since1904 whether day 0 is 1904-01-01; else day 1 is 1900-01-01
 */
export function dayText(serial: number, shown: Exclude<Shown, null>, since1904: boolean): string | null {
  if (!(serial >= 0 && serial < BEYOND - (since1904 ? DAYS_TO_1904 : 0))) return null;
  const whole = Math.floor(serial);
  const ms = Math.round((serial - whole) * DAY_MS);
  if (shown === 'length') return clock(whole * DAY_MS + ms);
  // What is left of a second after rounding may fill the day.
  const day = whole + Math.floor(ms / DAY_MS);
  const time = ms % DAY_MS;
  if (shown === 'time' && day === 0) return clock(time);
  const date = since1904 ? dateText(day + DAYS_TO_1904) : dateText(day);
  return time === 0 ? date : `${date} ${clock(time)}`;
}

function dateText(day: number): string {
  if (day === 0) return '1900-01-00';
  if (day === NO_DAY) return '1900-02-29';
  const sinceNewYear = day < NO_DAY ? day - 1 : day - 2;
  return new Date(Date.UTC(1900, 0, 1) + sinceNewYear * DAY_MS).toISOString().slice(0, 10);
}

function clock(ms: number): string {
  const seconds = Math.floor(ms / 1000);
  const minutes = Math.floor(seconds / 60);
  const shown = `${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;
  if (ms % 60_000 === 0) return shown;
  const part = ms % 1000 === 0 ? '' : `.${String(ms % 1000).padStart(3, '0')}`;
  return `${shown}:${two(seconds % 60)}${part}`;
}

const ISO = /^(\d{4}-\d{2}-\d{2})(?:T(\d{2}:\d{2})(?::(\d{2})(?:\.\d+)?)?)?Z?$/;

/** The text of a day that a workbook writes out (strict form); anything else as it is. */
export function isoText(written: string): string {
  const [, date, minutes = '00:00', seconds = '00'] = ISO.exec(written) ?? [];
  if (date === undefined) return written;
  const time = seconds === '00' ? minutes : `${minutes}:${seconds}`;
  return time === '00:00' ? date : `${date} ${time}`;
}
