import { describe, expect, it } from 'vitest';
import type { NativeDatabase } from '../../lib/store/native/database';
import type { Replacements } from '../../lib/store/replacements';
import { add, brokenSums } from './mending';
import { logOf } from './openLog';
import { smallLog } from './smallLog';

/** Rows of a key that stands in the log already, which point nowhere. */

const { 'jobs.csv': jobs = '', 'specs.csv': specs = '', 'test_points.csv': points = '' } = smallLog;
const toB = jobs.replace('K-1,A', 'K-1,B').replace('B1', 'B2');
const sheetB = specs.replace('K-1,A', 'K-1,B');

const benches = async (db: NativeDatabase) => (await db.rows('select bench_id from jobs')).map((row) => row.bench_id);
const aside = (db: NativeDatabase) => db.rows('select file, row_no, kind from set_aside order by file, row_no');

describe('a newer row that points nowhere', () => {
  it('takes no place of a good one, and waits to be mended', async () => {
    const { db } = await logOf(smallLog);
    let asked = 0;
    await add(db, { 'newer.csv': toB }, () => {
      asked += 1;
      return Promise.resolve('take');
    });
    expect(asked).toBe(0);
    expect(await benches(db)).toEqual(['B1']);
    expect(await db.rows('select count(*)::integer as n from draws')).toEqual([{ n: 9 }]);
    expect(await aside(db)).toEqual([{ file: 'newer.csv', row_no: 2, kind: 'reference' }]);
    expect(await brokenSums(db)).toEqual([]);
  });

  it.each([
    ['take', ['B2'], [{ file: 'jobs.csv', row_no: 2, kind: 'replaced' }]],
    ['leave out', ['B1'], [{ file: 'newer.csv', row_no: 2, kind: 'left_out' }]],
    ['keep', ['B1'], [{ file: 'newer.csv', row_no: 2, kind: 'reference' }]],
  ] as const)('counts once its counterpart comes, after asking: %s', async (answer, bench, set) => {
    const { db } = await logOf(smallLog);
    await add(db, { 'newer.csv': toB });
    const asked: Replacements[] = [];
    await add(db, { 'sheet.csv': sheetB }, (replacements) => {
      asked.push(replacements);
      return Promise.resolve(answer);
    });
    expect(asked.map(({ count, listed }) => [count, listed.map((each) => [each.was.file, each.is.file])])).toEqual([
      [1, [['jobs.csv', 'newer.csv']]],
    ]);
    expect(await benches(db)).toEqual(bench);
    // The draws wait for the test points of the revision that their job now goes by.
    expect((await aside(db)).filter((row) => row.file !== 'draws.csv')).toEqual(set);
    expect(await brokenSums(db)).toEqual([]);
  });

  it('of a band the wrong way round leaves the good band', async () => {
    const { db } = await logOf(smallLog);
    await add(db, { 'band.csv': points.replace('78,82', '82,78') });
    expect(await db.rows(`select low_mm3 from test_points where test_point = 'full'`)).toEqual([{ low_mm3: 78 }]);
    expect((await aside(db)).filter((row) => row.kind === 'reference')).toEqual([
      { file: 'band.csv', row_no: 2, kind: 'reference' },
    ]);
    expect(await brokenSums(db)).toEqual([]);
  });

  it('is told once, as replaced, where a good one comes after it', async () => {
    const { db } = await logOf({ ...smallLog, 'jobs.csv': toB });
    await add(db, { 'good.csv': jobs });
    expect(await benches(db)).toEqual(['B1']);
    expect(await aside(db)).toEqual([{ file: 'jobs.csv', row_no: 2, kind: 'replaced' }]);
    expect(await brokenSums(db)).toEqual([]);
  });

  it('stands for an older one that points nowhere too, so that one of them is to be mended', async () => {
    const { db } = await logOf({ ...smallLog, 'jobs.csv': toB });
    await add(db, { 'again.csv': toB.replace('B2', 'B3'), 'same.csv': `${toB}\n` });
    expect(
      (await aside(db)).filter((row) => row.file !== 'draws.csv' && !/closures|shims/.test(String(row.file))),
    ).toEqual([
      { file: 'again.csv', row_no: 2, kind: 'replaced' },
      { file: 'jobs.csv', row_no: 2, kind: 'repeat' },
      { file: 'same.csv', row_no: 2, kind: 'reference' },
    ]);
    expect(await brokenSums(db)).toEqual([]);
  });
});
