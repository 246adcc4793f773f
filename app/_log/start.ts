import { Bench } from '../../lib/store/browser/bench';
import { BrowserDatabase } from '../../lib/store/browser/database';
import { EMPTY_LOG } from '../../lib/store/tables';

// The bundler turns each of these into a file of our own origin; the shapes of the two lines matter to it.
const databaseWasm = new URL('@duckdb/duckdb-wasm/dist/duckdb-eh.wasm', import.meta.url).href;
const databaseWorker = new URL('@duckdb/duckdb-wasm/dist/duckdb-browser-eh.worker.js', import.meta.url).href;

/** Starts the database and the engine's worker, with an empty log. */
export async function start(): Promise<{ database: BrowserDatabase; bench: Bench; asking: BrowserDatabase }> {
  const bench = new Bench(new Worker(new URL('../../lib/store/browser/engine.worker.ts', import.meta.url), { type: 'module' }));
  const database = await BrowserDatabase.open(new Worker(databaseWorker), databaseWasm, bench);
  await database.run(EMPTY_LOG);
  return { database, bench, asking: await database.beside() };
}
