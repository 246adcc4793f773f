import fc from 'fast-check';
import { expect, it } from 'vitest';
import { inspect } from '../../lib/log/inspect';
import { tableNames } from '../../lib/log/table';
import { load } from '../../lib/store/load';
import { NativeDatabase } from '../../lib/store/native/database';
import { nothingDue, recalculate } from '../../lib/store/recalculate';
import { DirectCalculator } from '../../lib/store/native/calculator';
import { bearingOn, fitTogether, number } from '../../lib/store/resolve';
import { EMPTY_LOG, held, isRestedOn } from '../../lib/store/tables';
import { emptyLog, undoLastLoad } from '../../lib/store/undo';
import { textFile } from './openLog';
import { smallLog } from './smallLog';

/** The small log with rows that stand twice, that differ, and that point nowhere. */
const files: readonly (readonly [string, string])[] = [
  ...Object.entries(smallLog),
  ['more-jobs.csv', `${(smallLog['jobs.csv'] ?? '').split('\n')[0] ?? ''}\nJ-2,S-2,Kestrel,K-1,A,2024-03-05,test,B1\n`],
  [
    'parts.csv',
    'job_id,element,part,quantity\nJ-1,1,seal kit,1\nJ-1,9,seal kit,1\nJ-2,1,seal kit,1\nJ-3,1,seal kit,1\n',
  ],
  ['remarks.csv', 'remark_id,job_id,remarked_on,remark\n1,J-1,2024-05-01,a\n1,J-2,2024-05-01,b\n1,J-3,2024-05-01,c\n'],
  ['again.csv', 'remark_id,job_id,remarked_on,remark\n1,J-1,2024-05-01,a\n1,J-2,2024-05-01,other\n'],
  [
    'more-draws.csv',
    'job_id,run,test_point,repeat,element,volume_cm3,strokes\nJ-2,1,full,1,1,40,500\nJ-2,1,none,1,1,40,500\n',
  ],
];

const standings = async (db: NativeDatabase) => ({
  faults: await db.rows('select * from faults order by all'),
  rows: await Promise.all(
    tableNames.map((name) => db.rows(`select source_no, row_no, standing from ${held(name)} order by all`)),
  ),
});

it('to fit only the tables together that rows bear on comes to what fitting all together does, after loads and undoing', async () => {
  const db = await NativeDatabase.open(1);
  await db.run(EMPTY_LOG);
  let alone = 0;
  await fc.assert(
    fc.asyncProperty(
      fc.shuffledSubarray([...files], { minLength: 5, maxLength: 9 }),
      fc.infiniteStream(fc.boolean()),
      async (order, undoes) => {
        await emptyLog(db);
        for (const [name, text] of order) {
          const [report] = await load(db, [textFile(name, text)], { inspect, at: '2024-06-01 08:00:00' });
          if (report?.table != null && bearingOn([report.table]).length === 1) alone += 1;
          if (undoes.next().value) await undoLastLoad(db);
          const found = await standings(db);
          await fitTogether(db);
          expect(found).toEqual(await standings(db));
        }
      },
    ),
    { numRuns: 3 },
  );
  await db.close();
  expect(alone).toBeGreaterThan(4);
}, 240_000);

it('a load of remarks leaves nothing to work out, and the cards as writing them anew would', async () => {
  const db = await NativeDatabase.open(1);
  await db.run(EMPTY_LOG);
  const taken = async (picked: readonly (readonly [string, string])[]) => {
    await load(
      db,
      picked.map(([name, text]) => textFile(name, text)),
      { inspect, at: '2024-06-01 08:00:00' },
    );
  };
  const cards = () =>
    Promise.all(
      ['job_cards', 'fitted', 'retention_baselines'].map((name) => db.rows(`select * from ${name} order by all`)),
    );
  const remarks = files.filter(([name]) => /^(remarks|again)/.test(name));
  await taken(files.filter((file) => !remarks.includes(file)));
  await recalculate(db, new DirectCalculator());
  await taken(remarks);
  const found = await cards();
  expect(await nothingDue(db)).toEqual(await recalculate(db, new DirectCalculator()));
  await number(db, tableNames);
  expect(await cards()).toEqual(found);
  expect(tableNames.filter((name) => !isRestedOn(name))).toEqual(['remarks']);
  await db.close();
});
