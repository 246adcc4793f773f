import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { writeLog } from '../../data-demo/files';
import { filesIn } from '../../lib/headless/folder';
import { openLog } from '../../lib/headless/log';
import { quoteHistoryOf } from '../../lib/quote/history';
import type { QuoteHistory } from '../../lib/quote/types';
import { packQuoteHistory } from '../../lib/store/quote';

/** Histories out of whole logs: one that lies in a folder, and shops simulated from a seed. */

export async function historyIn(folder: string): Promise<QuoteHistory> {
  const log = await openLog(await filesIn(folder), '2026-01-01 00:00:00');
  const { names, columns } = await packQuoteHistory(log.db);
  await log.db.close();
  return quoteHistoryOf(columns, names);
}

export async function simulated(jobs: number, seed: number): Promise<QuoteHistory> {
  const folder = await mkdtemp(join(tmpdir(), 'quote-'));
  writeLog({ jobs, seed, out: folder, format: 'parquet', faults: true });
  const history = await historyIn(join(folder, 'log'));
  await rm(folder, { recursive: true });
  return history;
}
