import fc from 'fast-check';
import { csvFormatRows } from 'd3-dsv';
import { describe, expect, it } from 'vitest';
import type { PreparedFile } from '../../../lib/log/prepared';
import { sheetsOf } from '../../../lib/log/workbook/sheets';
import {
  blank,
  bookBytes,
  formula,
  number,
  partsOfBook,
  serialOf,
  shared,
  sheetOfCsv,
  style,
  text,
  typed,
  zipped,
  type Book,
  type Cell,
} from './book';

const taken = async (book: Book | Uint8Array<ArrayBuffer>): Promise<readonly PreparedFile[]> => {
  const bytes = book instanceof Uint8Array ? book : bookBytes(book);
  return (await sheetsOf({ name: 'Book.xlsx', blob: new Blob([bytes]), path: null })) ?? [];
};
/** The text without the mark at its start, which says UTF-8. */
const textOf = async (file: PreparedFile | undefined): Promise<string> => {
  const bytes = new Uint8Array((await file?.file.blob.arrayBuffer()) ?? new ArrayBuffer());
  expect([...bytes.slice(0, 3)]).toEqual([0xef, 0xbb, 0xbf]);
  return new TextDecoder().decode(bytes);
};
const head = [text('a'), text('b'), text('c')];
const rowsOf = async (...rows: (readonly Cell[])[]): Promise<string[]> => {
  const [sheet] = await taken({ sheets: [{ name: 'S', rows: [head, ...rows] }] });
  return (await textOf(sheet)).trimEnd().split('\n').slice(1);
};

/** A number by its figures, so that its text is known without reckoning. */
class Decimal {
  constructor(
    private readonly figures: number,
    private readonly places: number,
  ) {}

  text(): string {
    const digits = String(Math.abs(this.figures)).padStart(this.places + 1, '0');
    const whole = digits.slice(0, digits.length - this.places);
    const part = digits.slice(digits.length - this.places).replace(/0+$/, '');
    return `${this.figures < 0 ? '-' : ''}${whole}${this.places === 0 || part === '' ? '' : `.${part}`}`;
  }
}

