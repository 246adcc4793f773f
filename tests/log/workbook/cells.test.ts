import { describe, expect, it } from 'vitest';
import { numberText, unescaped } from '../../../lib/log/workbook/cells';
import { dayText, shownBy } from '../../../lib/log/workbook/dates';

describe('the shortest decimal of a number', () => {
  it.each([
    ['40', '40'],
    ['40.0', '40'],
    ['0.1', '0.1'],
    ['0.30000000000000004', '0.30000000000000004'],
    ['1.0000000000000001E-2', '0.01'],
    ['1E-7', '0.0000001'],
    ['-2.5E-9', '-0.0000000025'],
    ['1.25E21', '1250000000000000000000'],
    ['1E300', '1e+300'],
    ['-0', '0'],
  ])('%s is %s', (stored, text) => {
    expect(numberText(Number(stored))).toBe(text);
  });
});

describe('what a format shows', () => {
  it.each([
    ['yyyy-mm-dd', 'day'],
    ['[$-409]d/m/yy h:mm AM/PM;@', 'day'],
    ['mmm', 'day'],
    ['hh:mm:ss', 'time'],
    ['mm:ss.0', 'time'],
    ['[h]:mm', 'length'],
    ['[mm]:ss', 'length'],
    ['0.00', null],
    ['[Red]#,##0.00;[Blue]-#,##0.00', null],
    ['0.0" mm/day"', null],
    ['0.0\\d', null],
    ['_d0.00_s', null],
    ['0.00E+00', null],
    ['General', null],
    ['@', null],
  ])('%s', (format, shown) => {
    expect(shownBy(format)).toBe(shown);
  });
});

// Days of both systems as Microsoft's "Date systems in Excel" states them, from memory.
describe('a number that a format shows as a day', () => {
  it.each([
    [1, false, '1900-01-01'],
    [59, false, '1900-02-28'],
    [60, false, '1900-02-29'],
    [61, false, '1900-03-01'],
    [45355, false, '2024-03-04'],
    [43893, true, '2024-03-04'],
    [0, true, '1904-01-01'],
    [1461, true, '1908-01-01'],
    [45355.25, false, '2024-03-04 06:00'],
    [45355 + (10 * 3600 + 15 * 60 + 30) / 86400, false, '2024-03-04 10:15:30'],
    [45354.999999999, false, '2024-03-04'],
    [2958465, false, '9999-12-31'],
    [2958466, false, null],
    [-1, false, null],
  ])('%d since 1904: %s', (serial, since1904, text) => {
    expect(dayText(serial, 'day', since1904)).toBe(text);
  });

  it('is a time of day where it is less than one and shown as such', () => {
    expect(dayText(0.4375, 'time', false)).toBe('10:30');
    expect(dayText(45355.4375, 'time', false)).toBe('2024-03-04 10:30');
  });

  it('is a length of time in hours, beyond a day too', () => {
    expect(dayText(1.0625, 'length', false)).toBe('25:30');
  });
});

it('letters that XML can not hold are read, and those that no text can hold left as written', () => {
  expect(unescaped('a_x000D_b _x005F_x000D_ _x0000_ _xD83D_')).toBe('a\rb _x000D_ _x0000_ _xD83D_');
});
