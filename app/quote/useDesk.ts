'use client';

import { useEffect, useRef, useState, useSyncExternalStore } from 'react';
import type { Bench } from '../../lib/store/browser/bench';
import { allVisible } from '../../lib/words/visible';
import { session } from '../_log/session';

/** The log's history laid out for quotes in the engine's worker, once for each state of the log. */
class Desk {
  private laid: { readonly version: number; readonly bench: Promise<Bench> } | null = null;

  bench(): Promise<Bench> {
    const { version } = session.read();
    if (this.laid?.version !== version) {
      const bench = this.layOut();
      this.laid = { version, bench };
      void bench.catch(() => {
        this.laid = null;
      });
    }
    return this.laid.bench;
  }

  private async layOut(): Promise<Bench> {
    const [{ asking, bench }, { packQuoteHistory }] = await Promise.all([
      session.workers(),
      import('../../lib/store/quote'),
    ]);
    await bench.takeQuoteHistory(await packQuoteHistory(asking));
    return bench;
  }
}

const desk = new Desk();

export interface Worked<Value> {
  /** The last answer; null while there is none. Older than what is asked while `busy`. */
  readonly value: Value | null;
  readonly busy: boolean;
  readonly error: string | null;
}

interface Held<Value> extends Omit<Worked<Value>, 'busy'> {
  readonly key: string;
}

/** One thing that is asked at a time; of those that come meanwhile only the last is asked. */
class Turnstile {
  private next: (() => Promise<void>) | null = null;
  private going = false;

  take(work: () => Promise<void>): void {
    this.next = work;
    if (!this.going) void this.go();
  }

  private async go(): Promise<void> {
    this.going = true;
    while (this.next !== null) {
      const work = this.next;
      this.next = null;
      await work();
    }
    this.going = false;
  }
}

/**
 * Asks the quotes' engine whenever what is asked or the log changes; asks nothing while `asked` is null.
 * @param ask must not change from one render to the next
 */
export function useDesk<Asked, Value>(
  asked: Asked | null,
  ask: (bench: Bench, asked: Asked) => Promise<Value>,
): Worked<Value> {
  const version = useSyncExternalStore(
    session.subscribe,
    () => session.read().version,
    () => 0,
  );
  const key = JSON.stringify([version, asked]);
  const [held, hold] = useState<Held<Value> | null>(null);
  const turnstile = useRef<Turnstile | null>(null);
  const waits = version > 0 && asked !== null;
  useEffect(() => {
    if (!waits) return;
    let current = true;
    const [, question] = JSON.parse(key) as [number, Asked];
    turnstile.current ??= new Turnstile();
    turnstile.current.take(async () => {
      const told = await desk
        .bench()
        .then((bench) => ask(bench, question))
        .then(
          (value): Held<Value> => ({ key, value: allVisible(value), error: null }),
          (error: unknown): Held<Value> => ({
            key,
            value: null,
            error: error instanceof Error ? error.message : String(error),
          }),
        );
      if (current) hold(told);
    });
    return () => {
      current = false;
    };
  }, [key, waits, ask]);
  if (!waits) return { value: null, busy: false, error: null };
  return { value: held?.value ?? null, error: held?.error ?? null, busy: held?.key !== key };
}
