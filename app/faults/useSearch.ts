'use client';

import { useEffect, useSyncExternalStore } from 'react';
import type { SearchOptions } from '../../lib/find/search';
import type { SearchAnswer } from '../../lib/find/types';
import { session } from '../_log/session';

export interface SearchProgress {
  readonly done: number;
  readonly of: number;
}
export interface SearchState {
  readonly answer: SearchAnswer | null;
  readonly progress: SearchProgress | null;
  readonly error: string | null;
}

const UNSEARCHED: SearchState = { answer: null, progress: null, error: null };
export const CALLED_OFF = 'The search was called off.';

/** One search of the log as it stands, kept until the log changes. */
class OneSearch {
  private state = UNSEARCHED;
  private version = 0;
  private stop: AbortController | null = null;
  private readonly listeners = new Set<() => void>();

  constructor(private readonly options: SearchOptions) {
    session.subscribe(this.forget);
  }

  subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };

  read = (): SearchState => this.state;

  private tell(state: SearchState): void {
    this.state = state;
    for (const listener of this.listeners) listener();
  }

  /** What was found in a log that has changed since no longer holds. */
  private forget = (): void => {
    if (session.read().version === this.version) return;
    this.version = session.read().version;
    this.stop?.abort();
    this.stop = null;
    if (this.state !== UNSEARCHED) this.tell(UNSEARCHED);
  };

  /** Searches unless that was done, is under way, or was called off. */
  begin = (): void => {
    this.forget();
    if (this.state === UNSEARCHED) void this.search();
  };

  again = (): void => {
    if (this.state.progress === null) void this.search();
  };

  cancel = (): void => {
    if (this.stop === null) return;
    this.stop.abort();
    this.stop = null;
    this.tell({ ...UNSEARCHED, error: CALLED_OFF });
  };

  private async search(): Promise<void> {
    const stop = new AbortController();
    this.stop = stop;
    this.tell({ ...UNSEARCHED, progress: { done: 0, of: 0 } });
    const { startTime: start } = performance.mark('search');
    const tell = (state: SearchState): void => {
      if (this.stop === stop) this.tell(state);
    };
    try {
      const [{ asking, bench }, { searchLog }] = await Promise.all([
        session.workers(),
        import('../../lib/store/search'),
      ]);
      const answer = await searchLog(asking, bench, this.options, {
        signal: stop.signal,
        onProgress: ({ done, total }) => {
          tell({ ...UNSEARCHED, progress: { done, of: total } });
        },
      });
      tell({ ...UNSEARCHED, answer });
      // On the browser's own time line, as questions are.
      performance.measure('searched', { start });
    } catch (error) {
      tell({ ...UNSEARCHED, error: error instanceof Error ? error.message : String(error) });
    } finally {
      if (this.stop === stop) this.stop = null;
    }
  }
}

const without = new OneSearch({ technicians: false });
const withThem = new OneSearch({ technicians: true });
const none = (): SearchState => UNSEARCHED;

interface Asked extends SearchState {
  readonly cancel: () => void;
  readonly again: () => void;
}

/** Searches the open log for recurring faults as soon as a page asks, once for each state of the log. */
export function useSearch({ technicians }: SearchOptions): Asked {
  const search = technicians ? withThem : without;
  const state = useSyncExternalStore(search.subscribe, search.read, none);
  const version = useSyncExternalStore(
    session.subscribe,
    () => session.read().version,
    () => 0,
  );
  useEffect(() => {
    if (version > 0) search.begin();
  }, [search, version]);
  return { ...state, cancel: search.cancel, again: search.again };
}

/** What was found if the log was searched already; does not search. Technicians never show by this way. */
export const useFound = (): SearchAnswer | null => useSyncExternalStore(without.subscribe, without.read, none).answer;
