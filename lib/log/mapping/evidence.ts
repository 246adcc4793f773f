import { delimiters, markedEncoding, parseRows, type Delimiter, type Encoding } from './read';
import type { DateOrder, DecimalSign, ThousandsMark } from './notation';

/** What the sheet itself tells of how it is written. What can't be told is left open, with the reason. */

/** `sure`: nothing else fits; `likely`: it fits, and little speaks against it; `unsure`: to be looked at; `open`: to be decided. */
export type Confidence = 'sure' | 'likely' | 'unsure' | 'open';

export interface Guess<T> {
  /** Null where the sheet does not tell. */
  readonly value: T | null;
  readonly confidence: Confidence;
  readonly why: string;
}

const guess = <T>(value: T | null, confidence: Confidence, why: string): Guess<T> => ({ value, confidence, why });

const readsAs = (bytes: Uint8Array, encoding: Encoding): boolean => {
  try {
    // A piece may end within a letter, which is no fault.
    new TextDecoder(encoding, { fatal: true }).decode(bytes, { stream: true });
    return true;
  } catch {
    return false;
  }
};

/** The encoding of the first bytes of a sheet. */
export function guessEncoding(bytes: Uint8Array): Guess<Encoding> {
  const marked = markedEncoding(bytes);
  if (marked !== null) return guess(marked, 'sure', 'The file begins with its mark.');
  const zeros = [0, 0];
  bytes.forEach((byte, i) => {
    if (byte === 0) zeros[i % 2] = (zeros[i % 2] ?? 0) + 1;
  });
  const [even = 0, odd = 0] = zeros;
  if (odd > bytes.length / 5 && even < odd / 10) return guess('utf-16le', 'likely', 'Every second byte is empty.');
  if (even > bytes.length / 5 && odd < even / 10) return guess('utf-16be', 'likely', 'Every other byte is empty.');
  if (!readsAs(bytes, 'utf-8')) {
    return guess('windows-1252', 'unsure', 'It is not UTF-8; look whether the letters with accents are right.');
  }
  return bytes.some((byte) => byte > 0x7f)
    ? guess('utf-8', 'sure', 'Its letters with accents read as UTF-8.')
    : guess('utf-8', 'likely', 'It has plain letters only, which are the same in most encodings.');
}

const delimiterNames: Readonly<Record<Delimiter, string>> = {
  ',': 'commas',
  ';': 'semicolons',
  '\t': 'tabs',
  '|': 'upright strokes',
  '~': 'tildes',
};

interface Parted {
  readonly mark: Delimiter;
  /** Cells that most rows have, where that is more than one. */
  readonly cells: number;
  /** Rows above the first of them: titles, or headers that another mark parts. */
  readonly above: number;
  /** Of the rows from there on, the share that has as many. */
  readonly share: number;
}

function partedBy(text: string, mark: Delimiter): Parted {
  const read = parseRows(text, mark);
  const lengths = (read.ok ? read.rows : [])
    .filter((row) => row.some((cell) => cell.trim() !== ''))
    .slice(0, 50)
    .map((row) => row.length);
  const times = new Map<number, number>();
  for (const length of lengths) if (length > 1) times.set(length, (times.get(length) ?? 0) + 1);
  const [[cells] = [0]] = [...times].sort((a, b) => b[1] - a[1]);
  const above = Math.max(0, lengths.indexOf(cells));
  const rows = lengths.slice(above);
  const share = rows.length === 0 ? 0 : rows.filter((length) => length === cells).length / rows.length;
  return { mark, cells, above, share };
}

/** What parts the cells: the mark that gives as many cells to all rows below the titles, and begins highest up; then most cells. */
export function guessDelimiter(text: string): Guess<Delimiter> {
  const scored = delimiters.map((mark) => partedBy(text, mark)).filter(({ cells }) => cells > 1);
  const fit = scored.filter(({ share }) => share === 1).sort((a, b) => a.above - b.above || b.cells - a.cells);
  const [best, next] = fit;
  if (best !== undefined) {
    const why = `Parted by ${delimiterNames[best.mark]} every row has ${best.cells} cells.`;
    return guess(best.mark, next === undefined || next.above > best.above ? 'sure' : 'likely', why);
  }
  const [most] = [...scored].sort((a, b) => b.share * b.cells - a.share * a.cells);
  return most === undefined
    ? guess<Delimiter>(null, 'open', 'No mark parts the first row into cells.')
    : guess(
        most.mark,
        'unsure',
        `Parted by ${delimiterNames[most.mark]} not every row has as many cells as the others.`,
      );
}

export interface Notation {
  readonly decimal: DecimalSign;
  readonly thousands: ThousandsMark;
}

