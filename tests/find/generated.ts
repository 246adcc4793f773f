import { generateLog } from '../../data-demo/log';
import { shopTables } from '../../data-demo/rows';
import type { SimulationOptions } from '../../data-demo/simulate';
import type { Truth } from '../../data-demo/truths';
import { parquetBytes } from '../../data-demo/write';
import type { SearchAnswer } from '../../lib/find/types';
import { openLog } from '../../lib/headless/log';
import { DirectSearcher, searchLog } from '../../lib/store/search';

export interface SearchedLog {
  readonly truths: readonly Truth[];
  readonly without: SearchAnswer;
  readonly withThem: SearchAnswer;
}

/** A log of the demo's simulation on its whole way: spoilt, read, worked out by the engine, searched without technicians and with them. */
export async function searchGenerated(options: SimulationOptions): Promise<SearchedLog> {
  const { tables, truths } = generateLog(options);
  const files = shopTables.map((table) => ({
    name: `${table}.parquet`,
    path: null,
    blob: new Blob([new Uint8Array(parquetBytes(table, tables[table]))]),
  }));
  const log = await openLog(files, '2026-01-01 00:00:00');
  try {
    const searched = (technicians: boolean) => searchLog(log.db, new DirectSearcher(), { technicians });
    return { truths, without: await searched(false), withThem: await searched(true) };
  } finally {
    await log.db.close();
  }
}
