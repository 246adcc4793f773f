import { NO_FIGURE } from './figures';

/** Money and numbers as people where the reader lives write them: what a quote shows goes through here, and what is typed into it. */
export interface AmountWriter {
  /** An amount in whole units of its currency, with all its decimals: `EUR 1,234.50`. */
  readonly money: (amount: number, currency: string) => string;
  /** The same to whole units, for what is only an estimate: `EUR 1,230`. */
  readonly about: (amount: number, currency: string) => string;
  readonly number: (value: number, decimals?: number) => string;
  /** A figure as it stands in a field: no signs between thousands. */
  readonly field: (value: number, decimals?: number) => string;
  /** What was typed: NaN where it is no number, or could be two. */
  readonly read: (text: string) => number;
}

const HARD_SPACE = '\u00a0';
const GAPS = /[\s'’]/gu;

/** The sign between thousands, where it is a point or a comma. */
function groupSign(locale: string | undefined): ',' | '.' | null {
  const sign = new Intl.NumberFormat(locale).formatToParts(1_234_567).find(({ type }) => type === 'group')?.value;
  return sign === ',' || sign === '.' ? sign : null;
}

/** Thousands told apart by a sign: three digits stand after the last one, two or three between. */
const GROUPED = { ',': /^-?\d{1,3}(,\d{2,3})*,\d{3}(?!\d)/, '.': /^-?\d{1,3}(\.\d{2,3})*\.\d{3}(?!\d)/ } as const;

/**
 * A number as typed. Gaps are passed over, and the reader's own sign between thousands where it can be one; what point or comma is
 * left then is the decimal sign, whichever of the two.
 */
export function readNumber(text: string, locale?: string): number {
  const bare = text.trim().replace('−', '-').replace(GAPS, '');
  const sign = groupSign(locale);
  const plain = sign !== null && GROUPED[sign].test(bare) ? bare.replaceAll(sign, '') : bare;
  return /^-?(\d+([.,]\d*)?|[.,]\d+)$/.test(plain) ? Number(plain.replace(',', '.')) : NaN;
}

/** Writes as the locale does; the reader's own where none is named. */
export function amountsIn(locale?: string): AmountWriter {
  const number = (value: number, decimals = 0): string =>
    Number.isFinite(value)
      ? new Intl.NumberFormat(locale, { minimumFractionDigits: decimals, maximumFractionDigits: decimals }).format(
          value,
        )
      : NO_FIGURE;
  const money = (amount: number, currency: string, decimals: number | null): string => {
    if (!Number.isFinite(amount)) return NO_FIGURE;
    const fraction = decimals === null ? {} : { minimumFractionDigits: decimals, maximumFractionDigits: decimals };
    try {
      const style = { style: 'currency', currency, currencyDisplay: 'code', ...fraction } as const;
      return new Intl.NumberFormat(locale, style).format(amount);
    } catch {
      // A code of the shop's own, or none: written as it stands.
      const digits = number(amount, decimals ?? 2);
      return currency === '' ? digits : `${digits}${HARD_SPACE}${currency}`;
    }
  };
  return {
    number,
    money: (amount, currency) => money(amount, currency, null),
    about: (amount, currency) => money(amount, currency, 0),
    field: (value, decimals = 2) =>
      Number.isFinite(value)
        ? new Intl.NumberFormat(locale, { useGrouping: false, maximumFractionDigits: decimals }).format(value)
        : '',
    read: (text) => readNumber(text, locale),
  };
}