const escaped = { point: '\\.', comma: ',' } as const;
const other = { point: 'comma', comma: 'point' } as const;

/** Cells that are numbers with this decimal sign and can't be numbers in thousands marked by it. */
function onlyWith(sign: DecimalSign, cells: readonly string[]): string | undefined {
  const s = escaped[sign];
  const o = escaped[other[sign]];
  // Other than three figures after it; or a nought or four figures before it; or thousands marked by the other sign.
  const tells = new RegExp(
    `^-?(\\d*${s}(\\d{1,2}|\\d{4,})|0*${s}\\d+|\\d{4,}${s}\\d+|\\d{1,3}([${o} '\\u00a0\\u202f]\\d{3})+${s}\\d+)$`,
  );
  return cells.find((cell) => tells.test(cell));
}

/** The decimal sign and thousands mark of a sheet's cells of numbers. */
export function guessNotation(written: readonly string[]): Guess<Notation> {
  const cells = written
    .map((cell) => cell.trim())
    .filter((cell) => cell.length <= 40 && /^-?[\d.,' \u00a0\u202f]+$/.test(cell));
  const point = onlyWith('point', cells);
  const comma = onlyWith('comma', cells);
  if (point !== undefined && comma !== undefined) {
    return guess<Notation>(null, 'open', `Both signs stand for decimals: ${point} and ${comma}.`);
  }
  const decimal = point !== undefined ? 'point' : comma !== undefined ? 'comma' : null;
  const either = cells.find((cell) => /^-?\d{1,3}([.,]\d{3})+$/.test(cell));
  if (decimal === null) {
    return either === undefined
      ? guess({ decimal: 'point', thousands: 'none' }, 'likely', 'The first rows have whole numbers only.')
      : guess<Notation>(
          null,
          'open',
          `${either} may have a decimal sign or a thousands mark, and no number tells which.`,
        );
  }
  const thousands = thousandsIn(cells, decimal);
  return guess(
    { decimal, thousands },
    'sure',
    `${point ?? comma ?? ''} has a decimal ${decimal}${thousands === 'none' ? '' : `; thousands are marked by ${thousands}`}.`,
  );
}

function thousandsIn(cells: readonly string[], decimal: DecimalSign): ThousandsMark {
  const s = escaped[decimal];
  const marks: readonly (readonly [ThousandsMark, string])[] = [
    [other[decimal], escaped[other[decimal]]],
    ['space', '[ \\u00a0\\u202f]'],
    ['apostrophe', "'"],
  ];
  const found = marks.find(([, mark]) => {
    const grouped = new RegExp(`^-?\\d{1,3}(${mark}\\d{3})+(${s}\\d*)?$`);
    return cells.some((cell) => grouped.test(cell));
  });
  return found?.[0] ?? 'none';
}

const DAY = /^(\d{1,4})[./-](\d{1,2})[./-](\d{1,4})\b/;

/** The order of day, month and year: told by a part above 12, never by habit. */
export function guessDates(written: readonly string[]): Guess<DateOrder> {
  const days = written.flatMap((cell) => {
    const found = DAY.exec(cell.trim());
    return found === null
      ? []
      : [{ cell: cell.trim(), first: found[1] ?? '', second: found[2] ?? '', last: found[3] ?? '' }];
  });
  const [some] = days;
  if (some === undefined) return guess('iso', 'likely', 'The first rows hold no days.');
  const short = days.filter(({ first }) => first.length < 4);
  if (short.length === 0) return guess('iso', 'sure', `${some.cell} begins with the year.`);
  const dayFirst = short.find(({ first }) => Number(first) > 12);
  const monthFirst = short.find(({ second }) => Number(second) > 12);
  if (dayFirst !== undefined && monthFirst !== undefined) {
    return guess<DateOrder>(null, 'open', `${dayFirst.cell} begins with the day, ${monthFirst.cell} with the month.`);
  }
  if (dayFirst !== undefined) {
    // 24-03-04 may have a year of two figures in front; only a last part that is a year beyond doubt rules that out.
    return short.some(({ last }) => last.length === 4 || Number(last) > 31)
      ? guess('dmy', 'sure', `${dayFirst.cell} can only begin with the day.`)
      : guess<DateOrder>(null, 'open', `${dayFirst.cell} may begin with the day, or with a year of two figures.`);
  }
  if (monthFirst !== undefined) return guess('mdy', 'sure', `${monthFirst.cell} can only begin with the month.`);
  return guess<DateOrder>(
    null,
    'open',
    `${short[0]?.cell ?? ''} may begin with the day or the month: no part in either place is above 12 in the rows looked at.`,
  );
}
