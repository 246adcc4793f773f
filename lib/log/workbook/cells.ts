import { dayText, isoText, type Shown } from './dates';

/** From what a workbook holds in a cell to the text that the log reads. */

export interface BookFacts {
  readonly texts: readonly string[];
  readonly shown: readonly Shown[];
  readonly since1904: boolean;
}

export interface RawCell {
  /** `s` a text by number, `str` and `inlineStr` a text, `b` yes or no, `e` an error, `d` a day, `n` a number. */
  readonly type: string;
  readonly style: string | undefined;
  readonly value: string;
}

/** The text of a cell; null where it names a text that the workbook does not hold. */
export function cellText({ type, style, value }: RawCell, book: BookFacts): string | null {
  if (value === '' && type !== 'inlineStr') return '';
  switch (type) {
    case 's':
      return /^\d+$/.test(value.trim()) ? (book.texts[Number(value)] ?? null) : null;
    case 'str':
    case 'inlineStr':
      return unescaped(value);
    case 'b':
      return value.trim() === '1' || value.trim() === 'true' ? 'yes' : 'no';
    case 'd':
      return isoText(value.trim());
    case 'e':
      return value;
    default: {
      const number = Number(value);
      if (value.trim() === '' || !Number.isFinite(number)) return value;
      const shown = book.shown[Number(style ?? '0')] ?? null;
      return (shown === null ? null : dayText(number, shown, book.since1904)) ?? numberText(number);
    }
  }
}

/** Beyond so many noughts a number is left with its power of ten, which the log reads as well. */
const MOST_NOUGHTS = 30;

/** The shortest decimal that is the same number. */
export function numberText(number: number): string {
  const text = String(number === 0 ? 0 : number);
  const [, sign = '', first = '', rest = '', power = ''] = /^(-?)(\d)(?:\.(\d+))?e([+-]\d+)$/.exec(text) ?? [];
  const exponent = Number(power);
  if (power === '' || Math.abs(exponent) > MOST_NOUGHTS) return text;
  const digits = first + rest;
  return exponent < 0 ? `${sign}0.${'0'.repeat(-exponent - 1)}${digits}` : `${sign}${digits.padEnd(exponent + 1, '0')}`;
}

const FIRST_PRINTED = 0x20;
const isSafe = (code: number): boolean =>
  (code >= FIRST_PRINTED && (code < 0xd800 || code > 0xdfff)) || code === 0x9 || code === 0xa || code === 0xd;

/** Workbooks write letters that XML can't hold as _x000D_; those that no text can hold stay written so. */
export const unescaped = (text: string): string =>
  text.includes('_x')
    ? text.replace(/_x([0-9A-Fa-f]{4})_/g, (written, hex: string) => {
        const code = Number.parseInt(hex, 16);
        return isSafe(code) ? String.fromCharCode(code) : written;
      })
    : text;
