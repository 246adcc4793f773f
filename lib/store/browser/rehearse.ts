import type { LogFile } from '../../log/inspect';
import { load } from '../load';
import type { SqlValue } from '../question';
import { recalculate } from '../recalculate';
import { EMPTY_LOG } from '../tables';
import type { Bench } from './bench';
import type { BrowserDatabase } from './database';

/** What the first page will ask. */
export interface Rehearsed {
  readonly sql: string;
  readonly values: readonly SqlValue[];
}

/**
 * Goes the whole way once with a small log, in a database of its own that is thrown away. A browser compiles the database
 * engine piece by piece, and each piece the better the more it is used; after this, the first log of the day opens in half
 * the time. It breaks off as soon as `signal` says that somebody is waiting.
 */
export async function rehearse(
  database: BrowserDatabase,
  bench: Bench,
  files: readonly LogFile[],
  questions: readonly Rehearsed[],
  signal: AbortSignal,
): Promise<void> {
  await database.run(`attach ':memory:' as rehearsal`);
  await database.turnTo('rehearsal');
  await database.run(EMPTY_LOG);
  try {
    const codec = bench.warm();
    await load(database, files, { inspect: bench.inspect, at: '2000-01-01 00:00:00', signal });
    await recalculate(database, bench, { signal });
    for (const { sql, values } of questions) {
      signal.throwIfAborted();
      await database.rows(sql, values);
    }
    await codec;
  } catch (error) {
    if (!signal.aborted) throw error;
  } finally {
    await database.turnTo('log');
    await database.run('detach rehearsal');
  }
}
