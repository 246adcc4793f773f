import { dice } from '../../data-demo/random';
import { codecFell } from '../../lib/store/browser/parquet';
import type { Bytes } from './mutate';
import { readerNames, readers, type ReaderName } from './readers';

/** A case is told by its seed and number alone, so that it can be had again. */

export interface Case {
  readonly reader: ReaderName;
  readonly bytes: Bytes;
}

export async function caseOf(seed: number, number: number): Promise<Case> {
  const chance = dice(seed, number);
  const reader = chance.weighted(readerNames, (name) => readers[name].share);
  return { reader, bytes: await readers[reader].make(chance) };
}

/** What is wrong with how a case is read; null where nothing is. */
export async function faultOf({ reader, bytes }: Case): Promise<string | null> {
  try {
    return await readers[reader].read(bytes);
  } catch (error) {
    return `threw ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`;
  }
}

/**
 * Does something with the codec's falls heard of, as the browser's worker hears of them; what else goes uncaught is the caller's.
 */
export async function hearingFalls<T>(work: () => Promise<T>): Promise<T> {
  const before = process.listeners('uncaughtException');
  process.removeAllListeners('uncaughtException');
  process.on('uncaughtException', (error) => {
    if (codecFell(error)) return;
    console.error(error);
    process.exit(70);
  });
  try {
    return await work();
  } finally {
    process.removeAllListeners('uncaughtException');
    for (const listener of before) process.on('uncaughtException', listener);
  }
}
