import { describe, expect, it } from 'vitest';
import { resultTables } from '../../lib/calc/layout';
import { openLog } from '../../lib/headless/log';
import { Crew } from '../../lib/store/browser/crew';
import { DirectCalculator } from '../../lib/store/native/calculator';
import type { NumberTable } from '../../lib/store/numbers';
import { recalculate, type Calculator } from '../../lib/store/recalculate';
import { kept } from '../../lib/store/tables';
import { textFile } from './openLog';
import { smallLog } from './smallLog';

const JOBS = 12;
const BATCH = 2;

/** The small log's job under other numbers, no two alike: each has its third closure somewhere else. */
const files = Object.entries(smallLog).map(([name, text]) => {
  const [header = '', ...rows] = text.trimEnd().split('\n');
  const copies = Array.from({ length: JOBS }, (_, i) =>
    rows.map((row) => row.replace('J-1', `J-${10 + i}`).replace('90.8', String(90.8 + i / 10))),
  );
  return textFile(name, header.startsWith('job_id') ? `${[header, ...copies.flat()].join('\n')}\n` : text);
});

/** Turns of the event loop that a hand waits before it answers, so that hands overtake one another in a known way. */
const turns = async (count: number): Promise<void> => {
  for (let k = 0; k < count; k++) await new Promise((go) => setImmediate(go));
};

/** An engine that counts its batches and answers after so many turns. */
class Hand implements Calculator<NumberTable> {
  readonly width = 1;
  batches = 0;
  private readonly engine = new DirectCalculator();

  constructor(private readonly waits: number) {}

  begin(...given: Parameters<DirectCalculator['begin']>): Promise<void> {
    return this.engine.begin(...given);
  }

  async calculate(...given: Parameters<DirectCalculator['calculate']>): ReturnType<DirectCalculator['calculate']> {
    this.batches += 1;
    await turns(this.waits);
    return this.engine.calculate(...given);
  }
}

/** Every row of every result table as the crew left it, in the order in which it stands there. */
async function workedOutBy(hands: readonly [Hand, ...Hand[]]): Promise<string> {
  const { db } = await openLog(files, '2026-01-01 08:00:00');
  try {
    for (const table of ['calculated', ...resultTables.map(kept)]) await db.run(`delete from ${table}`);
    const report = await recalculate(db, new Crew(hands), { batchJobs: BATCH });
    expect(report).toEqual({ recalculated: JOBS, unchanged: 0, cancelled: false });
    const tables = [];
    for (const table of resultTables) tables.push([table, await db.rows(`select * from ${kept(table)}`)]);
    return JSON.stringify(tables);
  } finally {
    await db.close();
  }
}

describe('a crew of workers', () => {
  it.each([
    ['in step', [new Hand(0), new Hand(0)]],
    ['the second slower', [new Hand(0), new Hand(40)]],
    ['the first slower', [new Hand(40), new Hand(0)]],
  ] as const)('leaves the same bytes as one of them, %s', async (_, hands) => {
    const alone = new Hand(0);
    const one = await workedOutBy([alone]);
    expect(await workedOutBy([...hands])).toBe(one);
    expect(alone.batches).toBe(JOBS / BATCH);
    expect(hands.map(({ batches }) => batches)).toEqual([JOBS / BATCH / 2, JOBS / BATCH / 2]);
    // Jobs are not alike, so that rows in another order would show.
    expect(one).toContain('"phasing"');
    expect(new Set([...one.matchAll(/"worst_error_deg":[^,]+/g)].map(String)).size).toBeGreaterThan(JOBS / 2);
  });
});
