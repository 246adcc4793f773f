import { join } from 'node:path';
import { Ledger, spoiledChunks, truthsOf } from './log';
import { simulate } from './simulate';
import type { TruthsFile } from './truths';
import { csvFolder, parquetFolder } from './write';

export interface FileOptions {
  readonly jobs: number;
  readonly seed: number;
  readonly out: string;
  readonly format: 'parquet' | 'csv' | 'both';
  /** Whether the planted faults are in; they are where not stated. */
  readonly faults?: boolean;
}

/** Writes a log's folders piece by piece, so that its length does not matter to memory; answers what was planted. */
export function writeLog(options: FileOptions): TruthsFile {
  const { seed, out, format } = options;
  const simulation = simulate(options);
  const open = {
    ...(format === 'csv' ? {} : { log: parquetFolder(join(out, 'log')) }),
    ...(format === 'parquet' ? {} : { csv: csvFolder(join(out, 'csv')) }),
    year: csvFolder(join(out, 'year')),
  };
  const ledgerOf = (name: 'log' | 'csv' | 'year') => {
    const folder = open[name];
    return folder === undefined
      ? null
      : new Ledger(name, (table, rows) => {
          folder.add(table, rows);
        });
  };
  const log = ledgerOf('log');
  const csv = ledgerOf('csv');
  const year = ledgerOf('year');
  log?.addSheets(simulation, false, true);
  csv?.addSheets(simulation, false, true);
  year?.addSheets(simulation, true, true);
  for (const { typed, text, latestYear } of spoiledChunks(simulation, seed, 'text')) {
    log?.add(typed.rows, typed.spoilt);
    if (csv === null && !latestYear) continue;
    const asText = text();
    csv?.add(asText.rows, asText.spoilt);
    if (latestYear) year?.add(asText.rows, asText.spoilt);
  }
  for (const folder of Object.values(open)) folder.close();
  return truthsOf(options, simulation, {
    ...(log === null ? {} : { log }),
    ...(csv === null ? {} : { csv }),
    ...(year === null ? {} : { year }),
  });
}
