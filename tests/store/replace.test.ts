import { describe, expect, it } from 'vitest';
import type { ReplaceAnswer } from '../../lib/store/load';
import type { Replacement, Replacements } from '../../lib/store/replacements';
import { add, brokenSums } from './mending';
import { logOf } from './openLog';
import { smallLog } from './smallLog';

const header = 'job_id,run,test_point,repeat,element,volume_cm3,strokes,speed_rpm,rack_mm';
const newer = `${header}\nJ-1,1,full,1,1,40.2,500,1000,\nJ-1,1,full,1,2,40.5,500,1000,12\nJ-1,1,full,3,1,40,500,1000,12\n`;

const volumes = 'select volume_cm3 from draws where element = 1 and repeat <> 2 order by source_no, row_no';

/** Answers as a person would, and keeps what was asked. */
function person(answer: ReplaceAnswer) {
  const asked: { count: number; all: readonly Replacement[] }[] = [];
  const confirm = async (replacements: Replacements): Promise<ReplaceAnswer> => {
    asked.push({ count: replacements.count, all: await replacements.all() });
    return answer;
  };
  return { asked, confirm };
}

describe('a load that would replace rows of the log', () => {
  it('is told with key, what differs, and file and row of both, before it is applied', async () => {
    const { db } = await logOf(smallLog);
    const { asked, confirm } = person('take');
    await add(db, { 'newer.csv': newer }, confirm);
    expect(asked).toEqual([
      {
        count: 1,
        all: [
          {
            table: 'draws',
            key: ['J-1', '1', 'full', '1', '1'],
            changes: [
              { column: 'volume_cm3', was: '40', is: '40.2' },
              { column: 'rack_mm', was: '12', is: null },
            ],
            was: { file: 'draws.csv', row: 2 },
            is: { file: 'newer.csv', row: 2 },
          },
        ],
      },
    ]);
    expect(await db.rows(volumes)).toEqual([{ volume_cm3: 36 }, { volume_cm3: 40.2 }, { volume_cm3: 40 }]);
  });

  it('leaves the log as it was when the person keeps it', async () => {
    const { db } = await logOf(smallLog);
    await add(db, { 'other.csv': 'colour\nred\n' });
    const [good, refused] = await add(db, { 'newer.csv': newer, 'empty.csv': '' }, person('keep').confirm);
    expect(good).toMatchObject({
      table: null,
      read: 0,
      refused: null,
      note: 'Not taken in: the log was kept as it was.',
    });
    expect(refused?.refused).toContain('empty');
    expect(await db.rows(volumes)).toEqual([{ volume_cm3: 40 }, { volume_cm3: 36 }]);
    expect(await db.rows('select count(*)::integer as n from set_aside')).toEqual([{ n: 0 }]);
    expect(await db.rows('select file from refused')).toEqual([{ file: 'other.csv' }]);
    // It can be loaded again: it is not taken for one that is in the log.
    const [again] = await add(db, { 'newer.csv': newer }, person('take').confirm);
    expect(again).toMatchObject({ read: 3, accepted: 3, setAside: 0 });
  });

  it('takes in all but those rows when they are to be left out, for good', async () => {
    const { db } = await logOf(smallLog);
    const [report] = await add(db, { 'newer.csv': newer }, person('leave out').confirm);
    expect(report).toMatchObject({ read: 3, accepted: 2, setAside: 1 });
    expect(await db.rows(volumes)).toEqual([{ volume_cm3: 40 }, { volume_cm3: 36 }, { volume_cm3: 40 }]);
    const aside = 'select file, row_no, kind from set_aside order by file, row_no';
    const expected = [
      { file: 'draws.csv', row_no: 3, kind: 'repeat' },
      { file: 'newer.csv', row_no: 2, kind: 'left_out' },
    ];
    expect(await db.rows(aside)).toEqual(expected);
    await add(db, { 'more.csv': `${header}\nJ-1,1,full,4,1,41,500,1000,12\n` });
    expect(await db.rows(aside)).toEqual(expected);
    expect(await brokenSums(db)).toEqual([]);
  });

  it('is not asked about for the same rows again, nor for rows that were not in the log', async () => {
    const { 'jobs.csv': jobs = '', ...rest } = smallLog;
    const { db } = await logOf(rest);
    const { asked, confirm } = person('keep');
    // The draws of the log point to no job until this load, which brings other ones with it.
    await add(db, { 'jobs.csv': jobs, 'newer.csv': newer }, confirm);
    const repeated = (smallLog['draws.csv'] ?? '').split('\n').filter((_, i) => i === 0 || i === 3);
    await add(db, { 'repeated.csv': `${repeated.join('\n')}\n` }, confirm);
    expect(asked).toEqual([]);
  });

  it('is not asked about for a row that comes back to what it was within the load', async () => {
    const { db } = await logOf(smallLog);
    const { asked, confirm } = person('keep');
    await add(
      db,
      { 'back.csv': `${header}\nJ-1,1,full,1,1,40.2,500,1000,12\nJ-1,1,full,1,1,40,500,1000,12\n` },
      confirm,
    );
    expect(asked).toEqual([]);
  });
});
