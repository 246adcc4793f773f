import { historyOf, historyParts, namedColumns, type HistoryPart, type NamedColumn, type Names } from '../find/history';
import { search, type Progress, type SearchOptions } from '../find/search';
import type { SearchAnswer } from '../find/types';
import type { Database } from './database';
import type { NumberTable } from './numbers';
import { HISTORY_NAMES, HISTORY_SQL, historyName } from './questions/history';

/** The log as columns on their way to the search: Arrow bytes in a browser, typed arrays in Node. */
export interface PackedHistory<Packed> {
  readonly names: Names;
  readonly parts: Readonly<Record<HistoryPart, Packed>>;
}

export interface SearchHooks {
  readonly onProgress?: (progress: Progress) => void;
  readonly signal?: AbortSignal;
}

/** The search as the store sees it: in a browser it sits in the engine's worker, in Node it is called at once. */
export interface Searcher<Packed> {
  search(history: PackedHistory<Packed>, options: SearchOptions, hooks: SearchHooks): Promise<SearchAnswer>;
}

/** The columns that the search needs. */
export async function packHistory<Packed>(db: Database<Packed>, signal?: AbortSignal): Promise<PackedHistory<Packed>> {
  const rows = (await db.rows(HISTORY_NAMES)).map((row) => historyName.parse(row));
  const names = Object.fromEntries(
    namedColumns.map((column): [NamedColumn, string[]] => [
      column,
      rows.filter(({ kind }) => kind === column).map(({ name }) => name),
    ]),
  ) as Record<NamedColumn, string[]>;
  const parts: Partial<Record<HistoryPart, Packed>> = {};
  for (const part of historyParts) {
    signal?.throwIfAborted();
    parts[part] = await db.pack(HISTORY_SQL[part]);
  }
  return { names, parts: parts as Record<HistoryPart, Packed> };
}

/** Searches a whole log for recurring faults. Rejects with the signal's reason when it is called off. */
export async function searchLog<Packed>(
  db: Database<Packed>,
  searcher: Searcher<Packed>,
  options: SearchOptions,
  hooks: SearchHooks = {},
): Promise<SearchAnswer> {
  return searcher.search(await packHistory(db, hooks.signal), options, hooks);
}

/** The search called directly, in the thread that asks. */
export class DirectSearcher implements Searcher<NumberTable> {
  search(
    { names, parts }: PackedHistory<NumberTable>,
    options: SearchOptions,
    { onProgress }: SearchHooks = {},
  ): Promise<SearchAnswer> {
    return Promise.resolve(search(historyOf(parts, names), options, onProgress));
  }
}
