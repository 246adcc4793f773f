import type { AmountWriter } from '../../words/amounts';
import { count, counted, day } from '../../words/figures';
import { sumsOf, validUntil, type QuoteDocument, type Told } from './quoteDocument';
import { fromMinor, linesAtPrice, withTax } from './quoteSheet';

/**
 * What a customer's sheet says, as plain texts: the screen draws it and the saved file is written of it. Neither cost nor margin
 * stands on it: the lines carry the margin and add up to the price.
 */
export interface QuoteFace {
  readonly title: string;
  readonly from: readonly string[];
  readonly to: readonly string[];
  readonly facts: readonly (readonly [name: string, value: string])[];
  readonly lines: readonly { readonly text: string; readonly quantity: string; readonly amount: string }[];
  readonly sums: readonly { readonly name: string; readonly amount: string; readonly strong: boolean }[];
  /** How sure the figures are. */
  readonly expected: readonly string[];
  readonly conditions: readonly string[];
  readonly remarks: readonly string[];
  /** What this paper is and what it is not. */
  readonly scope: readonly string[];
}

/** `8 of 10 such jobs`, of 0.8. */
export function shareWords(share: number, of = 'such jobs'): string {
  for (const all of [10, 20, 100]) {
    const some = share * all;
    if (Math.abs(some - Math.round(some)) < 1e-9) return `${Math.round(some)} of ${all} ${of}`;
  }
  return `${(100 * share).toFixed(1)}\u00a0% of ${of}`;
}

/** The coverage that sheets and calibration speak of. */
export const SPOKEN = 0.8;
export const spokenRange = (told: Told): { readonly low: number; readonly high: number } | null => {
  const range = told.ranges.find(({ coverage }) => Math.abs(coverage - SPOKEN) < 1e-9);
  return range === undefined || range.high === null ? null : { low: range.low, high: range.high };
};

const lines = (text: string): readonly string[] =>
  text
    .split(/\r?\n/)
    .map((line) => line.trim())
    .filter((line) => line !== '');

function expectedOf({ told }: QuoteDocument, write: AmountWriter): string[] {
  const said: string[] = [];
  const hours = told.hours === null ? null : spokenRange(told.hours);
  if (told.hours !== null && hours !== null)
    said.push(
      `Labour: about ${write.number(told.hours.median, 1)} h. ${shareWords(SPOKEN)} took ${write.number(hours.low, 1)} to ${write.number(hours.high, 1)} h (from ${counted(told.hours.n, 'job')}).`,
    );
  const days = told.days === null ? null : spokenRange(told.days);
  if (told.days !== null && days !== null)
    said.push(
      `Ready after about ${counted(Math.round(told.days.median), 'day')}. ${shareWords(SPOKEN)} took ${count(days.low)} to ${counted(Math.round(days.high), 'day')} (from ${counted(told.days.n, 'job')}).`,
    );
  return said;
}

const quantityOf = (kind: string, quantity: number, write: AmountWriter): string => {
  if (kind === 'allowance') return '';
  return kind === 'labour' ? `${write.field(quantity)}\u00a0h` : write.number(quantity, quantity % 1 === 0 ? 0 : 2);
};

function sumLines(quote: QuoteDocument, write: AmountWriter): QuoteFace['sums'] {
  const sums = sumsOf(quote);
  const money = (minor: number): string => write.money(fromMinor(minor, quote.currency), quote.currency);
  const tax = `${write.number(quote.tax_percent, quote.tax_percent % 1 === 0 ? 0 : 2)}\u00a0%`;
  const { price } = quote;
  if (price.kind === 'range') {
    const [low, high] = [withTax(price.low, quote.tax_percent), withTax(price.high, quote.tax_percent)];
    return [
      { name: 'Expected before tax', amount: money(sums.price), strong: false },
      { name: 'Price before tax', amount: `${money(price.low)} to ${money(price.high)}`, strong: false },
      { name: `Price with ${tax} tax`, amount: `${money(low)} to ${money(high)}`, strong: true },
    ];
  }
  return [
    { name: 'Price before tax', amount: money(sums.price), strong: false },
    { name: `Tax, ${tax}`, amount: money(sums.tax), strong: false },
    { name: 'Price with tax', amount: money(sums.total), strong: true },
  ];
}

const priceWords = ({ price }: QuoteDocument): string[] =>
  price.kind === 'fixed'
    ? ['The price is fixed for the work named here.']
    : [
        `The work is charged as it turns out, within this range. About ${shareWords(price.chance)} would go beyond its upper end: then you are asked before work goes on.`,
      ];

/** The sheet of a quote in the words and figures of the reader's place. */
export function quoteFace(quote: QuoteDocument, write: AmountWriter): QuoteFace {
  const { asked, number, on } = quote;
  const sums = sumsOf(quote);
  const atPrice = linesAtPrice(sums.lines, sums.price);
  const facts: (readonly [string, string | null])[] = [
    ['Pump', asked.model],
    ['Serial number', asked.serial],
    ['Work', asked.work_type],
    ['Complaint', asked.complaint],
    ['Engine hours', asked.engine_hours === null ? null : write.number(asked.engine_hours)],
    ['Branch', asked.branch],
    ['Day of the quote', day(on)],
    ['Valid until', day(validUntil(quote))],
  ];
  return {
    title: number === '' ? 'Quote' : `Quote ${number}`,
    from: lines(quote.from),
    to: lines(quote.to),
    facts: facts.flatMap(([name, value]) => (value === null || value === '' ? [] : [[name, value] as const])),
    lines: quote.lines.map(({ kind, text, quantity }, i) => ({
      text,
      quantity: quantityOf(kind, quantity, write),
      amount: write.money(fromMinor(atPrice[i] ?? 0, quote.currency), quote.currency),
    })),
    sums: sumLines(quote, write),
    expected: [...priceWords(quote), ...expectedOf(quote, write)],
    conditions: quote.conditions,
    remarks: lines(quote.remarks),
    scope: [
      "This is an estimate from the shop's own past jobs. It is not an offer of the pump's maker.",
      "The pump maker's current test specification, local codes and the licensed practitioner decide what the pump needs.",
    ],
  };
}
