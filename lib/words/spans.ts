import { count, NO_FIGURE } from './figures';

const HARD_SPACE = '\u00a0';

const tenths = (months: number): string => (months < 10 ? months.toFixed(1) : months.toFixed(0));

/** `28 months`, of a time in months. */
export const months = (time: number): string =>
  Number.isFinite(time) ? `${tenths(time)}${HARD_SPACE}months` : NO_FIGURE;

/** `27 to 30`, and `from 27` where the upper end lies beyond the longest watch. */
export const monthsRange = (low: number, high: number): string =>
  !Number.isFinite(low)
    ? 'not known'
    : Number.isFinite(high)
      ? `${tenths(low)} to ${tenths(high)}`
      : `from ${tenths(low)}`;

/** `12 to 40`, or the one number where both ends are written alike. */
export const countRange = (low: number, high: number): string =>
  count(low) === count(high) ? count(low) : `${count(low)} to ${count(high)}`;

/** Money as people there write it, with the code of its currency and no part of the unit. */
export function money(amount: number, currency: string | null, locale?: string): string {
  if (currency !== null) {
    try {
      const style = { style: 'currency', currency, currencyDisplay: 'code', maximumFractionDigits: 0 } as const;
      return new Intl.NumberFormat(locale, style).format(amount);
    } catch {
      // A code of the shop's own, or a slip: written as it stands.
    }
  }
  const figure = new Intl.NumberFormat(locale, { maximumFractionDigits: 0 }).format(amount);
  return currency === null ? `${figure}${HARD_SPACE}(no currency written)` : `${figure}${HARD_SPACE}${currency}`;
}

/** `EUR 1,200 to EUR 3,400`. */
export const moneyRange = (low: number, high: number, currency: string | null, locale?: string): string => {
  const [from, to] = [money(low, currency, locale), money(high, currency, locale)];
  return from === to ? from : `${from} to ${to}`;
};
