import fc from 'fast-check';
import { csvParseRows } from 'd3-dsv';
import { describe, expect, it } from 'vitest';
import { RowScanner, scanText, withPlainLineEnds } from '../../lib/log/scan';
import { textFile } from '../store/openLog';

const scan = (pieces: readonly Uint8Array[]) => {
  const scanner = new RowScanner();
  for (const piece of pieces) scanner.add(piece);
  return scanner.result();
};
const cell = fc.oneof(
  fc.stringMatching(/^[a-z0-9.]{0,4}$/),
  fc.stringMatching(/^[a-z\n\r,]{0,5}$/).map((text) => `"${text}"`),
  fc.stringMatching(/^[a-z]{0,3}$/).map((text) => `"${text}""${text}"`),
);
const line = fc.oneof(
  { weight: 4, arbitrary: fc.array(cell, { minLength: 1, maxLength: 4 }).map((cells) => cells.join(',')) },
  fc.constant(''),
);
const text = fc
  .tuple(fc.array(line, { maxLength: 12 }), fc.constantFrom('\n', '\r\n'))
  .map(([lines, end]) => lines.map((row) => row + end).join(''));

it('finds the same rows wherever the file is cut into pieces', () => {
  fc.assert(
    fc.property(text, fc.array(fc.nat({ max: 60 }), { maxLength: 6 }), (content, cuts) => {
      const bytes = new TextEncoder().encode(content);
      const places = [0, ...cuts.map((cut) => Math.min(cut, bytes.length)).sort((a, b) => a - b), bytes.length];
      const pieces = places.slice(1).map((end, i) => bytes.slice(places[i] ?? 0, end));
      expect(scan(pieces)).toEqual(scan([bytes]));
    }),
  );
});

it('counts the rows that a CSV reader counts, and finds the blank ones among them', () => {
  fc.assert(
    fc.property(text, (content) => {
      const rows = csvParseRows(content);
      // The reader gives a blank line as one empty cell; a line holding only an empty quoted cell is not blank but reads alike.
      fc.pre(!/(^|[\r\n])""(?=[\r\n])/.test(content));
      const found = scan([new TextEncoder().encode(content)]);
      expect(found.failed).toBeNull();
      const blank = rows.flatMap((row, i) => (row.length === 1 && row[0] === '' ? [i + 1] : []));
      expect(found.blankRows).toEqual(blank);
    }),
  );
});

it('tells a quote that never closes, and the row it stands in', () => {
  fc.assert(
    fc.property(text, fc.stringMatching(/^[a-z,\n]{0,8}$/), (content, rest) => {
      const before = scan([new TextEncoder().encode(content)]);
      expect(scan([new TextEncoder().encode(`${content}"${rest}`)]).failed).toContain(
        `Row ${before.rows + 1} opens a quote`,
      );
    }),
  );
});

describe('rows that end in CR alone', () => {
  const read = async (text: string) => {
    const file = textFile('x.csv', text);
    const scan = await scanText(file.blob);
    return { rows: scan.rows, mixed: scan.mixedLineEnds, plain: await (await withPlainLineEnds(file)).blob.text() };
  };

  it.each([
    ['all of them', 'a,b\r1,2\r3,4\r', 'a,b\n1,2\n3,4\n'],
    ['some of them', 'a,b\n1,2\r3,4\r\n', 'a,b\n1,2\n3,4\n'],
    ['the last one', 'a,b\n1,2\n3,4\r', 'a,b\n1,2\n3,4\n'],
    ['with quotes', 'a,b\n"1\r\n",2\r"x\r",4\r\n', 'a,b\n"1\r\n",2\n"x\r",4\n'],
  ])('%s count as a spreadsheet counts them, and no cell loses a letter', async (_, text, plain) => {
    expect(await read(text)).toEqual({ rows: 3, mixed: true, plain });
  });
});
