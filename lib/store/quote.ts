import { emptyNames } from '../quote/history';
import type { QuoteName } from '../quote/types';
import type { Database } from './database';
import { QUOTE_HISTORY, QUOTE_NAMES, quoteName } from './questions/quoteHistory';

/** The shop's past on its way to the quote: Arrow bytes in a browser, typed arrays in Node. */
export interface PackedQuoteHistory<Packed> {
  readonly names: Readonly<Record<QuoteName, readonly string[]>>;
  readonly columns: Packed;
}

/** The columns that a quote needs; `quoteHistoryOf` makes a history of them where numbers are at hand. */
export async function packQuoteHistory<Packed>(
  db: Pick<Database<Packed>, 'rows' | 'pack'>,
  signal?: AbortSignal,
): Promise<PackedQuoteHistory<Packed>> {
  const names = emptyNames();
  for (const row of await db.rows(QUOTE_NAMES)) {
    const { kind, name } = quoteName.parse(row);
    names[kind].push(name);
  }
  signal?.throwIfAborted();
  return { names, columns: await db.pack(QUOTE_HISTORY) };
}
