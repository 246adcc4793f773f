import fc from 'fast-check';
import { csvFormatRows } from 'd3-dsv';
import { expect, it } from 'vitest';
import type { ReplaceAnswer } from '../../lib/store/load';
import { NativeDatabase } from '../../lib/store/native/database';
import { EMPTY_LOG } from '../../lib/store/tables';
import { emptyLog } from '../../lib/store/undo';
import { add, brokenSums, mended, rowsOf } from './mending';

/**
 * Any sequence of loads, mends and answers on small tables. The model beside it is a plain Map by key: of the rows without a fault
 * the last wins, unless the person said otherwise.
 */

const HEADER = ['instrument_id', 'calibrated_on', 'kind', 'due_on', 'bench_id'];
const key = (row: Row): string => row.id;

interface Row {
  readonly id: string;
  readonly day: string;
  readonly kind: string;
  readonly note: string;
}
const row: fc.Arbitrary<Row> = fc.record({
  id: fc.constantFrom('G-1', 'G-2', 'G-3'),
  // A day that is none is a fault; a row with it needs a hand.
  day: fc.constantFrom('2024-01-01', '2024-01-01', '2024-01-01', 'soon'),
  kind: fc.constant('graduate'),
  note: fc.constantFrom('a', 'b', ''),
});
const good = (each: Row): boolean => each.day !== 'soon';
const answer = fc.constantFrom<ReplaceAnswer>('take', 'keep', 'leave out');
const step = fc.oneof(
  fc.record({ what: fc.constant('load' as const), rows: fc.array(row, { minLength: 1, maxLength: 5 }), answer }),
  fc.record({ what: fc.constant('mend' as const), mends: fc.array(row, { minLength: 1, maxLength: 3 }), answer }),
);

/** What the log holds after rows have come in, and whether any of the log's would be replaced. */
function after(log: ReadonlyMap<string, Row>, rows: readonly Row[], said: ReplaceAnswer): ReadonlyMap<string, Row> {
  const taken = new Map(log);
  for (const each of rows.filter(good)) taken.set(key(each), each);
  const replaced = [...log].filter(([id, was]) => taken.get(id)?.note !== was.note);
  if (replaced.length === 0 || said === 'take') return taken;
  if (said === 'keep') return log;
  for (const [id, was] of replaced) taken.set(id, was);
  return taken;
}

const accepted = async (db: NativeDatabase) =>
  (await db.rows('select instrument_id, bench_id from instruments order by instrument_id')).map((each) => [
    each.instrument_id,
    each.bench_id ?? '',
  ]);
const inModel = (log: ReadonlyMap<string, Row>) => [...log].map(([id, { note }]) => [id, note]).sort();

it('the sums hold after every step, and the log holds what a plain list by key does', async () => {
  let mends = 0;
  let kept = 0;
  // One database for all walks, on one thread: the tables are so small that threads only wait for one another.
  const db = await NativeDatabase.open(1);
  await db.run(EMPTY_LOG);
  await fc.assert(
    fc.asyncProperty(fc.array(step, { minLength: 4, maxLength: 8 }), async (steps) => {
      await emptyLog(db);
      let log: ReadonlyMap<string, Row> = new Map<string, Row>();
      let toMend = 0;
      for (const [i, each] of steps.entries()) {
        const name = `${i}.csv`;
        const confirm = () => Promise.resolve(each.answer);
        const waiting = await rowsOf(db, 'instruments');
        expect(waiting).toHaveLength(toMend);
        // A mend fills in a row's cells anew, rightly or not; a remark of its own keeps the file from being one that is there.
        const rows: readonly Row[] =
          each.what === 'load'
            ? each.rows
            : waiting.map((_, k) => each.mends[k % each.mends.length] ?? each.mends[0]).filter((r) => r !== undefined);
        if (rows.length === 0) continue;
        const text =
          each.what === 'load'
            ? `${csvFormatRows([[...HEADER, `n${i}`], ...rows.map((r) => [r.id, r.day, r.kind, '2025-01-01', r.note, ''])])}\n`
            : await mended(db, 'instruments', (_, k) => ({
                instrument_id: rows[k]?.id ?? '',
                calibrated_on: rows[k]?.day ?? '',
                kind: rows[k]?.kind ?? '',
                due_on: '2025-01-01',
                bench_id: rows[k]?.note ?? '',
              }));
        const [report] = await add(db, { [name]: text }, confirm);
        log = after(log, rows, each.answer);
        if (report?.table === null) kept += 1;
        else {
          const faulty = rows.filter((r) => !good(r)).length;
          toMend = each.what === 'load' ? toMend + faulty : faulty;
          if (each.what === 'mend') mends += 1;
          expect(report?.read).toBe(rows.length);
        }
        expect(await accepted(db)).toEqual(inModel(log));
        expect(await brokenSums(db)).toEqual([]);
      }
    }),
    { numRuns: 8 },
  );
  await db.close();
  // The walks went where the test says they do.
  expect(mends).toBeGreaterThan(0);
  expect(kept).toBeGreaterThan(0);
}, 120_000);
