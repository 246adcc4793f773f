import { zipSync, strToU8 } from 'fflate';
import { describe, expect, it } from 'vitest';
import { inspect, MOST_COLUMNS } from '../../lib/log/inspect';
import { SheetReader } from '../../lib/log/workbook/sheet';
import { sheetsOf } from '../../lib/log/workbook/sheets';
import { readXml } from '../../lib/log/workbook/xml';
import { load, type FileReport } from '../../lib/store/load';
import { bookBytes, partsOfBook, sheetOfCsv, text, zipped } from '../log/workbook/book';
import { brokenSums } from '../store/mending';
import { logOf, textFile } from '../store/openLog';
import { appended, smallLog, smallLogWith } from '../store/smallLog';

/** Files that would cost memory or time without end. What is beside them is taken in, and the log stays usable. */

const HEADER = 'job_id,run,element,cam_deg';
const LONGEST_SENTENCE = 2000;

async function beside(name: string, content: BlobPart): Promise<FileReport> {
  const { db, files } = await logOf({ ...smallLog, [name]: content });
  expect(await db.rows('select count(*)::integer as n from draws')).toEqual([{ n: 9 }]);
  expect(await brokenSums(db)).toEqual([]);
  const report = files.find((file) => file.file === name);
  if (report === undefined) throw new Error(`${name} is not told of`);
  expect((report.refused ?? '').length).toBeLessThan(LONGEST_SENTENCE);
  await db.close();
  return report;
}

describe('a CSV file', () => {
  it('with a million columns is refused', async () => {
    const header = `${HEADER},${Array.from({ length: 1_000_000 }, (_, i) => `c${i}`).join(',')}`;
    expect((await beside('wide.csv', `${header}\n`)).refused).toContain('The first row is no header of a log');
  });

  it('with a quarter of a million nameless columns is refused', async () => {
    expect((await beside('wide.csv', `${HEADER}${','.repeat(250_000)}\nA,1,1,0\n`)).refused).toContain(
      `more than ${MOST_COLUMNS} columns`,
    );
  });

  it('whose names are as long as itself is refused in a sentence that can be read', async () => {
    expect((await beside('long.csv', `${'a'.repeat(200_000)},${'b'.repeat(50_000)}\n1,2\n`)).refused).toContain(
      'No table has these columns (aaaa',
    );
  });

  it('with a row of some cells too many sets that row aside, with a row of a million is refused', async () => {
    const rows = (cells: number) => `${HEADER}\nJ-1,3,1,0\nJ-1,3,2${',1'.repeat(cells)}\nJ-1,3,3,90\n`;
    expect(await beside('row.csv', rows(5000))).toMatchObject({ read: 3, accepted: 2, setAside: 1 });
    for (const text of [rows(1_000_000), rows(1_000_000).replace('J-1', '"J-1"')]) {
      expect((await beside('row.csv', text)).refused).toContain(
        'Row 3, with others like it, has thousands of cells more',
      );
    }
  });

  it('whose rows all have a stray comma is set aside row by row, and refused as a whole where they are too many', async () => {
    const rows = (count: number) => `${HEADER}\n${'J-1,3,1,0,x,x\n'.repeat(count)}`;
    expect(await beside('some.csv', rows(1000))).toMatchObject({ read: 1000, accepted: 0 });
    expect((await beside('all.csv', rows(30_000))).refused).toContain('the rows do not belong to this header');
  });

  it('with a cell of 1.5 MB sets that row aside, with its number and its reason', async () => {
    const { db } = await logOf(
      smallLogWith('jobs.csv', appended(`J-2,${'x'.repeat(1_500_000)},Kestrel,K-1,A,2024-03-05,test,B1`)),
    );
    expect(await db.rows('select row_no, column_name, reason from set_aside')).toEqual([
      { row_no: 3, column_name: 'pump_serial', reason: 'pump_serial is longer than 60 characters.' },
    ]);
  });

  it('with a cell of 10 MB sets that row aside', async () => {
    const report = await beside('cell.csv', `${HEADER}\nJ-1,3,1,0\n${'x'.repeat(10_000_000)},3,2,0\nJ-1,3,3,90\n`);
    expect(report).toMatchObject({ read: 3, accepted: 2, setAside: 1 });
  });

  it('with hundreds of thousands of blank rows keeps the number of the row after them', async () => {
    const { db, files } = await logOf(
      smallLogWith('closures.csv', (was) => `${was}${'\n'.repeat(200_000)}J-1,3,1,x\n`),
    );
    expect(files.find((file) => file.file === 'closures.csv')).toMatchObject({ read: 9, accepted: 8 });
    expect(await db.rows('select row_no from set_aside')).toEqual([{ row_no: 200_010 }]);
  });
});

