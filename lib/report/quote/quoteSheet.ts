/**
 * The sums of a quote. Money is whole minor units (cents) throughout, so that every sum is exact and what is printed adds up. A
 * product (quantity times price, a sum times a percentage) is rounded once, half away from zero, to a whole minor unit; sums are
 * never rounded. Common practice, no source.
 */

export interface SheetLine {
  readonly kind: 'labour' | 'part' | 'allowance';
  readonly text: string;
  /** Hours, or pieces; two decimals count. */
  readonly quantity: number;
  /** Of one hour or piece [minor units]. */
  readonly price: number;
}

export interface SheetTerms {
  readonly lines: readonly SheetLine[];
  /** Put on top of the cost [%]; two decimals count. */
  readonly marginPercent: number;
  /** On the price [%]; two decimals count. */
  readonly taxPercent: number;
  /** The price before tax as the estimator set it [minor units]; null where it is cost and margin. */
  readonly setPrice: number | null;
}

/** All in minor units. */
export interface SheetSums {
  /** One a line, in their order. */
  readonly lines: readonly number[];
  /** What the lines add up to. */
  readonly cost: number;
  /** Price less cost: below 0 where the set price does not cover the cost. */
  readonly margin: number;
  /** Before tax. */
  readonly price: number;
  readonly tax: number;
  readonly total: number;
}

/** What a sheet can hold; within these no sum leaves the whole numbers that a computer keeps exactly. */
export const MOST = { lines: 50, quantity: 10_000, price: 1_000_000_000, marginPercent: 500, taxPercent: 50 } as const;

const HUNDREDTHS = 100;

/** a times b over `per`, rounded half away from zero; all whole, `per` above 0. */
function timesOver(a: number, b: number, per: number): number {
  const product = BigInt(a) * BigInt(b);
  const size = product < 0n ? -product : product;
  const rounded = (2n * size + BigInt(per)) / (2n * BigInt(per));
  return Number(product < 0n ? -rounded : rounded);
}

/**
 * A figure with two decimals as whole hundredths: 14.5 is 1450. What is nearer to a half than 1e-6 of a hundredth counts as the half, so
 * that 1.005 as typed is 101 and not 100 by what binary fractions leave out.
 */
export const inHundredths = (value: number): number =>
  Math.sign(value) * Math.floor(Math.abs(value) * HUNDREDTHS + 0.5 + 1e-6);

/** Quantity times price [minor units]. */
export const lineSum = ({ quantity, price }: Pick<SheetLine, 'quantity' | 'price'>): number =>
  timesOver(inHundredths(quantity), price, HUNDREDTHS);

/** A percentage of an amount [minor units]. */
export const shareOf = (amount: number, percent: number): number =>
  timesOver(amount, inHundredths(percent), HUNDREDTHS * HUNDREDTHS);

/** Lines, cost, margin, price, tax and total of a sheet. */
export function sheetSums({ lines, marginPercent, taxPercent, setPrice }: SheetTerms): SheetSums {
  const each = lines.map(lineSum);
  const cost = each.reduce((sum, line) => sum + line, 0);
  const price = setPrice ?? cost + shareOf(cost, marginPercent);
  const tax = shareOf(price, taxPercent);
  return { lines: each, cost, margin: price - cost, price, tax, total: price + tax };
}

/** A price with tax [minor units]. */
export const withTax = (price: number, taxPercent: number): number => price + shareOf(price, taxPercent);

/**
 * Lays the margin on the lines in proportion, so that a customer's sheet shows prices that add up to the price: the largest
 * remainder (Hamilton's method of apportionment). Each line is within one minor unit of its share. Where the cost is 0 the
 * first line takes all.
 *
 * @param lines sums at cost [minor units], none below 0
 * @param price what they are to add up to [minor units]
 */
export function linesAtPrice(lines: readonly number[], price: number): readonly number[] {
  const cost = lines.reduce((sum, line) => sum + line, 0);
  if (cost === 0) return lines.map((_, i) => (i === 0 ? price : 0));
  const parts = lines.map((line, place) => {
    const product = BigInt(line) * BigInt(price);
    return { place, whole: Number(product / BigInt(cost)), left: Number(product % BigInt(cost)) };
  });
  const missing = price - parts.reduce((sum, { whole }) => sum + whole, 0);
  const next = new Set(
    parts
      .toSorted((a, b) => b.left - a.left || a.place - b.place)
      .slice(0, missing)
      .map(({ place }) => place),
  );
  return parts.map(({ whole, place }) => whole + (next.has(place) ? 1 : 0));
}

/** How many decimals the currency has, by its code: 2 of EUR, 0 of JPY; 2 of a code that is none (ISO 4217, as the platform knows it). */
export function minorDigits(currency: string): number {
  try {
    const { maximumFractionDigits } = new Intl.NumberFormat('en', { style: 'currency', currency }).resolvedOptions();
    return maximumFractionDigits ?? 2;
  } catch {
    return 2;
  }
}

/** An amount in whole currency units as minor units, rounded half away from zero. */
export const toMinor = (amount: number, currency: string): number => {
  const scaled = Math.abs(amount) * 10 ** minorDigits(currency);
  return Math.sign(amount) * Math.floor(scaled + 0.5 + 1e-6);
};

export const fromMinor = (minor: number, currency: string): number => minor / 10 ** minorDigits(currency);
