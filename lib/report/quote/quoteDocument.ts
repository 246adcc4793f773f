import { z } from 'zod';
import { MOST, sheetSums, type SheetSums } from './quoteSheet';

/** A quote as it is kept and saved: what was asked, what the shop's past told of it, the lines and the terms. Money is minor units. */

export const QUOTE_VERSION = 1;
export const MOST_LETTERS = { line: 120, condition: 300, address: 400, remarks: 4000 } as const;
export const MOST_CONDITIONS = 20;

const text = (most: number) => z.string().max(most);
const day = z.iso.date();
const money = z.int().min(0).max(1e15);
const figure = z.number().min(0).max(1e12);

const askedSchema = z.object({
  model: text(60).min(1),
  serial: text(60).nullable(),
  work_type: text(60).min(1),
  complaint: text(200).nullable(),
  engine_hours: figure.nullable(),
  branch: text(60).nullable(),
  /** As received, in the log's units: retention deficit (1 less retention over baseline), largest phase error [° cam],
   * scatter [%], leak slope [mm³/stroke × rpm]. */
  retention_deficit: z.number().nullable(),
  phase_error_deg: figure.nullable(),
  scatter_percent: figure.nullable(),
  leak_slope: z.number().nullable(),
});

const range = z.object({
  /** Share of jobs that it is to hold, 0 to 1. */
  coverage: z.number().gt(0).lt(1),
  low: figure,
  /** Null where too few jobs tell how high it goes. */
  high: figure.nullable(),
});

const toldSchema = z.object({
  median: figure,
  ranges: z.array(range).max(10),
  n: z.int().min(0),
  /** Which past jobs it rests on, in words. */
  basis: text(400),
});
export type Told = z.infer<typeof toldSchema>;

const lineSchema = z.object({
  kind: z.enum(['labour', 'part', 'allowance']),
  text: text(MOST_LETTERS.line),
  quantity: z.number().min(0).max(MOST.quantity),
  price: z.int().min(0).max(MOST.price),
});

const priceSchema = z.discriminatedUnion('kind', [
  /** One price; `set` is what the estimator wrote in the place of cost and margin, before tax. */
  z.object({ kind: z.literal('fixed'), set: money.nullable() }),
  /** From low to high, before tax: of similar jobs a share `chance` would go beyond the upper end. */
  z.object({ kind: z.literal('range'), chance: z.number().gt(0).lt(1), low: money, high: money }),
]);

export const quoteDocumentSchema = z.object({
  shimbook_quote: z.literal(QUOTE_VERSION),
  /** The shop's own mark on it; empty where it has none. */
  number: text(40),
  on: day,
  valid_days: z.int().min(1).max(365),
  from: text(MOST_LETTERS.address),
  to: text(MOST_LETTERS.address),
  asked: askedSchema,
  currency: text(10),
  told: z.object({ hours: toldSchema.nullable(), parts: toldSchema.nullable(), days: toldSchema.nullable() }),
  lines: z.array(lineSchema).max(MOST.lines),
  margin_percent: z.number().min(0).max(MOST.marginPercent),
  tax_percent: z.number().min(0).max(MOST.taxPercent),
  price: priceSchema,
  /** At the price before tax (of a range, its upper end): the share of similar jobs that would have cost the shop more. */
  overrun: z
    .object({
      share: z.number().min(0).max(1),
      low: z.number().min(0).max(1),
      high: z.number().min(0).max(1),
      n: z.int().min(1),
    })
    .nullable(),
  conditions: z.array(text(MOST_LETTERS.condition).min(1)).max(MOST_CONDITIONS),
  remarks: text(MOST_LETTERS.remarks),
});
export type QuoteDocument = z.infer<typeof quoteDocumentSchema>;

/** The sums of a quote; of a range those of its lines. */
export const sumsOf = ({ lines, margin_percent, tax_percent, price }: QuoteDocument): SheetSums =>
  sheetSums({
    lines,
    marginPercent: margin_percent,
    taxPercent: tax_percent,
    setPrice: price.kind === 'fixed' ? price.set : null,
  });

/** The last day on which a quote holds: a quote of 1 day holds on its own day. */
export function validUntil({ on, valid_days }: Pick<QuoteDocument, 'on' | 'valid_days'>): string {
  const last = new Date(`${on}T00:00:00Z`);
  last.setUTCDate(last.getUTCDate() + valid_days - 1);
  return last.toISOString().slice(0, 10);
}

export type ReadQuote =
  { readonly ok: true; readonly quote: QuoteDocument } | { readonly ok: false; readonly reason: string };

/** A quote out of a saved file or out of what is kept. */
export function readQuote(held: unknown): ReadQuote {
  const read = quoteDocumentSchema.safeParse(held);
  if (read.success) return { ok: true, quote: read.data };
  const version = z.object({ shimbook_quote: z.number() }).safeParse(held);
  if (!version.success) return { ok: false, reason: 'This is no quote of Shimbook.' };
  if (version.data.shimbook_quote !== QUOTE_VERSION)
    return { ok: false, reason: `This quote is of another version (${version.data.shimbook_quote}).` };
  const [issue] = read.error.issues;
  return { ok: false, reason: `This quote is damaged at ${issue?.path.join('.') ?? 'an unknown place'}.` };
}

/** As saved: the same quote gives the same text. */
export const quoteJson = (quote: QuoteDocument): string =>
  `${JSON.stringify(quoteDocumentSchema.parse(quote), null, 2)}\n`;
