import { z } from 'zod';

/**
 * Quotes that a person kept. What one says is checked when it is opened (lib/report/quoteDocument), so that one that a later version
 * can't read costs itself and not the list.
 */

/** A longer one was not made here. */
const MOST_QUOTE_LETTERS = 100_000;
const MOST_QUOTES = 2_000;

const document = z
  .unknown()
  .refine((held) => typeof held === 'object' && held !== null, { message: 'no quote' })
  .refine((held) => JSON.stringify(held).length <= MOST_QUOTE_LETTERS, { message: 'too long' });

export const quotesSchema = z
  .array(z.object({ no: z.int().min(1), document }))
  .max(MOST_QUOTES)
  .refine((quotes) => new Set(quotes.map(({ no }) => no)).size === quotes.length, { message: 'a number stands twice' });
export type KeptQuote = z.infer<typeof quotesSchema>[number];

/** The quotes with one more, which gets the next number; null where no more can be kept. */
export const withQuote = (quotes: readonly KeptQuote[], added: unknown): readonly KeptQuote[] | null =>
  quotesSchema.safeParse([...quotes, { no: Math.max(0, ...quotes.map(({ no }) => no)) + 1, document: added }]).data ??
  null;

export const withoutQuote = (quotes: readonly KeptQuote[], no: number): readonly KeptQuote[] =>
  quotes.filter((quote) => quote.no !== no);
