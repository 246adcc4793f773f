import { describe, expect, it } from 'vitest';
import { inspect } from '../../lib/log/inspect';
import { tableNames } from '../../lib/log/table';
import { load } from '../../lib/store/load';
import { logOf, textFile } from './openLog';
import { appended, smallLog, smallLogWith } from './smallLog';

const AT = '2026-01-02 08:00:00';

const setAside = async (files: Readonly<Record<string, BlobPart>>) => {
  const { db } = await logOf(files);
  return db.rows('select file, row_no, column_name, value, kind, reason from set_aside order by file, row_no');
};

describe('rows that can not be used are set aside with file, row, column, value and reason', () => {
  it.each([
    [
      'a required cell left empty',
      'closures.csv',
      'J-1,3,,0',
      { column_name: 'element', value: null, reason: /is missing/ },
    ],
    [
      'letters for a number',
      'closures.csv',
      'J-1,3,1,abc',
      { column_name: 'cam_deg', value: 'abc', reason: /not a number/ },
    ],
    [
      'a decimal comma',
      'closures.csv',
      'J-1,3,1,"0,5"',
      { column_name: 'cam_deg', value: '0,5', reason: /decimal comma/ },
    ],
    ['element 0', 'closures.csv', 'J-1,3,0,0', { column_name: 'element', value: '0', reason: /outside 1 to 12/ }],
    [
      'half an element',
      'closures.csv',
      'J-1,3,1.5,0',
      { column_name: 'element', value: '1.5', reason: /not a whole number/ },
    ],
    [
      'a number without end',
      'closures.csv',
      'J-1,3,1,1e309',
      { column_name: 'cam_deg', value: '1e309', reason: /outside -720 to 720/ },
    ],
    [
      'a negative volume',
      'draws.csv',
      'J-1,3,full,1,1,-4,500',
      { column_name: 'volume_cm3', value: '-4', reason: /outside 0 to 5000 cm³/ },
    ],
    [
      'a day the local way round',
      'jobs.csv',
      'J-2,S-1,Kestrel,K-1,A,31/12/2024,test',
      { column_name: 'received_on', value: '31/12/2024', reason: /yyyy-mm-dd/ },
    ],
    [
      'a month that is none',
      'jobs.csv',
      'J-2,S-1,Kestrel,K-1,A,2024-13-40,test',
      { column_name: 'received_on', value: '2024-13-40', reason: /yyyy-mm-dd/ },
    ],
    [
      'a year long gone',
      'jobs.csv',
      'J-2,S-1,Kestrel,K-1,A,0216-01-01,test',
      { column_name: 'received_on', value: '0216-01-01', reason: /outside 1950/ },
    ],
    [
      'a word that is no choice',
      'jobs.csv',
      'J-2,S-1,Kestrel,K-1,A,2024-12-01,polish',
      { column_name: 'work_type', value: 'polish', reason: /one of test, recalibrate and rebuild/ },
    ],
    [
      'a draw without its job',
      'draws.csv',
      'J-9,1,full,1,1,40,500',
      { column_name: 'job_id', value: 'J-9', kind: 'reference', reason: /No row of jobs/ },
    ],
    [
      'a job without its revision',
      'jobs.csv',
      'J-2,S-1,Kestrel,K-1,B,2024-12-01,test',
      { column_name: 'spec_id', value: 'K-1 B', kind: 'reference', reason: /No row of specs/ },
    ],
    [
      'an element beyond the model',
      'shims.csv',
      'J-1,2,5,1.2,1.3',
      { column_name: 'element', value: '5', kind: 'reference', reason: /beyond the number of elements/ },
    ],
    [
      'an unknown test point',
      'draws.csv',
      'J-1,1,fool,1,1,40,500',
      { column_name: 'test_point', value: 'fool', kind: 'reference', reason: /no test point of this name/ },
    ],
    [
      'a firing order that is none',
      'specs.csv',
      'K-2,A,Plover,4,1-3-4-4,2,0,0',
      { column_name: 'firing_order', value: '1-3-4-4', kind: 'reference', reason: /firing order/ },
    ],
    [
      'a cell too many',
      'closures.csv',
      'J-1,3,1,0,2.1,,G-1,what',
      { column_name: null, value: 'J-1,3,1,0,2.1,,G-1,what', reason: /more cells than the header/ },
    ],
  ])('%s', async (_, file, row, expected) => {
    const text = smallLog[file] ?? '';
    const rows = await setAside(smallLogWith(file, appended(row)));
    const { reason, ...cells } = expected;
    expect(rows).toEqual([
      expect.objectContaining({ kind: 'format', ...cells, file, row_no: text.split('\n').length }),
    ]);
    expect(rows[0]?.reason).toMatch(reason);
  });

  it('counts rows as a spreadsheet does, past blank rows and rows that can not be taken apart', async () => {
    const rows = await setAside(
      smallLogWith('closures.csv', (text) => `${text}\nJ-1,3,1,0,1,1,1,1,1\n\nJ-1,3,2,x\nJ-1,3,3,"2""2"\n`),
    );
    expect(rows.map((row) => row.row_no)).toEqual([11, 13, 14]);
  });

  it('says of a draw whose job was set aside that the job is to be mended', async () => {
    const rows = await setAside(smallLogWith('jobs.csv', (text) => text.replace('2024-03-04', 'March 4')));
    const draws = rows.filter((row) => row.file === 'draws.csv');
    expect(draws).toHaveLength(9);
    expect(new Set(draws.map((row) => row.reason))).toEqual(
      new Set(['Its row in jobs was itself set aside. Mend that one and this will do.']),
    );
  });

  it('holds accepted plus set aside equal to read, for every file and for the rows themselves', async () => {
    const messy = smallLogWith(
      'draws.csv',
      (text) =>
        `${text}J-1,1,full,1,9,40,500\nJ-7,1,full,1,1,40,500\n,,,,,,\nJ-1,1,full,1,1,40.0,500,1000,12\nx,y,z,1,2,3,4,5,6,7,8\n`,
    );
    const { db, files } = await logOf(messy);
    for (const file of files) expect(file.accepted + file.setAside).toBe(file.read);
    expect(files.find((file) => file.file === 'draws.csv')).toMatchObject({ read: 14, setAside: 5 });
    for (const name of tableNames) {
      const [visible] = await db.rows(`select count(*)::integer as n from ${name}`);
      const [counted] = await db.rows(
        `select coalesce(sum(rows_accepted), 0)::integer as n from sources where log_table = $1`,
        [name],
      );
      expect(visible?.n).toBe(counted?.n);
    }
  });
});

