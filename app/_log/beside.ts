import { z } from 'zod';
import type { LogFile } from '../../lib/log/inspect';
import type { Bench } from '../../lib/store/browser/bench';
import type { BrowserDatabase } from '../../lib/store/browser/database';
import { load } from '../../lib/store/load';
import { LAST_LOAD_NO } from '../../lib/store/undo';
import { localTime } from './incoming';
import { keeper, ownLogKept } from './keeper';

/** The number of the next load: after all that are in the log, and all that are kept. */
export async function nextLoadNo(database: BrowserDatabase): Promise<number> {
  const [last] = await database.rows(LAST_LOAD_NO);
  return Math.max(keeper.highestLoad, z.object({ load_no: z.number() }).parse(last).load_no) + 1;
}

/**
 * Takes in a small file that a page wrote, as a load of its own, and keeps it where the log is kept. Its rows are of a table that
 * nothing rests on (`isRestedOn`), and a row of theirs that they take the place of was meant. Answers why it was not taken in.
 */
export async function takeBeside(database: BrowserDatabase, bench: Bench, file: LogFile): Promise<string | null> {
  const no = await nextLoadNo(database);
  const at = localTime(new Date());
  let hash = '';
  const [report] = await load(database, [file], {
    inspect: async (each) => {
      const found = await bench.inspect(each);
      if (found.ok) hash = found.hash;
      return found;
    },
    at,
    cameWith: () => ({ load: no, at }),
    confirm: () => Promise.resolve('take'),
  });
  if (report?.table == null) return report?.refused ?? report?.note ?? 'It could not be read.';
  if (ownLogKept(keeper.read())) {
    const files = [{ name: file.name, blob: file.blob, hash, mappings: [] }];
    await keeper.add({ no, at, demo: false, left_out: false, alone: false, files });
  }
  return null;
}
