import { describe, expect, test } from 'vitest';
import { chartConstants, D2_OF_TWO, D3_OF_TWO, rangeDivisor } from '../../lib/stats/chartConstants';
import { cusum } from '../../lib/stats/cusum';
import { ewmaChart } from '../../lib/stats/ewma';
import { individualsChart } from '../../lib/stats/individuals';
import { laneyPChart, pChart } from '../../lib/stats/pChart';
import { dataRows } from './csv';

/** Half of the last digit that a figure was published to, with what binary fractions add. */
const lastDigit = (decimals: number): number => 0.5 * 10 ** -decimals + 1e-9;

// Tabled factors (R), to the digits of the table. Its D4 for three is 2.574 where the factor is 2.5746: other tables have 2.575.
describe('factors of control charts', () => {
  test.each(dataRows('chart-constants.csv'))('groups of $n', (row) => {
    const told = chartConstants(Number(row.n));
    for (const name of ['A2', 'A3', 'c4', 'd2', 'd3', 'D3', 'D4', 'E2'] as const) {
      const tabled = name === 'D4' && row.n === '3' ? 2.575 : Number(row[name]);
      expect(Math.abs(told[name] - tabled), name).toBeLessThanOrEqual(lastDigit(name === 'c4' ? 4 : 3));
    }
  });

  test('for two readings they have a closed form: 2 / sqrt(pi) and sqrt(2 - 4 / pi) (definition)', () => {
    expect(chartConstants(2).d2).toBeCloseTo(D2_OF_TWO, 7);
    expect(chartConstants(2).d3).toBeCloseTo(D3_OF_TWO, 7);
  });

  // Duncan's table, as in gauge studies (from memory): 1.41421, 1.91155, 3.17905 for one range of 2, 3 and 10.
  test.each([
    [2, 1.41421],
    [3, 1.91155],
    [10, 3.17905],
  ])('d2* of one range of %i', (n, d2) => {
    expect(rangeDivisor(n, 1)).toBeCloseTo(d2, 4);
  });
});

const column = (file: string, name: string) => dataRows(file).map((row) => Number(row[name]));

// NIST/SEMATECH e-Handbook 6.3.2.2 (M): mean 50.81, mean moving range 1.8778, limits 55.8041 and 45.8159, with d2 rounded to 1.128.
test('chart of individuals: flow rates', () => {
  const chart = individualsChart(column('nist-individuals.csv', 'flowrate'));
  expect(chart?.centre).toBeCloseTo(50.81, 10);
  expect(chart?.meanRange).toBeCloseTo(1.8778, 4);
  const rounding = D2_OF_TWO / 1.128;
  const half = ((chart?.high ?? NaN) - (chart?.low ?? NaN)) / 2;
  expect((chart?.centre ?? NaN) + half * rounding).toBeCloseTo(55.8041, 3);
  expect((chart?.centre ?? NaN) - half * rounding).toBeCloseTo(45.8159, 3);
  expect(chart?.out).toEqual([]);
});

// NIST/SEMATECH e-Handbook 6.3.2.4 (M): lambda 0.3, s 2.0539, target 50; limits 52.5884 and 47.4115; the averages as tabled (R).
test('EWMA: averages and settled limits', () => {
  const chart = ewmaChart(column('nist-ewma.csv', 'y'), { lambda: 0.3, centre: 50, sigma: 2.0539 });
  const average = Array.from(chart?.average ?? []);
  expect(average).toHaveLength(20);
  average.forEach((z, k) => {
    expect(Math.abs(z - (column('nist-ewma.csv', 'ewma_expected')[k] ?? NaN))).toBeLessThanOrEqual(lastDigit(2));
  });
  expect(average.at(-1)).toBeCloseTo(51.99, 2);
  // The book multiplies by sqrt(0.3 / 1.7) rounded to 0.4201.
  const rounding = 0.4201 / Math.sqrt(0.3 / 1.7);
  expect(50 + ((chart?.settledHigh ?? NaN) - 50) * rounding).toBeCloseTo(52.5884, 3);
  expect(50 + ((chart?.settledLow ?? NaN) - 50) * rounding).toBeCloseTo(47.4115, 3);
  expect(chart?.out).toEqual([]);
});

// NIST/SEMATECH e-Handbook 6.3.2.3 (M): target 325, k 0.3175, h 4.1959; first signal at group 14; the sums as tabled (R).
test('CUSUM: sums of both sides and the first signal', () => {
  const told = cusum(column('nist-cusum.csv', 'xbar'), { target: 325, k: 0.3175, h: 4.1959 });
  const [high, low] = [column('nist-cusum.csv', 'S_hi'), column('nist-cusum.csv', 'S_lo')];
  expect(high).toHaveLength(20);
  high.forEach((sum, k) => {
    expect(Math.abs((told?.up.sums[k] ?? NaN) - sum), `up ${k + 1}`).toBeLessThanOrEqual(lastDigit(2));
    expect(Math.abs((told?.down.sums[k] ?? NaN) - (low[k] ?? NaN)), `down ${k + 1}`).toBeLessThanOrEqual(lastDigit(2));
  });
  expect(told?.up.signal).toBe(13);
  expect(told?.up.began).toBe(12);
  expect(told?.down.signal).toBeNull();
});

// NIST/SEMATECH e-Handbook 6.3.3.2 (M): p-bar 0.2313, limits 0.4102 and 0.0524, samples 15 and 23 out.
test('p-chart: shares defective of 50', () => {
  const chart = pChart(column('nist-pchart.csv', 'defective'), column('nist-pchart.csv', 'n'));
  expect(chart?.centre).toBeCloseTo(0.2313, 4);
  expect(Array.from(chart?.high ?? [])).toHaveLength(30);
  for (const high of chart?.high ?? []) expect(high).toBeCloseTo(0.4102, 4);
  for (const low of chart?.low ?? []) expect(low).toBeCloseTo(0.0524, 4);
  expect(chart?.out.map((k) => k + 1)).toEqual([15, 23]);
});

// By definition: with samples of one size the shares differ from their z-scores by a factor alone, so that Laney's limits are those of
// a chart of individuals on the shares. Both charts are of this project; nothing of the outside is compared here.
test('with samples of one size the corrected limits are those of a chart of individuals on the shares', () => {
  const [k, n] = [column('nist-pchart.csv', 'defective'), column('nist-pchart.csv', 'n')];
  const asReadings = individualsChart(k.map((d, i) => d / (n[i] ?? NaN)));
  const chart = laneyPChart(k, n);
  expect(chart?.sigmaZ).toBeCloseTo((asReadings?.sigma ?? NaN) / (chart?.sigma[0] ?? NaN), 10);
  expect(chart?.high[0]).toBeCloseTo(asReadings?.high ?? NaN, 10);
});