describe('loading', () => {
  it('changes nothing when the same file comes twice', async () => {
    const { db } = await logOf(smallLog);
    const [report] = await load(db, [textFile('again.csv', smallLog['draws.csv'] ?? '')], { inspect, at: AT });
    expect(report).toMatchObject({
      read: 0,
      refused: null,
      note: expect.stringContaining('already in the log as draws.csv') as unknown,
    });
    expect(await db.rows('select count(*)::integer as n from draws')).toEqual([{ n: 9 }]);
  });

  it('lets a later row with the same key take the place of an earlier one, and lists the earlier', async () => {
    const { db } = await logOf(smallLog);
    const newer = 'job_id,run,test_point,repeat,element,volume_cm3,strokes\nJ-1,1,full,1,1,40.2,500\n';
    await load(db, [textFile('mended.csv', newer)], { inspect, at: AT });
    expect(await db.rows(`select volume_cm3 from draws where run = 1 and test_point = 'full' and element = 1`)).toEqual(
      [{ volume_cm3: 40.2 }],
    );
    expect(await db.rows('select file, row_no, kind from set_aside')).toEqual([
      { file: 'draws.csv', row_no: 2, kind: 'replaced' },
    ]);
  });

  it('accepts draws whose job comes with a later load', async () => {
    const { 'jobs.csv': jobs = '', ...rest } = smallLog;
    const { db } = await logOf(rest);
    expect(await db.rows('select count(*)::integer as n from draws')).toEqual([{ n: 0 }]);
    await load(db, [textFile('jobs.csv', jobs)], { inspect, at: AT });
    expect(await db.rows('select count(*)::integer as n from draws')).toEqual([{ n: 9 }]);
    expect(await db.rows('select count(*)::integer as n from set_aside')).toEqual([{ n: 0 }]);
  });

  it('takes in what is good when a file beside it breaks off while being read', async () => {
    const { db, files } = await logOf({ ...smallLog, 'broken.parquet': 'PAR1 no pages at all PAR1' });
    expect(files.at(-1)).toMatchObject({
      file: 'broken.parquet',
      table: null,
      refused: expect.stringContaining("can't be read") as unknown,
    });
    expect(files.at(-1)?.refused).not.toContain('/');
    expect(await db.rows('select file from refused')).toEqual([{ file: 'broken.parquet' }]);
    expect(await db.rows('select count(*)::integer as n from draws')).toEqual([{ n: 9 }]);
  });

  it('leaves the log as it was when it is called off', async () => {
    const { db } = await logOf(smallLog);
    const stop = new AbortController();
    const more = [
      textFile('a.csv', 'job_id,run,element,cam_deg\nJ-1,5,1,0\n'),
      textFile('b.csv', 'job_id,run,element,cam_deg\nJ-1,6,1,0\n'),
    ];
    const calledOff = load(db, more, {
      inspect,
      at: AT,
      signal: stop.signal,
      onStep: ({ file }) => {
        // The second file is the next to be taken in; the first one is in the transaction by now.
        if (file === 'b.csv') stop.abort();
      },
    });
    await expect(calledOff).rejects.toThrow();
    expect(await db.rows('select count(*)::integer as n from closures where run > 2')).toEqual([{ n: 0 }]);
    expect(await db.rows('select count(*)::integer as n from sources')).toEqual([{ n: Object.keys(smallLog).length }]);
  });

  it('reads rows that end in CR LF, in LF, and in both', async () => {
    const crlf = (text: string) => text.replaceAll('\n', '\r\n');
    const mixed = (text: string) => text.replace('\n', '\r\n');
    for (const change of [crlf, mixed]) {
      const { db, files } = await logOf(smallLogWith('draws.csv', change));
      expect(files.every((file) => file.refused === null)).toBe(true);
      expect(await db.rows('select count(*)::integer as n from draws')).toEqual([{ n: 9 }]);
    }
  });

  it('keeps cells as text: markup, SQL and formulas stay what they are', async () => {
    const nasty = `"<b>x</b>'); drop table held_jobs; --"`;
    const { db } = await logOf(smallLogWith('jobs.csv', appended(`=1+1,${nasty},Kestrel,K-1,A,2024-03-05,test,@b`)));
    expect(await db.rows(`select job_id, pump_serial, bench_id from jobs where job_no = 2`)).toEqual([
      { job_id: '=1+1', pump_serial: "<b>x</b>'); drop table held_jobs; --", bench_id: '@b' },
    ]);
  });
});
