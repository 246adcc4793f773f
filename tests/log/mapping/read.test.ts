import { dsvFormat } from 'd3-dsv';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decode, delimiters, encodings, parseRows } from '../../../lib/log/mapping/read';
import { notConverted, plainDay, plainMoment, plainNumber } from '../../../lib/log/mapping/notation';
import { bytesOf, type Layout } from './foreign';

const layout = (change: Partial<Layout>): Layout => ({
  encoding: 'utf-8',
  mark: false,
  delimiter: ',',
  decimal: 'point',
  dates: 'iso',
  ...change,
});
const rowsOf = (text: string) => {
  const read = parseRows(text, ',');
  return read.ok ? read.rows : read.reason;
};

describe('bytes to text', () => {
  it.each(encodings)('reads %s as stated', (encoding) => {
    const text = 'Zündfolge °F; 12,5 – café €…Š’Ÿ\r\n';
    expect(decode(bytesOf(text, layout({ encoding })), encoding)).toEqual({ ok: true, text });
  });

  it('goes by the mark at the start before what is stated, and leaves the mark out', () => {
    for (const encoding of ['utf-8', 'utf-16le', 'utf-16be'] as const) {
      expect(decode(bytesOf('é', layout({ encoding, mark: true })), 'windows-1252')).toEqual({ ok: true, text: 'é' });
    }
  });

  it('refuses what is not in the stated encoding, and puts no letter in place of another', () => {
    expect(decode(Uint8Array.of(0x63, 0xe9, 0x2c), 'utf-8')).toMatchObject({
      ok: false,
      reason: expect.stringContaining('The text is not UTF-8') as string,
    });
    expect(decode(new Uint8Array(0), 'utf-8')).toMatchObject({ ok: false });
  });
});

describe('text to rows', () => {
  it('reads what d3-dsv writes, whatever is in the cells and whatever parts them', () => {
    const cell = fc.oneof(fc.string(), fc.constantFrom('"', '""', '\r\n', '\n', ';', ',', '\t', '|', '~', 'a"b', ' '));
    const table = fc.array(fc.array(cell, { minLength: 2, maxLength: 5 }), { minLength: 1, maxLength: 6 });
    fc.assert(
      fc.property(table, fc.constantFrom(...delimiters), fc.constantFrom('\n', '\r\n'), (rows, delimiter, end) => {
        const dsv = dsvFormat(delimiter);
        const text = rows.map((row) => dsv.formatRow(row)).join(end);
        expect(parseRows(text, delimiter)).toEqual({ ok: true, rows });
      }),
    );
  });

  it('keeps blank rows, so that rows keep their numbers', () => {
    expect(rowsOf('a,b\n\n1,2\r\n\r\n3,4\n')).toEqual([['a', 'b'], [''], ['1', '2'], [''], ['3', '4']]);
    expect(rowsOf('a,\n,')).toEqual([
      ['a', ''],
      ['', ''],
    ]);
  });

  it('names the row of a quote that never closes', () => {
    expect(rowsOf('a,b\n1,2\n3,"4\n5,6\n')).toContain('Row 3 opens a quote');
    expect(rowsOf('a,"')).toContain('Row 1 opens a quote');
  });

  it('keeps letters after a closing quote, and quotes within a cell', () => {
    expect(rowsOf('"12"mm,b\n12",b')).toEqual([
      ['"12"mm', 'b'],
      ['12"', 'b'],
    ]);
  });
});

describe('numbers', () => {
  it.each([
    ['12,50', 'comma', 'none', '12.50'],
    ['-0,5', 'comma', 'none', '-0.5'],
    ['\u22120,5', 'comma', 'none', '-0.5'],
    ['1.234,5', 'comma', 'point', '1234.5'],
    ['1 234 567,5', 'comma', 'space', '1234567.5'],
    ['1\u202f234', 'comma', 'space', '1234'],
    ["1'234.5", 'point', 'apostrophe', '1234.5'],
    ['1,234.5', 'point', 'comma', '1234.5'],
    ['.5', 'point', 'none', '0.5'],
    [' 7 ', 'point', 'none', '7'],
    ['1,5e3', 'comma', 'none', '1.5e3'],
    ['12.5', 'comma', 'none', null],
    ['12.5', 'comma', 'point', null],
    ['1,234', 'point', 'none', null],
    ['12,34.5', 'point', 'comma', null],
    ['12 mm', 'point', 'none', null],
    ['', 'point', 'none', null],
    ['-', 'point', 'none', null],
    [',', 'comma', 'none', null],
  ] as const)('%s with a decimal %s and thousands by %s', (cell, decimal, thousands, is) => {
    expect(plainNumber(cell, { decimal, thousands })).toBe(is);
  });

  it('marks what the log would else read wrong, and leaves all other text as it was', () => {
    expect(notConverted('12.5')).toBe('12.5 [as written]');
    expect(notConverted(`0.${'1'.repeat(100)}`)).toContain('[as written]');
    expect(notConverted('12.5 mm')).toBe('12.5 mm');
    expect(notConverted('n/a')).toBe('n/a');
  });
});

describe('days', () => {
  it.each([
    ['04/03/2024', 'dmy', '2024-03-04'],
    ['04/03/2024', 'mdy', '2024-04-03'],
    ['4.3.24', 'dmy', '2024-03-04'],
    ['4.3.68', 'dmy', '2068-03-04'],
    ['4.3.69', 'dmy', '1969-03-04'],
    ['2024/3/4', 'iso', '2024-03-04'],
    ['2024-03-04', 'mdy', '2024-03-04'],
    ['04/03/2024 00:00:00', 'dmy', '2024-03-04'],
    ['29/02/2024', 'dmy', '2024-02-29'],
    ['29/02/2023', 'dmy', null],
    ['31/12/2024', 'mdy', null],
    ['04/03/2024', 'iso', null],
    ['04/03/2024 10:30', 'dmy', null],
    ['04/03-2024', 'dmy', null],
    ['4/3/124', 'dmy', null],
  ] as const)('%s in the order %s', (cell, order, is) => {
    expect(plainDay(cell, order)).toBe(is);
  });

  it.each([
    ['04/03/2024 8:05', 'dmy', '2024-03-04 08:05'],
    ['03/04/2024 1:05:09 PM', 'mdy', '2024-03-04 13:05:09'],
    ['03/04/2024 12:05 am', 'mdy', '2024-03-04 00:05'],
    ['2024-03-04T08:05', 'iso', '2024-03-04 08:05'],
    ['04/03/2024', 'dmy', null],
    ['04/03/2024 25:00', 'dmy', null],
    ['04/03/2024 13:00 pm', 'dmy', null],
  ] as const)('%s in the order %s as a day and time', (cell, order, is) => {
    expect(plainMoment(cell, order)).toBe(is);
  });
});
