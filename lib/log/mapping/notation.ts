/** How numbers and days are written in a sheet, and how they are written in the log. */

export const decimalSigns = ['point', 'comma'] as const;
export type DecimalSign = (typeof decimalSigns)[number];
export const thousandsMarks = ['none', 'point', 'comma', 'space', 'apostrophe'] as const;
export type ThousandsMark = (typeof thousandsMarks)[number];
export const dateOrders = ['iso', 'dmy', 'mdy'] as const;
export type DateOrder = (typeof dateOrders)[number];

export interface NumberNotation {
  readonly decimal: DecimalSign;
  readonly thousands: ThousandsMark;
}

const marks: Readonly<Record<Exclude<ThousandsMark, 'none'>, string>> = {
  point: '\\.',
  comma: ',',
  // Plain, no-break and narrow no-break space.
  space: '[ \\u00a0\\u202f]',
  apostrophe: "['\\u2019]",
};

function numberPattern({ decimal, thousands }: NumberNotation): RegExp {
  const sign = decimal === 'comma' ? ',' : '\\.';
  const grouped = thousands === 'none' ? '' : `|\\d{1,3}(?:${marks[thousands]}\\d{3})+`;
  return new RegExp(`^([+-]?)(\\d+${grouped})?(?:${sign}(\\d*))?(e[+-]?\\d{1,3})?$`, 'i');
}

const patterns = new Map<string, RegExp>();
function patternOf(notation: NumberNotation): RegExp {
  const name = `${notation.decimal} ${notation.thousands}`;
  const pattern = patterns.get(name) ?? numberPattern(notation);
  patterns.set(name, pattern);
  return pattern;
}

/** Longer than any number; a longer cell is not looked at. */
const LONGEST_NUMBER = 64;

/** A number of the sheet written as the log writes it (12.50), figure by figure; null where it is not a number of that notation. */
export function plainNumber(cell: string, notation: NumberNotation): string | null {
  if (cell.length > LONGEST_NUMBER) return null;
  const found = patternOf(notation).exec(cell.trim().replace('\u2212', '-'));
  if (found === null) return null;
  const [, sign = '', whole = '', part = '', power = ''] = found;
  if (whole === '' && part === '') return null;
  const digits = whole.replace(/\D/g, '') || '0';
  return `${sign === '-' ? '-' : ''}${digits}${part === '' ? '' : `.${part}`}${power}`;
}

const ANGLE = /^([+-]?)(\d+)\s*[°º]\s*([^'′’\s]+)\s*['′’](?:\s*([^"″”\s]+)\s*(?:["″”]|''))?$/;

/** Degrees out of a cell with minutes, perhaps seconds, of arc behind them, as in 89° 45' 30"; null where it is none. */
export function plainAngle(cell: string, notation: NumberNotation): number | null {
  if (cell.length > LONGEST_NUMBER) return null;
  const [, sign = '', degrees, minutes = '', seconds = '0'] = ANGLE.exec(cell.trim().replace('\u2212', '-')) ?? [];
  if (degrees === undefined) return null;
  const parts = [minutes, seconds].map((part) => Number(plainNumber(part, notation) ?? NaN));
  const [m = NaN, s = NaN] = parts;
  if (!(m >= 0 && m < 60 && s >= 0 && s < 60)) return null;
  return (sign === '-' ? -1 : 1) * (Number(degrees) + m / 60 + s / 3600);
}

/** Whether the log itself might take a text for a number; two plain looks, so that a long cell costs no more than its length. */
const looksPlain = (cell: string): boolean => /\d/.test(cell) && !/[^\d+\-._e\s]/i.test(cell);

/**
 * A cell that is not a number in the sheet's notation or could not be brought to the log's unit, as the log is to see it: its own
 * text. Where the log would read that text as a number all the same (12.5 in a sheet of decimal commas, an inch never
 * converted), a mark is added, so that the row is set aside instead of read wrong.
 */
export const notConverted = (cell: string): string => (looksPlain(cell) ? `${cell} [as written]` : cell);

const DAY = /^(\d{1,4})([./-])(\d{1,2})\2(\d{1,4})(?:[T ]+(.*))?$/;
const TIME = /^(\d{1,2}):(\d{2})(?::(\d{2})(?:\.\d+)?)?(?: ?([ap])\.?m\.?)?$/i;

/** Years of two figures as POSIX strptime reads them: 69 to 99 are 1969 to 1999, 00 to 68 are 2000 to 2068. */
const fullYear = (year: string): string => (year.length === 2 ? `${Number(year) >= 69 ? '19' : '20'}${year}` : year);

const two = (part: string): string => part.padStart(2, '0');

function isoDay(year: string, month: string, day: string): string | null {
  if (year.length !== 4) return null;
  const text = `${year}-${two(month)}-${two(day)}`;
  const at = new Date(`${text}T00:00:00Z`);
  return Number.isNaN(at.getTime()) || at.toISOString().slice(0, 10) !== text ? null : text;
}

function isoTime(text: string): string | null {
  const found = TIME.exec(text.trim());
  if (found === null) return null;
  const [, hour = '', minute = '', second = '', half = ''] = found;
  const noon = half === '' ? Number(hour) : (Number(hour) % 12) + (half.toLowerCase() === 'p' ? 12 : 0);
  if (
    noon > 23 ||
    Number(minute) > 59 ||
    Number(second) > 59 ||
    (half !== '' && (Number(hour) < 1 || Number(hour) > 12))
  )
    return null;
  return `${two(String(noon))}:${minute}${second === '' ? '' : `:${second}`}`;
}

/** A sheet's day, with or without a time, taken apart in the given order; null where it is no such day. */
function dayAndTime(cell: string, order: DateOrder): { day: string; time: string | null } | null {
  if (cell.length > LONGEST_NUMBER) return null;
  const found = DAY.exec(cell.trim());
  if (found === null) return null;
  const [, first = '', , middle = '', last = '', rest = ''] = found;
  // A year of four figures in front can be one order only, whatever the rest of the sheet says.
  const yearFirst = first.length === 4;
  if (order === 'iso' && !yearFirst) return null;
  const day = yearFirst
    ? isoDay(first, middle, last)
    : order === 'dmy'
      ? isoDay(fullYear(last), middle, first)
      : isoDay(fullYear(last), first, middle);
  if (day === null) return null;
  if (rest.trim() === '') return { day, time: null };
  const time = isoTime(rest);
  return time === null ? null : { day, time };
}

/** A day as yyyy-mm-dd; midnight, which spreadsheets add, is left out. Null where it is no day, or has another time. */
export function plainDay(cell: string, order: DateOrder): string | null {
  const found = dayAndTime(cell, order);
  if (found === null || (found.time !== null && !/^00:00(:00)?$/.test(found.time))) return null;
  return found.day;
}

/** A day and time as yyyy-mm-dd hh:mm(:ss); null where either is missing. */
export function plainMoment(cell: string, order: DateOrder): string | null {
  const found = dayAndTime(cell, order);
  return found?.time == null ? null : `${found.day} ${found.time}`;
}
