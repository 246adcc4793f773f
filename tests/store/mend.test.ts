import fc from 'fast-check';
import { csvFormatRows, csvParseRows } from 'd3-dsv';
import { describe, expect, it } from 'vitest';
import { guarded, unguarded } from '../../lib/log/mend';
import { tables } from '../../lib/log/tables';
import { openLog } from '../../lib/headless/log';
import { add, brokenSums, mended, rowsOf } from './mending';
import { logOf, textFile } from './openLog';
import { appended, smallLog, smallLogWith } from './smallLog';

const told = 'select file, row_no, kind, reason from set_aside order by file, row_no';
const FAULTY = 'J-1,1,full,3,1,"40,2",500';

describe('a file of rows to mend', () => {
  it('holds the cells as they were written, and where and why each row was set aside', async () => {
    const { db } = await logOf(smallLogWith('draws.csv', (text) => `${text}${FAULTY}\nJ-9,1,full,1,1,040.50,500\n`));
    expect(csvParseRows(await mended(db, 'draws'))).toEqual([
      [
        ...tables.draws.columns.map((column) => column.name),
        'set_aside_file',
        'set_aside_row',
        'set_aside_column',
        'set_aside_reason',
      ],
      expect.arrayContaining([
        '40,2',
        'draws.csv',
        '11',
        'volume_cm3',
        'volume_cm3 has a decimal comma. Write it with a point.',
      ]),
      expect.arrayContaining(['J-9', '40.5', 'draws.csv', '12', 'job_id']),
    ]);
  });

  it('takes the place of the rows it names, which are told as mended', async () => {
    const { db } = await logOf(smallLogWith('draws.csv', appended(FAULTY)));
    const text = await mended(db, 'draws', () => ({ volume_cm3: '40.2' }));
    const [report] = await add(db, { 'draws-to-mend.csv': text });
    expect(report).toMatchObject({ read: 1, accepted: 1, setAside: 0, note: 'It mends 1 row set aside before.' });
    expect(await db.rows(told)).toEqual([
      { file: 'draws.csv', row_no: 11, kind: 'mended', reason: 'Mended by draws-to-mend.csv row 2.' },
    ]);
    expect(await rowsOf(db, 'draws')).toEqual([]);
    expect(await brokenSums(db)).toEqual([]);
  });

  it('has what is still faulty set aside again, to be mended in a next file', async () => {
    const { db } = await logOf(smallLogWith('draws.csv', appended(FAULTY)));
    await add(db, { 'one.csv': await mended(db, 'draws', () => ({ volume_cm3: 'forty' })) });
    expect(await db.rows(told)).toMatchObject([
      { file: 'draws.csv', kind: 'mended', reason: 'Taken up by one.csv row 2, which still needs a hand.' },
      { file: 'one.csv', row_no: 2, kind: 'format' },
    ]);
    expect(await rowsOf(db, 'draws')).toMatchObject([{ set_aside_file: 'one.csv', set_aside_row: '2' }]);
    await add(db, { 'two.csv': await mended(db, 'draws', () => ({ volume_cm3: '40.2' })) });
    expect(await db.rows(told)).toMatchObject([
      { file: 'draws.csv', reason: 'Taken up by one.csv row 2, which was mended in its turn.' },
      { file: 'one.csv', reason: 'Mended by two.csv row 2.' },
    ]);
    expect(await brokenSums(db)).toEqual([]);
  });

  it('may be mended and loaded a second time, the rows still naming the first originals', async () => {
    const { db } = await logOf(smallLogWith('draws.csv', appended(FAULTY)));
    const saved = await mended(db, 'draws');
    await add(db, { 'one.csv': saved.replace('"40,2"', 'forty') });
    await add(db, { 'two.csv': saved.replace('"40,2"', '40.2') });
    expect(await db.rows(told)).toMatchObject([
      { file: 'draws.csv', kind: 'mended' },
      { file: 'one.csv', kind: 'mended', reason: 'Mended by two.csv row 2.' },
    ]);
  });

  it('is told as mended where the row it mends has the same key and a fault beyond its cells', async () => {
    const { db } = await logOf(smallLogWith('specs.csv', appended('K-2,A,Plover,4,1-3-4-4,2,0,0')));
    await add(db, { 'mended.csv': await mended(db, 'specs', () => ({ firing_order: '1-3-4-2' })) });
    expect(await db.rows(told)).toMatchObject([{ file: 'specs.csv', row_no: 3, kind: 'mended' }]);
    expect(await db.rows('select spec_id from specs order by spec_id')).toEqual([
      { spec_id: 'K-1' },
      { spec_id: 'K-2' },
    ]);
  });

  it('mends a row that could not be taken apart, which stands behind its reason', async () => {
    const { db } = await logOf(smallLogWith('closures.csv', appended('J-1,3,1,0,2.1,,G-1,what')));
    expect(await rowsOf(db, 'closures')).toMatchObject([
      {
        job_id: null,
        set_aside_row: '10',
        set_aside_reason: expect.stringContaining('It reads: J-1,3,1,0,2.1,,G-1,what') as unknown,
      },
    ]);
    const cells = { job_id: 'J-1', run: '3', element: '1', cam_deg: '0' };
    await add(db, { 'mended.csv': await mended(db, 'closures', () => cells) });
    expect(await db.rows(told)).toMatchObject([{ file: 'closures.csv', row_no: 10, kind: 'mended' }]);
    expect(await brokenSums(db)).toEqual([]);
  });

  it('can not push a row out of the log by naming it', async () => {
    const { db } = await logOf(smallLog);
    const text = 'job_id,run,element,cam_deg,set_aside_file,set_aside_row\nJ-1,3,1,0,closures.csv,2\n';
    const [report] = await add(db, { 'mended.csv': text });
    expect(report?.note).toBe('1 row names a row that is not waiting to be mended, and was read as a row of its own.');
    expect(await db.rows('select count(*)::integer as n from closures')).toEqual([{ n: 9 }]);
  });

  it('names the right one of two files of the same name', async () => {
    const { db } = await logOf(smallLogWith('draws.csv', appended(FAULTY)));
    await add(db, { 'draws.csv': 'job_id,run,test_point,repeat,element,volume_cm3,strokes\nJ-1,1,full,4,1,x,500\n' });
    const [first, second] = await rowsOf(db, 'draws');
    expect(first?.set_aside_file).toBe('draws.csv');
    expect(second?.set_aside_file).toMatch(/^draws\.csv #[0-9a-f]{8}$/);
    await add(db, { 'mended.csv': await mended(db, 'draws', () => ({ volume_cm3: '40' })) });
    expect(await db.rows('select kind from set_aside')).toEqual([{ kind: 'mended' }, { kind: 'mended' }]);
  });

  it('comes after its originals, and after the file it mends in turn, when all are loaded at once', async () => {
    const { db } = await logOf(smallLogWith('draws.csv', appended(FAULTY)));
    const one = await mended(db, 'draws', () => ({ volume_cm3: 'forty' }));
    await add(db, { 'b.csv': one });
    const two = await mended(db, 'draws', () => ({ volume_cm3: '40.2' }));
    await add(db, { 'a.csv': two });
    const all = { 'a.csv': two, 'b.csv': one, ...smallLogWith('draws.csv', appended(FAULTY)) };
    const at_once = await openLog(
      Object.entries(all).map(([name, text]) => textFile(name, text)),
      '2026-01-01 08:00:00',
    );
    expect(await at_once.db.rows(told)).toEqual(await db.rows(told));
    expect(await at_once.db.rows(told)).toHaveLength(2);
  });
});

describe('cells come through a file of rows to mend unchanged', () => {
  const cell = fc.oneof(
    fc.string({
      unit: fc.constantFrom('=', '+', '-', '@', "'", '"', ',', ' ', '1', '.', 'a', '\uff1d', 'é'),
      minLength: 1,
      maxLength: 6,
    }),
    fc.constantFrom('=1+1', '-4', '+4.5e3', '-4-4', "'", "''", '@SUM(A1)', ' =1', 'x\ny', '\t=1', '-'),
  );

  it('no cell begins as a formula does, except for plain numbers, and the guard comes off again', () => {
    fc.assert(
      fc.property(cell, (text) => {
        const written = guarded(text);
        expect(/^\s*[=+\-@\uff1d]/.test(written) && Number.isNaN(Number(written))).toBe(false);
        expect(unguarded(written)).toBe(text);
      }),
    );
  });

  it('when the database has read them, with a spreadsheet in between that keeps its cells', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(fc.tuple(cell, cell), { minLength: 1, maxLength: 8 }), async (rows) => {
        const header = ['instrument_id', 'kind', 'calibrated_on', 'due_on'];
        const { db } = await logOf({
          'gauges.csv': `${csvFormatRows([header, ...rows.map(([id, kind]) => [id, kind, 'soon', ''])])}\n`,
        });
        const cells = async (source: number) =>
          db.rows(`select list_slice(raw, 1, ${tables.instruments.columns.length})::varchar as cells from held_instruments
            where source_no = ${source} order by row_no`);
        const before = await cells(1);
        const saved = await mended(db, 'instruments');
        await add(db, { 'mended.csv': saved });
        expect(before).toHaveLength(rows.length);
        expect(await cells(2)).toEqual(before);
      }),
      { numRuns: 25 },
    );
  });
});
