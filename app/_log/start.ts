import { z } from 'zod';
import { Bench } from '../../lib/store/browser/bench';
import { Crew } from '../../lib/store/browser/crew';
import { BrowserDatabase } from '../../lib/store/browser/database';
import { rehearse, type Rehearsed } from '../../lib/store/browser/rehearse';
import { UNFILTERED } from '../../lib/store/filters';
import type { Question } from '../../lib/store/question';
import { filterChoices } from '../../lib/store/questions/filterChoices';
import { firstPassByModel } from '../../lib/store/questions/firstPassByModel';
import { firstPassLately } from '../../lib/store/questions/firstPassLately';
import { setAsideCounts } from '../../lib/store/questions/setAsideCounts';
import { shopSummary } from '../../lib/store/questions/shopSummary';
import { demoLog } from './demoFiles';
import { EMPTY_LOG } from '../../lib/store/tables';

// The bundler turns each of these into a file of our own origin; the shapes of the two lines matter to it.
const databaseWasm = new URL('@duckdb/duckdb-wasm/dist/duckdb-eh.wasm', import.meta.url).href;
const databaseWorker = new URL('@duckdb/duckdb-wasm/dist/duckdb-browser-eh.worker.js', import.meta.url).href;

const asked = <Args, Row>(question: Question<Args, Row>, args: Args): Rehearsed => ({
  sql: question.sql,
  values: question.params(args),
});
const firstPage: readonly Rehearsed[] = [
  asked(shopSummary, UNFILTERED),
  asked(firstPassByModel, UNFILTERED),
  asked(firstPassLately, UNFILTERED),
  asked(setAsideCounts, null),
  asked(filterChoices, null),
];

export interface Started {
  readonly database: BrowserDatabase;
  /** Looks files through. */
  readonly bench: Bench;
  /** Works jobs out. */
  readonly crew: Crew<Uint8Array>;
  /** Asks for the pages, beside a load under way. */
  readonly asking: BrowserDatabase;
}

const MOST_ENGINES = 4;
const enginesAsked = z.coerce.number().int().min(1).max(MOST_ENGINES);

/**
 * How many workers calculate: a core is left for the database, and more than a few would wait for it. `engines=2` in the address
 * asks for another number, to measure it.
 */
function engines(): number {
  const asked = enginesAsked.safeParse(new URLSearchParams(window.location.search).get('engines') ?? undefined);
  if (asked.success) return asked.data;
  return Math.min(MOST_ENGINES, Math.max(1, navigator.hardwareConcurrency - 1));
}

const memoryAsked = z.coerce.number().int().min(16).max(4096);

/** `memory=64` in the address bounds the database to so many MB, to try what a small machine does. */
const memory = (): number | null =>
  memoryAsked.safeParse(new URLSearchParams(window.location.search).get('memory') ?? undefined).data ?? null;

const engine = (): Bench =>
  new Bench(new Worker(new URL('../../lib/store/browser/engine.worker.ts', import.meta.url), { type: 'module' }));

/** Starts the database and the engine's worker, with an empty log; `hurry` ends or spares the rehearsal when a log is waiting. */
export async function start(hurry: AbortSignal): Promise<Started> {
  const bench = engine();
  const crew = new Crew([bench, ...Array.from({ length: engines() - 1 }, engine)]);
  const database = await BrowserDatabase.open(new Worker(databaseWorker), databaseWasm, bench, memory());
  // With a log waiting already, what a rehearsal makes ready (a fetched log, a database of its own) would only be waited for.
  if (!hurry.aborted) {
    // Without the demo log there is nothing to rehearse with; that it is missing is told to whoever opens it.
    const log = await demoLog().catch(() => []);
    await rehearse(database, bench, log, firstPage, hurry);
  }
  await database.run(EMPTY_LOG);
  return { database, bench, crew, asking: await database.beside() };
}
