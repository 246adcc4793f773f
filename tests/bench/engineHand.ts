import { calibrate } from '../../lib/calc/batch';
import type { Gauge, Spec } from '../../lib/calc/types';
import { filesIn } from '../../lib/headless/folder';
import { inspect } from '../../lib/log/inspect';
import { load } from '../../lib/store/load';
import { NativeDatabase } from '../../lib/store/native/database';
import { answerOf, readingsOf, type Answer, type Batch, type NumberTable } from '../../lib/store/numbers';
import { recalculate, type Calculator } from '../../lib/store/recalculate';
import { EMPTY_LOG } from '../../lib/store/tables';

/** One process that holds its share of a log's batches and, when told to, works them out: started by engineAlone.ts. */

const [folder = '', place = '0', of = '1'] = process.argv.slice(2);

class Keeper implements Calculator<NumberTable> {
  readonly width = 1;
  readonly batches: Batch<NumberTable>[] = [];
  specs: ReadonlyMap<number, Spec> = new Map();
  gauges: ReadonlyMap<number, Gauge> = new Map();

  begin(specs: readonly Spec[], gauges: readonly Gauge[]): Promise<void> {
    this.specs = new Map(specs.map((spec) => [spec.spec_no, spec]));
    this.gauges = new Map(gauges.map((gauge) => [gauge.gauge, gauge]));
    return Promise.resolve();
  }

  calculate(batch: Batch<NumberTable>): Promise<Answer<NumberTable>> {
    this.batches.push(batch);
    return Promise.resolve(answerOf(calibrate(this.specs, readingsOf(batch), this.gauges)));
  }
}

const db = await NativeDatabase.open();
await db.run(EMPTY_LOG);
await load(db, await filesIn(folder), { inspect, at: '2026-01-01 00:00:00' });
const keeper = new Keeper();
await recalculate(db, keeper, { batchJobs: 1000 });
await db.close();
const share = keeper.batches.filter((_, i) => i % Number(of) === Number(place));
process.on('message', () => {
  for (const batch of share) calibrate(keeper.specs, readingsOf(batch), keeper.gauges);
  process.send?.('done');
  process.exit();
});
process.send?.('ready');
