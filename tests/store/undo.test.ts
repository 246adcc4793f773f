import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { resultTables } from '../../lib/calc/layout';
import { inspect } from '../../lib/log/inspect';
import { tableNames } from '../../lib/log/table';
import { load } from '../../lib/store/load';
import { DirectCalculator } from '../../lib/store/native/calculator';
import { NativeDatabase } from '../../lib/store/native/database';
import { recalculate } from '../../lib/store/recalculate';
import { EMPTY_LOG } from '../../lib/store/tables';
import { emptyLog, lastLoad, undoLastLoad } from '../../lib/store/undo';
import { textFile } from './openLog';
import { smallLog } from './smallLog';

type Files = Readonly<Record<string, string>>;

async function emptyDatabase(): Promise<NativeDatabase> {
  const db = await NativeDatabase.open(1);
  await db.run(EMPTY_LOG);
  return db;
}

async function add(db: NativeDatabase, files: Files, at = '2026-01-02 08:00:00'): Promise<void> {
  const list = Object.entries(files).map(([name, text]) => textFile(name, text));
  await load(db, list, { inspect, at });
  await recalculate(db, new DirectCalculator());
}

const views = [...tableNames, ...resultTables, 'set_aside', 'sources'];

/** Every row of every view, in an order of its own. */
async function seen(db: NativeDatabase): Promise<Record<string, unknown[]>> {
  const shown: Record<string, unknown[]> = {};
  for (const view of views) shown[view] = await db.rows(`select * from ${view} order by all`);
  return shown;
}

async function undo(db: NativeDatabase): Promise<number | null> {
  const load = await undoLastLoad(db);
  await recalculate(db, new DirectCalculator());
  return load;
}

const { 'draws.csv': draws = '', 'jobs.csv': jobs = '', 'closures.csv': closures = '' } = smallLog;
const header = (text: string): string => text.split('\n')[0] ?? '';

const loads: Readonly<Record<string, Files>> = {
  'a file of rows that are new': {
    'more.csv': `${header(jobs)}\nJ-2,S-2,Kestrel,K-1,A,2024-05-06,recalibrate,B1\n`,
    'read.csv': `${header(closures)}\nJ-2,1,1,0,2.60,0.50\nJ-2,1,3,90.4,,\n`,
  },
  'a row that takes the place of an older one': { 'mended.csv': `${header(closures)}\nJ-1,1,3,90.1,,\n` },
  'a row that stands there already': { 'twice.csv': `${header(closures)}\nJ-1,1,4,180,,\n` },
  'a job that loses its specification, and with it all its readings': {
    'wrong.csv': jobs.replace('K-1,A', 'K-9,A'),
  },
  'a tighter sheet': { 'tight.csv': (smallLog['specs.csv'] ?? '').replace(',0.5,0.2,', ',0.05,0.2,') },
  'rows that can not be used': { 'faulty.csv': `${draws}J-1,1,full,1,0,-4,500\nJ-9,1,full,1,1,40,500\n` },
};

describe('undoing the last load', () => {
  it.each(Object.entries(loads))('takes out %s as if it had never been loaded', async (_, files) => {
    const db = await emptyDatabase();
    await add(db, smallLog);
    const before = await seen(db);
    await add(db, files);
    expect(await seen(db)).not.toEqual(before);
    expect(await undo(db)).toBe(2);
    expect(await seen(db)).toEqual(before);
  });

  it('sets the rows aside again that a mended file had taken the place of', async () => {
    const db = await emptyDatabase();
    await add(db, smallLog);
    await add(db, { 'faulty.csv': `${header(draws)}\nJ-1,9,full,1,1,-4,500\nJ-9,1,full,1,1,40,500\n` });
    const before = await seen(db);
    const columns = `${header(draws)},set_aside_file,set_aside_row,set_aside_column,set_aside_reason`;
    await add(db, {
      'mended.csv': `${columns}\nJ-1,9,full,1,1,4,500,,,faulty.csv,2,,\nJ-1,9,full,1,2,40,500,,,faulty.csv,3,,\n`,
    });
    const kinds = await db.rows(`select kind, count(*)::integer as n from set_aside group by kind`);
    expect(kinds).toEqual([{ kind: 'mended', n: 2 }]);
    await undo(db);
    expect(await seen(db)).toEqual(before);
  });

  it('goes back to empty, load by load, through the states that were there', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.shuffledSubarray([smallLog, ...Object.values(loads)], { minLength: 2, maxLength: 5 }),
        async (order) => {
          const db = await emptyDatabase();
          const states = [await seen(db)];
          for (const files of order) {
            await add(db, files);
            states.push(await seen(db));
          }
          for (const state of states.slice(0, -1).toReversed()) {
            await undo(db);
            expect(await seen(db)).toEqual(state);
          }
          expect(await undo(db)).toBeNull();
        },
      ),
      { numRuns: 6 },
    );
  });

  it('sets rows aside again whose counterpart came with the load', async () => {
    const { 'jobs.csv': late = '', ...rest } = smallLog;
    const db = await emptyDatabase();
    await add(db, rest);
    const before = await seen(db);
    expect(before.closures).toEqual([]);
    await add(db, { 'jobs.csv': late });
    expect((await seen(db)).closures).toHaveLength(8);
    await undo(db);
    expect(await seen(db)).toEqual(before);
  });

  it('tells beforehand what it would take out', async () => {
    const db = await emptyDatabase();
    await add(db, smallLog);
    await add(db, loads['rows that can not be used'] ?? {}, '2026-02-03 09:10:11');
    expect(await db.rows(lastLoad.sql)).toEqual([
      {
        load_no: 2,
        loaded_at: '2026-02-03 09:10',
        file: 'faulty.csv',
        log_table: 'draws',
        rows_read: 11,
        rows_accepted: 9,
      },
    ]);
  });

  it('tells the loads apart of a log that was opened again from all its files at once', async () => {
    const db = await emptyDatabase();
    await add(db, smallLog);
    const before = await seen(db);
    const again = await emptyDatabase();
    const first = Object.entries(smallLog).map(([name, text]) => textFile(name, text));
    const second = textFile('mended.csv', `${header(closures)}\nJ-1,1,3,90.1,,\n`);
    await load(again, [...first, second], {
      inspect,
      at: '',
      cameWith: (file) =>
        file === second ? { load: 7, at: '2026-03-04 08:00:00' } : { load: 1, at: '2026-01-02 08:00:00' },
    });
    expect(await undo(again)).toBe(7);
    expect(await seen(again)).toEqual(before);
  });
});

describe('emptying the log', () => {
  it('leaves nothing, and the same files loaded again give the same log', async () => {
    const db = await emptyDatabase();
    const empty = await seen(db);
    await add(db, smallLog);
    const full = await seen(db);
    await emptyLog(db);
    expect(await seen(db)).toEqual(empty);
    await add(db, smallLog);
    expect(await seen(db)).toEqual(full);
  });
});
