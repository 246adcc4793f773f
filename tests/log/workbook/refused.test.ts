import { zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { sheetsOf } from '../../../lib/log/workbook/sheets';
import { MOST_UNPACKED } from '../../../lib/log/workbook/zip';
import { bookBytes, partsOfBook, sheetOfCsv, text, zipped } from './book';

const reasonOf = async (bytes: Uint8Array<ArrayBuffer>): Promise<string> => {
  const [file, ...more] = (await sheetsOf({ name: 'Book.xlsx', blob: new Blob([bytes]), path: null })) ?? [];
  expect(more).toEqual([]);
  return file?.refused ?? 'readable';
};
const book = { sheets: [sheetOfCsv('S', `a,b\n${'1,2\n'.repeat(200)}`)] };
const container = (...texts: string[]): Uint8Array<ArrayBuffer> =>
  new Uint8Array([
    0xd0,
    0xcf,
    0x11,
    0xe0,
    0xa1,
    0xb1,
    0x1a,
    0xe1,
    ...texts.flatMap((each) => [...Buffer.from(each, 'utf16le')]),
  ]);

/** A directory entry's numbers changed: where the archive's directory tells of the part, and in it alone. */
function withSize(
  bytes: Uint8Array<ArrayBuffer>,
  part: string,
  change: (size: number) => number,
): Uint8Array<ArrayBuffer> {
  const changed = new Uint8Array(bytes);
  const view = new DataView(changed.buffer);
  const name = Buffer.from(changed).lastIndexOf(part);
  view.setUint32(name - 46 + 24, change(view.getUint32(name - 46 + 24, true)), true);
  return changed;
}
const SHEET = 'xl/worksheets/sheet1.xml';

describe('a workbook that is not read is refused with what it is and what to do', () => {
  it('of the old binary kind', async () => {
    expect(await reasonOf(container('Workbook'))).toContain('old binary kind (.xls)');
  });

  it('under a password', async () => {
    expect(await reasonOf(container('Root Entry', 'EncryptedPackage'))).toContain('protected by a password');
  });

  it.each([
    ['a binary workbook', { 'xl/workbook.bin': 'x' }, '.xlsb'],
    [
      'an OpenDocument file',
      { mimetype: 'application/vnd.oasis.opendocument.spreadsheet', 'content.xml': '<a/>' },
      '.ods',
    ],
    ['a zip of other files', { 'jobs.csv': 'job_id\n' }, 'no workbook. Unpack it'],
    ['an archive without a file', {}, 'no workbook. Unpack it'],
  ])('%s', async (_, parts, says) => {
    expect(await reasonOf(zipped(parts))).toContain(says);
  });

  it('without a filled cell', async () => {
    expect(await reasonOf(bookBytes({ sheets: [{ name: 'S', rows: [[text('')]] }] }))).toBe(
      'No sheet of this workbook holds a row (S (empty)). Fill in a sheet, or choose another file.',
    );
  });

  it('cut short at any place', async () => {
    const bytes = bookBytes(book);
    for (let end = 8; end < bytes.length; end += 41) {
      expect(await reasonOf(bytes.slice(0, end)), `cut at ${end}`).toContain('cut short');
    }
  });

  it('with a bit of a sheet flipped', async () => {
    const bytes = bookBytes(book);
    const at = Buffer.from(bytes).indexOf(SHEET) + SHEET.length;
    for (const place of [2, 20, 60]) {
      const flipped = new Uint8Array(bytes);
      flipped[at + place] = (flipped[at + place] ?? 0) ^ 0x10;
      expect(await reasonOf(flipped), `at ${place}`).toMatch(/is damaged/);
    }
  });

  it.each([
    ['rows out of order', '<row r="2"/><row r="1"/>', 'out of order'],
    ['a row beyond the last', '<row r="1048577"/>', 'out of order'],
    ['a cell out of order', '<row r="1"><c r="B1"><v>1</v></c><c r="A1"><v>1</v></c></row>', 'out of order'],
    ['a text that is not there', '<row r="1"><c r="A1" t="s"><v>7</v></c></row>', 'out of order'],
    ['XML that does not close', '<row r="1"><c r="A1"><v>1', 'is damaged'],
  ])('%s', async (_, rows, says) => {
    const parts = { ...partsOfBook(book), [SHEET]: `<worksheet><sheetData>${rows}</sheetData></worksheet>` };
    const closed = says === 'is damaged' ? { ...parts, [SHEET]: `<worksheet><sheetData>${rows}` } : parts;
    expect(await reasonOf(zipped(closed))).toContain(says);
  });
});

describe('a workbook that swells', () => {
  const swelling = (letters: number): Uint8Array<ArrayBuffer> =>
    zipped({ ...partsOfBook(book), [SHEET]: `<worksheet>${' '.repeat(letters)}</worksheet>` });

  it('beyond what any workbook of readings does is refused before it is unpacked, with the figures', async () => {
    expect(await reasonOf(swelling(20_000_000))).toMatch(/would swell from 1 MB to 21 MB, more than 300 times/);
  });

  it('to more than the limit by what its directory says is refused before it is unpacked', async () => {
    // Stored, so that the ratio is that of a directory that tells 300 MB each of two parts of 2 MB.
    const parts = partsOfBook({ sheets: [sheetOfCsv('A', 'a\n1\n'), sheetOfCsv('B', 'a\n1\n')] });
    const noise = (): string =>
      Array.from({ length: 1_000_000 }, (_, i) => String.fromCharCode(33 + ((i * 7919 + (i >> 3) * 31) % 90))).join('');
    const large = Object.fromEntries(
      Object.entries(parts).map(([name, content]) => [
        name,
        [new TextEncoder().encode(name.startsWith('xl/worksheets/') ? noise() : content), { level: 0 }] as const,
      ]),
    );
    const bytes = ['xl/worksheets/sheet1.xml', 'xl/worksheets/sheet2.xml'].reduce(
      (made, part) => withSize(made, part, () => 280_000_000),
      new Uint8Array(zipSync(large as Parameters<typeof zipSync>[0])),
    );
    expect(MOST_UNPACKED).toBe(512_000_000);
    expect(await reasonOf(bytes)).toMatch(/unpacks to 561 MB; at most 512 MB are taken/);
  });

  it('past what its directory says is stopped there', async () => {
    const bytes = withSize(swelling(20_000_000), SHEET, () => 1000);
    expect(await reasonOf(bytes)).toContain('unpacks to more than the workbook itself says');
  });

  it('with less in it than its directory says is told as damaged', async () => {
    expect(await reasonOf(withSize(bookBytes(book), SHEET, (size) => size + 1))).toContain('is damaged');
  });

  it('by cells far apart is refused at the limit for the text of a sheet', async () => {
    const rows = Array.from({ length: 20_000 }, (_, i) => `<row r="${i + 1}"><c r="XFD${i + 1}"><v>1</v></c></row>`);
    const parts = { ...partsOfBook(book), [SHEET]: `<worksheet><sheetData>${rows.join('')}</sheetData></worksheet>` };
    expect(await reasonOf(zipped(parts))).toContain('The sheet S holds more than 269 MB of text');
  });
});
