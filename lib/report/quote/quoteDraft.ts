import type { Asked, Estimate, Overrun, RangeSet } from '../../quote/types';
import { basisWords } from '../../words/quote';
import { QUOTE_VERSION, type QuoteDocument, type Told } from './quoteDocument';
import {
  fromMinor,
  inHundredths,
  MOST,
  shareOf,
  sheetSums,
  toMinor,
  type SheetLine,
  type SheetSums,
} from './quoteSheet';

/** From what the engine estimates to a quote that a person edits, and on to the document. Money is whole currency units while it is edited. */

export interface DraftLine {
  /** Tells lines apart while they are edited. */
  readonly key: number;
  readonly kind: SheetLine['kind'];
  readonly text: string;
  /** NaN while a field holds no number. */
  readonly quantity: number;
  /** Of one piece; of labour the rate counts. */
  readonly price: number;
}

export interface Draft {
  /** Null while they are those of the estimate. */
  readonly lines: readonly DraftLine[] | null;
  readonly number: string;
  readonly to: string;
  readonly kind: 'fixed' | 'range';
  /** The price before tax that was set; null for cost and margin. */
  readonly set: number | null;
  /** Of the upper end of a range. */
  readonly chance: number;
  readonly conditions: readonly string[];
  readonly remarks: string;
}

/** What is the same in most quotes of a shop. */
export interface ShopTerms {
  readonly marginPercent: number;
  readonly taxPercent: number;
  readonly validDays: number;
  readonly from: string;
}

export const FRESH: Draft = {
  ...{ lines: null, number: '', to: '', kind: 'fixed', set: null, chance: 0.1 },
  ...{ conditions: [], remarks: '' },
};

const tenth = (value: number): number => Math.round(value * 10) / 10;

/** The lines that the estimate makes: its middle hours, to a tenth, and its middle parts, to a whole unit. */
export function linesOf({ hours, parts }: Estimate): readonly DraftLine[] {
  const labour = { key: 1, kind: 'labour', text: 'Labour', quantity: tenth(hours.median ?? 0), price: 0 } as const;
  const fitted = { key: 2, kind: 'part', text: 'Parts', quantity: 1, price: Math.round(parts.median ?? 0) } as const;
  return [labour, fitted];
}

const within = (value: number, most: number): number =>
  Number.isFinite(value) ? Math.min(most, Math.max(0, value)) : 0;

/** The lines in minor units; a field without a number counts as 0. */
export const sheetLines = (lines: readonly DraftLine[], rate: number | null, currency: string): SheetLine[] =>
  lines.slice(0, MOST.lines).map(({ kind, text, quantity, price }) => ({
    kind,
    text,
    quantity: inHundredths(within(quantity, MOST.quantity)) / 100,
    price: Math.min(MOST.price, toMinor(within(kind === 'labour' ? (rate ?? 0) : price, MOST.price), currency)),
  }));

export function draftSums(
  { lines, kind, set }: Draft & { readonly lines: readonly DraftLine[] },
  { marginPercent, taxPercent }: ShopTerms,
  rate: number | null,
  currency: string,
): SheetSums {
  return sheetSums({
    lines: sheetLines(lines, rate, currency),
    marginPercent: within(marginPercent, MOST.marginPercent),
    taxPercent: within(taxPercent, MOST.taxPercent),
    setPrice: kind === 'fixed' && set !== null ? toMinor(within(set, MOST.price), currency) : null,
  });
}

/** A cost to the shop with the margin on top, in minor units. */
export function priceOfCost(cost: number, marginPercent: number, currency: string): number {
  const minor = toMinor(cost, currency);
  return minor + shareOf(minor, within(marginPercent, MOST.marginPercent));
}

/** What of an estimate goes into the document; null where nothing is told. */
export function toldOf(set: RangeSet): Told | null {
  if (set.median === null) return null;
  return {
    median: set.median,
    n: set.n,
    basis: basisWords(set).slice(0, 400),
    ranges: set.ranges.map(({ coverage, low, high }) => ({
      coverage,
      low: Math.max(0, low),
      high: Number.isFinite(high) ? high : null,
    })),
  };
}

export interface DraftedOf {
  readonly draft: Draft;
  readonly shop: ShopTerms;
  readonly estimate: Estimate;
  readonly serial: string | null;
  readonly rate: number | null;
  readonly on: string;
  /** Ends of a range in minor units, before tax; null where too few jobs tell. */
  readonly range: { readonly low: number; readonly high: number } | null;
  readonly overrun: Overrun | null;
}

const askedOf = (asked: Asked, serial: string | null): QuoteDocument['asked'] => ({
  model: asked.model,
  serial,
  work_type: asked.work,
  complaint: asked.complaint ?? null,
  engine_hours: asked.engineHours ?? null,
  branch: asked.branch ?? null,
  retention_deficit: asked.retentionDeficit ?? null,
  phase_error_deg: asked.phasingDeg ?? null,
  scatter_percent: asked.scatterPercent ?? null,
  leak_slope: asked.leakSlope ?? null,
});

function overrunOf(overrun: Overrun | null): QuoteDocument['overrun'] {
  if (overrun === null) return null;
  const { share, low, high, n } = overrun;
  return share === null || low === null || high === null || n < 1 ? null : { share, low, high, n };
}

/** The quote as it is kept and saved. A range that can't be told is a fixed price. */
export function documentOf({ draft, shop, estimate, serial, rate, on, range, overrun }: DraftedOf): QuoteDocument {
  const currency = estimate.choices.currency ?? '';
  const set = draft.set === null ? null : toMinor(within(draft.set, MOST.price), currency);
  return {
    shimbook_quote: QUOTE_VERSION,
    number: draft.number,
    on,
    valid_days: Math.round(Math.min(365, Math.max(1, shop.validDays))),
    from: shop.from,
    to: draft.to,
    asked: askedOf(estimate.asked, serial),
    currency,
    told: { hours: toldOf(estimate.hours), parts: toldOf(estimate.parts), days: toldOf(estimate.days) },
    lines: sheetLines(draft.lines ?? linesOf(estimate), rate, currency),
    margin_percent: within(shop.marginPercent, MOST.marginPercent),
    tax_percent: within(shop.taxPercent, MOST.taxPercent),
    price:
      draft.kind === 'range' && range !== null
        ? { kind: 'range', chance: draft.chance, ...range }
        : { kind: 'fixed', set: draft.kind === 'fixed' ? set : null },
    overrun: overrunOf(overrun),
    conditions: draft.conditions.map((each) => each.trim()).filter((each) => each !== ''),
    remarks: draft.remarks,
  };
}

/** A kept quote as it was edited, to go on with it. */
export function draftOf(quote: QuoteDocument): Draft {
  const { price, currency } = quote;
  return {
    lines: quote.lines.map((line, i) => ({ ...line, key: i + 1, price: fromMinor(line.price, currency) })),
    number: quote.number,
    to: quote.to,
    kind: price.kind,
    set: price.kind === 'fixed' && price.set !== null ? fromMinor(price.set, currency) : null,
    chance: price.kind === 'range' ? price.chance : FRESH.chance,
    conditions: quote.conditions,
    remarks: quote.remarks,
  };
}
