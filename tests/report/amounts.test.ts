import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { amountsIn, readNumber } from '../../lib/words/amounts';

/** Hard and thin spaces as plain ones. */
const plain = (text: string): string => text.replace(/[\u00a0\u202f]/g, ' ');

describe('amounts in the words of a place', () => {
  it('are written as people there write them', () => {
    expect(plain(amountsIn('en-GB').money(1234.5, 'EUR'))).toBe('EUR 1,234.50');
    expect(plain(amountsIn('de-DE').money(1234.5, 'EUR'))).toBe('1.234,50 EUR');
    expect(plain(amountsIn('en-GB').about(1234.5, 'EUR'))).toBe('EUR 1,235');
    expect(plain(amountsIn('ja-JP').money(1234, 'JPY'))).toBe('JPY 1,234');
    expect(plain(amountsIn('fr-FR').number(14.5, 1))).toBe('14,5');
  });

  it('have a code of the shop as it stands, and none where none is known', () => {
    expect(plain(amountsIn('en-GB').money(10, 'Kr.'))).toBe('10.00 Kr.');
    expect(amountsIn('en-GB').money(10, '')).toBe('10.00');
    expect(amountsIn('en-GB').money(NaN, 'EUR')).toBe('–');
  });
});

describe('a number as typed', () => {
  it.each([
    ['en-GB', '1,250', 1250],
    ['en-GB', '1,250.5', 1250.5],
    ['en-GB', '14,5', 14.5],
    ['en-IN', '12,34,567', 1234567],
    ['de-DE', '1.250', 1250],
    ['de-DE', '1.250,5', 1250.5],
    ['de-DE', '14.5', 14.5],
    ['fr-FR', '1 250,5', 1250.5],
    ['de-CH', '1’250.50', 1250.5],
    ['en-GB', ' −3 ', -3],
    ['en-GB', '.5', 0.5],
  ])('in %s %s is %d', (locale, text, value) => {
    expect(readNumber(text, locale)).toBe(value);
  });

  it.each(['', 'x', '1.2.3', '1,2,3', '--1', '1e5', 'Infinity', '.'])('%s is none', (text) => {
    expect(readNumber(text, 'en-GB')).toBeNaN();
    expect(readNumber(text, 'de-DE')).toBeNaN();
  });

  it('comes back from what is written, in any place', () => {
    const place = fc.constantFrom('en-GB', 'de-DE', 'fr-FR', 'de-CH', 'en-IN', 'sv-SE');
    fc.assert(
      fc.property(place, fc.integer({ min: -1e9, max: 1e9 }), (locale, hundredths) => {
        const { number, field, read } = amountsIn(locale);
        const value = hundredths / 100;
        expect(read(number(value, 2))).toBe(value);
        expect(read(field(value))).toBe(value);
      }),
    );
  });
});
