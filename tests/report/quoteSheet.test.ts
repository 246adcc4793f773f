import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  fromMinor,
  inHundredths,
  linesAtPrice,
  lineSum,
  minorDigits,
  MOST,
  shareOf,
  sheetSums,
  toMinor,
  withTax,
  type SheetLine,
} from '../../lib/report/quote/quoteSheet';

const line = (kind: SheetLine['kind'], quantity: number, price: number): SheetLine => ({
  ...{ kind, quantity, price },
  text: kind,
});
const hundredths = (most: number) => fc.integer({ min: 0, max: most * 100 }).map((n) => n / 100);
const anyLine = fc.record({
  kind: fc.constantFrom('labour' as const, 'part' as const, 'allowance' as const),
  text: fc.string(),
  quantity: hundredths(MOST.quantity),
  price: fc.integer({ min: 0, max: MOST.price }),
});
const anyLines = fc.array(anyLine, { maxLength: MOST.lines });

describe('the sums of a quote', () => {
  it('are those reckoned by hand', () => {
    const lines = [line('labour', 14.5, 6850), line('part', 6, 4799), line('allowance', 1, 2500)];
    // 993.25 + 287.94 + 25.00 = 1306.19; 22.5 % of it is 293.89275; 19 % of 1600.08 is 304.0152.
    expect(sheetSums({ lines, marginPercent: 22.5, taxPercent: 19, setPrice: null })).toEqual({
      lines: [99325, 28794, 2500],
      cost: 130619,
      margin: 29389,
      price: 160008,
      tax: 30402,
      total: 190410,
    });
  });

  it('round a half away from zero, as typed and not as binary fractions have it', () => {
    expect(lineSum({ quantity: 0.5, price: 1 })).toBe(1);
    expect(lineSum({ quantity: 0.49, price: 1 })).toBe(0);
    expect(shareOf(250, 1)).toBe(3);
    expect(shareOf(-250, 1)).toBe(-3);
    expect(inHundredths(1.005)).toBe(101);
    expect(toMinor(1.005, 'EUR')).toBe(101);
    expect(toMinor(-2.675, 'EUR')).toBe(-268);
  });

  it('take a price that was set, also one below cost', () => {
    const sums = sheetSums({
      lines: [line('labour', 10, 5000)],
      marginPercent: 30,
      taxPercent: 20,
      setPrice: 45_000,
    });
    expect(sums).toMatchObject({ cost: 50_000, margin: -5_000, price: 45_000, tax: 9_000, total: 54_000 });
    expect(withTax(45_000, 20)).toBe(54_000);
  });

  it('add up on any sheet, in whole minor units that a computer keeps', () => {
    fc.assert(
      fc.property(anyLines, hundredths(MOST.marginPercent), hundredths(MOST.taxPercent), (lines, margin, tax) => {
        const sums = sheetSums({ lines, marginPercent: margin, taxPercent: tax, setPrice: null });
        expect(sums.lines.reduce((a, b) => a + b, 0)).toBe(sums.cost);
        expect(sums.cost + sums.margin).toBe(sums.price);
        expect(sums.price + sums.tax).toBe(sums.total);
        expect(Object.values(sums).flat().every(Number.isSafeInteger)).toBe(true);
        // Within half a unit of what was asked, in exact numbers.
        const off = 10_000n * BigInt(sums.margin) - BigInt(sums.cost) * BigInt(Math.round(margin * 100));
        expect(off <= 5_000n && off >= -5_000n).toBe(true);
      }),
    );
  });

  it('do not depend on the order of the lines', () => {
    fc.assert(
      fc.property(anyLines, (lines) => {
        const terms = { marginPercent: 17.5, taxPercent: 8.1, setPrice: null };
        const there = sheetSums({ lines, ...terms });
        const back = sheetSums({ lines: lines.toReversed(), ...terms });
        expect([back.price, back.total]).toEqual([there.price, there.total]);
      }),
    );
  });
});

describe('lines with the margin laid on them', () => {
  it('add up to the price, each within one unit of its share', () => {
    expect(linesAtPrice([100, 100, 100], 400)).toEqual([134, 133, 133]);
    const cost = fc.array(fc.integer({ min: 0, max: 1_000_000_000 }), { minLength: 1, maxLength: 50 });
    fc.assert(
      fc.property(cost, fc.integer({ min: 0, max: 1_000_000_000_000 }), (lines, price) => {
        const shown = linesAtPrice(lines, price);
        expect(shown.reduce((a, b) => a + b, 0)).toBe(price);
        const sum = lines.reduce((a, b) => a + b, 0);
        if (sum === 0) return;
        shown.forEach((each, i) => {
          const off = BigInt(each) * BigInt(sum) - BigInt(lines[i] ?? 0) * BigInt(price);
          expect(off < BigInt(sum) && off > -BigInt(sum)).toBe(true);
        });
      }),
    );
  });

  it('are nothing where there are none, and the first takes all where nothing costs anything', () => {
    expect(linesAtPrice([], 0)).toEqual([]);
    expect(linesAtPrice([0, 0], 500)).toEqual([500, 0]);
  });
});

describe('minor units', () => {
  it('are as many as the currency has (ISO 4217)', () => {
    expect(['EUR', 'JPY', 'KWD', 'nonsense', ''].map(minorDigits)).toEqual([2, 0, 3, 2, 2]);
    expect([toMinor(12.345, 'KWD'), toMinor(1250, 'JPY'), fromMinor(1250, 'EUR')]).toEqual([12345, 1250, 12.5]);
  });

  it('come back as they went', () => {
    const code = fc.constantFrom('EUR', 'JPY', 'KWD', '');
    fc.assert(
      fc.property(fc.integer({ min: -1e9, max: 1e9 }), code, (minor, currency) => {
        expect(toMinor(fromMinor(minor, currency), currency)).toBe(minor);
      }),
    );
  });
});