const refusalOf = async (bytes: Uint8Array<ArrayBuffer>): Promise<string> => {
  const sheets = (await sheetsOf({ name: 'Book.xlsx', blob: new Blob([bytes]), path: null })) ?? [];
  return sheets[0]?.refused ?? 'readable';
};
const book = { sheets: [sheetOfCsv('S', 'a,b\n1,2\n')] };
const SHEET = 'xl/worksheets/sheet1.xml';

describe('a workbook', () => {
  it('that names one sheet a thousand times is refused before it is unpacked a second time', async () => {
    const parts = partsOfBook(book);
    const named = (parts['xl/workbook.xml'] ?? '').replace(/<sheet .*?\/>/, (sheet) => sheet.repeat(1000));
    expect(await refusalOf(zipped({ ...parts, 'xl/workbook.xml': named }))).toContain('is damaged: S in it');
  });

  it('whose cells all name one long text is refused within the row', async () => {
    const cells = Array.from({ length: 400 }, () => '<c t="s"><v>0</v></c>').join('');
    const parts = {
      ...partsOfBook({ ...book, shared: [`<t>${'long '.repeat(200_000)}</t>`] }),
      [SHEET]: `<worksheet><sheetData><row r="1">${cells}</row></sheetData></worksheet>`,
    };
    expect(await refusalOf(zipped(parts))).toContain('holds more than 269 MB of text');
  });

  it('whose sheets together hold too much text is refused, though each by itself would do', async () => {
    const reader = new SheetReader('B', { texts: [], shown: [], since1904: false }, 100);
    const xml = `<sheetData>${'<row><c><v>12345</v></c></row>'.repeat(30)}</sheetData>`;
    await expect(
      readXml(
        (async function* () {
          yield await Promise.resolve(strToU8(xml));
        })(),
        'B',
        reader,
      ),
    ).rejects.toThrow('The sheet B holds more than');
  });

  it('with a format of a million brackets is read, the cells as numbers', async () => {
    const parts = partsOfBook({ sheets: [sheetOfCsv('S', 'a\n12\n')] });
    const styles = `<styleSheet><numFmts><numFmt numFmtId="200" formatCode="${'['.repeat(1_000_000)}"/></numFmts><cellXfs><xf numFmtId="200"/></cellXfs></styleSheet>`;
    expect(await refusalOf(zipped({ ...parts, 'xl/styles.xml': styles }))).toBe('readable');
  });

  it('with a part by the same name twice, in other capitals, is weighed by what is unpacked', async () => {
    const parts = partsOfBook(book);
    const twice = { ...parts, 'XL/Worksheets/Sheet1.xml': ' '.repeat(20_000_000) };
    expect(await refusalOf(zipped(twice))).toMatch(/would swell/);
  });

  it('with paths that lead out of it reads nothing but its own parts', async () => {
    const parts = partsOfBook(book);
    const relations = (parts['xl/_rels/workbook.xml.rels'] ?? '').replace(
      'worksheets/sheet1.xml',
      '../../../../etc/passwd',
    );
    expect(await refusalOf(zipped({ ...parts, 'xl/_rels/workbook.xml.rels': relations }))).toContain(
      'is damaged: etc/passwd in it',
    );
    const outside = new Uint8Array(zipSync({ '../../xl/workbook.xml': strToU8('<workbook/>') }));
    expect(await refusalOf(outside)).toContain('no workbook');
  });

  it('with a name of a sheet as long as a book is read under a short one', async () => {
    const sheets = await sheetsOf({
      name: 'B.xlsx',
      blob: new Blob([bookBytes({ sheets: [{ name: 'n'.repeat(100_000), rows: [[text('job_id')]] }] })]),
      path: null,
    });
    expect(sheets?.[0]?.file.name.length).toBeLessThan(200);
  });
});

it('a load of hostile files alone leaves the log as it was', async () => {
  const { db } = await logOf(smallLog);
  const reports = await load(
    db,
    [
      textFile('a.csv', `${HEADER}${','.repeat(100_000)}`),
      textFile('b.csv', '"'.repeat(1_000_001)),
      textFile('c.csv', '\0'),
    ],
    { inspect, at: '2026-01-02 08:00:00' },
  );
  expect(reports.map((report) => report.refused === null)).toEqual([false, false, false]);
  expect(await db.rows('select count(*)::integer as n from sources')).toEqual([{ n: Object.keys(smallLog).length }]);
});