describe('a sheet becomes comma separated text', () => {
  it('takes each kind of cell as the log writes it', async () => {
    expect(
      await rowsOf(
        [number('40.5'), number('0.30000000000000004'), number('1E-3')],
        [number(45355, style.day), number(45355.4375, style.moment), number(45355.25, style.own)],
        [typed('b', '1'), typed('b', '0'), typed('d', '2024-03-04T10:15:00')],
        [typed('e', '#N/A'), typed('str', 'x'), text(' keeps "quotes", commas ')],
        [number(45355, style.red), number(45355, style.quoted), number(45355.5, style.figures)],
        [formula('A1*2', '81', 'n'), formula('A1&"x"', 'fullx'), formula('A1>2', '1', 'b')],
      ),
    ).toEqual([
      '40.5,0.30000000000000004,0.001',
      '2024-03-04,2024-03-04 10:30,2024-03-04 06:00',
      'yes,no,2024-03-04 10:15',
      '#N/A,x," keeps ""quotes"", commas "',
      '45355,45355,45355.5',
      '81,fullx,yes',
    ]);
  });

  it('reads texts named by number, in pieces and without how they sound', async () => {
    const book: Book = {
      sheets: [{ name: 'S', rows: [[shared(0), shared(1)], [shared(2)]] }],
      shared: [
        '<t>job</t>',
        '<r><t xml:space="preserve">two </t></r><r><rPr><b/></rPr><t>pieces &amp; &#233;</t></r>',
        '<t>漢字</t><rPh sb="0" eb="2"><t>かんじ</t></rPh>',
      ],
    };
    expect(await textOf((await taken(book))[0])).toBe('job,two pieces & é\n漢字,\n');
  });

  it('keeps every row in the row of its number, blank ones and left-out cells too', async () => {
    const rows = [head, [], [], [text('x'), blank, text('z')], [blank], [text(''), text('y')]];
    const [sheet] = await taken({ sheets: [{ name: 'S', rows }] });
    expect(await textOf(sheet)).toBe('a,b,c\n\n\nx,,z\n\n,y,\n');
  });

  it('counts days from 1904 where the workbook says so', async () => {
    const [sheet] = await taken({ since1904: true, sheets: [{ name: 'S', rows: [[number(43893, style.day)]] }] });
    expect(await textOf(sheet)).toBe('2024-03-04\n');
  });

  it('names what is hidden, merged, at fault or never worked out', async () => {
    const sheet = {
      name: 'S',
      state: 'hidden' as const,
      merged: ['A2:B2'],
      hiddenRows: [3],
      rows: [head, [text('x')], [typed('e', '#REF!'), formula('B1', null)]],
    };
    const [read] = await taken({ sheets: [sheet] });
    expect(read?.note).toBe(
      'The sheet is hidden in its workbook. One hidden row was read too. ' +
        'Merged cells (A2:B2): the first of them has the value, the others are empty. ' +
        'Cells with an error (A3 #REF!) were taken as that text. ' +
        'Formulas that were never worked out (B3): open the workbook in a spreadsheet program and save it.',
    );
    expect(await textOf(read)).toContain('#REF!,(formula without a value),');
  });

  it('any table of texts, numbers and days is what it would be as CSV', async () => {
    const cell = fc.oneof(
      fc.string({ unit: fc.constantFrom('a', 'é', '漢', '"', ',', '\n', ' ', '<', '&', ';', "'"), maxLength: 8 }),
      // Up to fifteen figures, which a number of a workbook holds exactly enough to give them back.
      fc.tuple(fc.integer(), fc.nat(15)).map(([figures, places]) => new Decimal(figures, places)),
      fc.date({ min: new Date('1901-01-01'), max: new Date('2099-12-31'), noInvalidDate: true }),
    );
    type Value = string | Decimal | Date;
    const asText = (value: Value): string =>
      typeof value === 'string' ? value : value instanceof Date ? value.toISOString().slice(0, 10) : value.text();
    const asCell = (value: Value): Cell => {
      if (typeof value === 'string') return text(value);
      // As JavaScript writes it, which is with a power of ten where it is small.
      return value instanceof Date ? number(serialOf(asText(value)), style.day) : number(Number(value.text()));
    };
    const table = fc
      .integer({ min: 2, max: 5 })
      .chain((width) =>
        fc.array(fc.array(cell, { minLength: width, maxLength: width }), { minLength: 1, maxLength: 8 }),
      )
      // A row of empty cells is a blank line, and such rows at the end are none: told by tests of their own.
      .map((rows) => rows.map((row): (string | Decimal | Date)[] => ['x', ...row.slice(1)]));
    await fc.assert(
      fc.asyncProperty(table, async (rows) => {
        const header = rows[0]?.map((_, i) => text(`h${i}`)) ?? [];
        const [sheet] = await taken({ sheets: [{ name: 'S', rows: [header, ...rows.map((row) => row.map(asCell))] }] });
        const expected = csvFormatRows([header.map((_, i) => `h${i}`), ...rows.map((row) => row.map(asText))]);
        expect(await textOf(sheet)).toBe(`${expected}\n`);
      }),
    );
  });
});

describe('the sheets of a workbook', () => {
  it('are files under the names of workbook and sheet, and know the workbook they came in', async () => {
    const book: Book = {
      sheets: [
        { name: 'Überblick', chart: true, rows: [] },
        sheetOfCsv('draws & co', 'a,b\n1,2\n'),
        { name: 'Empty', rows: [] },
        sheetOfCsv('jobs', 'c\nx\n'),
      ],
    };
    const bytes = bookBytes(book);
    const [draws, jobs, ...more] = await taken(bytes);
    expect(more).toEqual([]);
    expect([draws?.file.name, jobs?.file.name]).toEqual(['Book.xlsx / draws & co', 'Book.xlsx / jobs']);
    expect(draws?.note).toBe('Of this workbook was not read: Überblick (a chart), Empty (empty).');
    const digest = Buffer.from(await crypto.subtle.digest('SHA-256', bytes)).toString('hex');
    expect(draws?.file.origin).toEqual({
      name: 'Book.xlsx',
      bytes: bytes.length,
      hash: digest,
      sheet: 'draws & co',
    });
  });

  it('are found where names have prefixes and places are written otherwise', async () => {
    const parts = partsOfBook({ sheets: [sheetOfCsv('S', 'a,b\n1,2\n')] });
    const prefixed = Object.fromEntries(
      Object.entries(parts).map(([name, content]) => [
        name.replace('xl/worksheets/sheet1.xml', 'xl\\Worksheets\\Sheet1.xml'),
        name.endsWith('.rels') ? content : content.replaceAll(/<(\/?)(?=[a-zA-Z])/g, '<$1x:'),
      ]),
    );
    expect(await textOf((await taken(zipped(prefixed)))[0])).toBe('a,b\n1,2\n');
  });

  it('a file that is no workbook is left to others', async () => {
    expect(await sheetsOf({ name: 'a.csv', blob: new Blob(['a,b\n']), path: null })).toBeNull();
  });
});
