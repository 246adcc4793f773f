import { describe, expect, it } from 'vitest';
import { intervalsPlot } from '../../lib/charts/intervals';
import { offsetQuartersPlot } from '../../lib/charts/offsets';
import { stillOutPlot } from '../../lib/charts/returns';
import { pValue } from '../../lib/words/chance';
import { countRange, money, moneyRange, months, monthsRange } from '../../lib/words/spans';

const plain = (text: string): string => text.replaceAll('\u00a0', ' ');

describe('words of spans', () => {
  it('tell months, and an end that is not known', () => {
    expect(plain(months(28.5))).toBe('29 months');
    expect(plain(months(4.25))).toBe('4.3 months');
    expect(monthsRange(26.9, 30.2)).toBe('27 to 30');
    expect(monthsRange(26.9, Infinity)).toBe('from 27');
    expect(monthsRange(Infinity, Infinity)).toBe('not known');
  });

  it('write both ends of a range, and one number where they look alike', () => {
    expect(countRange(12, 40)).toBe('12 to 40');
    expect(countRange(12.1, 12.3)).toBe('12');
  });

  it('write money as people there do, with the code of its currency', () => {
    expect(plain(money(1234.5, 'EUR', 'en-GB'))).toBe('EUR 1,235');
    expect(plain(money(1234.5, 'EUR', 'de-DE'))).toBe('1.235 EUR');
    expect(plain(money(50, 'X', 'en-GB'))).toBe('50 X');
    expect(plain(money(50, null, 'en-GB'))).toBe('50 (no currency written)');
    expect(plain(moneyRange(50, 60, 'USD', 'en-GB'))).toBe('USD 50 to USD 60');
    expect(plain(moneyRange(50, 50.2, 'USD', 'en-GB'))).toBe('USD 50');
  });

  it('do not write a p-value of nought', () => {
    expect([0.0000002, 0.034, 0.19].map(pValue)).toEqual(['p < 0.001', 'p = 0.034', 'p = 0.19']);
  });
});

describe('axes', () => {
  it('of offsets hold every offset, not every end of an interval', () => {
    const rows = [2.5, -1].map((offset, k) => ({
      bench_id: `B${k}`,
      quarter: '2024-01-01',
      n: 6,
      offset,
      low: offset - 40,
      high: offset + 40,
    }));
    const domain = offsetQuartersPlot(rows, { width: 800 }).y?.domain as number[];
    expect(domain[1]).toBeGreaterThan(2.5);
    expect(domain[1]).toBeLessThan(10);
    expect(domain[0]).toBe(-(domain[1] ?? NaN));
  });

  it('of intervals keep zero in view where it means something', () => {
    const rows = [{ name: 'B1', n: 12, value: 5, low: 4, high: 6 }];
    const style = { label: 'Offset (%)', write: String };
    expect(intervalsPlot(rows, { ...style, zero: 'of note' }, { width: 800 }).x?.domain).toEqual([0, 6]);
    expect(intervalsPlot(rows, style, { width: 800 }).x?.domain).toEqual([4, 6]);
  });

  it('of pumps still out leave room under zero for how many they are', () => {
    const steps = [
      { name: 'Heron', months: 0, share: 1, low: 1, high: 1 },
      { name: 'Heron', months: 90, share: 0.4, low: 0.3, high: 0.5 },
    ];
    const options = stillOutPlot(steps, [{ name: 'Heron', months: 0, n: 12 }], { width: 330 });
    expect((options.y?.domain as number[])[0]).toBeLessThan(0);
    expect(options.x?.domain).toEqual([0, 90]);
  });

  it('of pumps still out draw no more steps than there are pixels, and end where the curve ends', () => {
    const steps = Array.from({ length: 20_000 }, (_, k) => {
      const share = 1 - k / 25_000;
      return { name: k % 2 === 0 ? 'Heron' : 'Kestrel', months: k / 200, share, low: share, high: share };
    }).toSorted((a, b) => (a.name === b.name ? a.months - b.months : a.name < b.name ? -1 : 1));
    const options = stillOutPlot(steps, [], { width: 600 });
    const drawn = (options.marks ?? []).flatMap((mark) => {
      const data: unknown = mark instanceof Object && 'data' in mark ? mark.data : null;
      return Array.isArray(data) && data.length > 100 ? [data as typeof steps] : [];
    });
    expect(drawn.length).toBeGreaterThan(0);
    for (const curve of drawn) {
      expect(curve.length).toBeLessThan(1200);
      expect(curve.at(-1)).toEqual(steps.at(-1));
      expect(curve.findLast((row) => row.name === 'Heron')).toEqual(steps.findLast((row) => row.name === 'Heron'));
    }
  });
});
