import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { chartConstants, rangeDivisor } from '../../lib/stats/chartConstants';
import { cusum } from '../../lib/stats/cusum';
import { ewmaChart } from '../../lib/stats/ewma';
import { individualsChart } from '../../lib/stats/individuals';
import { laneyPChart, pChart, uChart } from '../../lib/stats/pChart';

const reading = fc.integer({ min: -400, max: 400 }).map((k) => k / 8);
const series = fc.array(reading, { minLength: 2, maxLength: 40 });
const gapped = fc.array(fc.oneof({ weight: 5, arbitrary: reading }, { weight: 1, arbitrary: fc.constant(NaN) }), {
  minLength: 2,
  maxLength: 40,
});

describe('chart of individuals', () => {
  test('moves with the level and the unit; the same points are out', () => {
    fc.assert(
      fc.property(series, fc.integer({ min: -64, max: 64 }), fc.constantFrom(0.5, 2, 4), (values, by, times) => {
        const plain = individualsChart(values);
        const moved = individualsChart(values.map((value) => by + times * value));
        expect(moved?.centre).toBeCloseTo(by + times * (plain?.centre ?? NaN), 9);
        expect(moved?.sigma).toBeCloseTo(times * (plain?.sigma ?? NaN), 9);
        expect(moved?.out).toEqual(plain?.out);
      }),
    );
  });

  test('out are exactly the readings that were made and lie past a limit', () => {
    fc.assert(
      fc.property(gapped, (values) => {
        const chart = individualsChart(values);
        fc.pre(chart !== null);
        values.forEach((value, k) => {
          const past = !Number.isNaN(value) && !(value >= chart.low && value <= chart.high);
          expect(chart.out.includes(k)).toBe(past);
        });
      }),
    );
  });

  test('a reading that is missing counts for nothing', () => {
    fc.assert(
      fc.property(gapped, (values) => {
        const chart = individualsChart(values);
        const without = individualsChart(values.filter((value) => !Number.isNaN(value)));
        expect(chart?.centre).toBe(without?.centre);
        expect(chart?.meanRange).toBe(without?.meanRange);
        expect(chart?.out.length).toBe(without?.out.length);
      }),
    );
  });

  test('equal readings: sigma 0, nothing out; one reading: nothing told', () => {
    expect(individualsChart([0.1, 0.1, 0.1])).toMatchObject({ centre: 0.1, sigma: 0, out: [], rangesOut: [] });
    expect(individualsChart([0.1])).toBeNull();
    expect(individualsChart([0.1, NaN])).toBeNull();
  });

  test('a jump after the baseline is out, and leaves the limits alone', () => {
    const base = [10, 11, 10, 9, 10, 11];
    const chart = individualsChart([...base, 19], base.length);
    const alone = individualsChart(base);
    expect(chart?.high).toBe(alone?.high);
    expect(chart?.out).toEqual([6]);
    expect(chart?.rangesOut).toEqual([6]);
  });
});

const counted = fc
  .array(
    fc.integer({ min: 1, max: 60 }).chain((n) => fc.tuple(fc.integer({ min: 0, max: n }), fc.constant(n))),
    { minLength: 2, maxLength: 30 },
  )
  .map((pairs) => ({ successes: pairs.map(([k]) => k), trials: pairs.map(([, n]) => n) }));

describe('charts of shares', () => {
  test('limits lie about the centre, within 0 to 1, narrower the more jobs', () => {
    fc.assert(
      fc.property(counted, ({ successes, trials }) => {
        const chart = pChart(successes, trials);
        fc.pre(chart !== null);
        trials.forEach((n, k) => {
          const [low, high] = [chart.low[k] ?? NaN, chart.high[k] ?? NaN];
          expect(low).toBeGreaterThanOrEqual(0);
          expect(high).toBeLessThanOrEqual(1);
          expect(low).toBeLessThanOrEqual(chart.centre);
          expect(high).toBeGreaterThanOrEqual(chart.centre);
          trials.forEach((m, j) => {
            if (m > n) expect(chart.high[j]).toBeLessThanOrEqual(high);
          });
        });
      }),
    );
  });

  test('counting failures instead mirrors the chart', () => {
    fc.assert(
      fc.property(counted, ({ successes, trials }) => {
        const chart = laneyPChart(successes, trials);
        const mirrored = laneyPChart(
          successes.map((k, i) => (trials[i] ?? NaN) - k),
          trials,
        );
        if (Number.isNaN(chart?.sigmaZ)) expect(mirrored?.sigmaZ).toBeNaN();
        else expect(mirrored?.sigmaZ).toBeCloseTo(chart?.sigmaZ ?? NaN, 9);
        trials.forEach((_, k) => {
          expect(mirrored?.low[k]).toBeCloseTo(1 - (chart?.high[k] ?? NaN), 9);
        });
      }),
    );
  });

  test("Laney's half width is the plain one times sigma_z; with sigma_z 1 it is the plain chart", () => {
    fc.assert(
      fc.property(counted, ({ successes, trials }) => {
        // Large periods, so that no limit is cut at 0 or 1 by much; where it is, the comparison is left out.
        const many = trials.map((n) => n * 1000);
        const [plain, laney] = [
          pChart(
            successes.map((k) => k * 1000),
            many,
          ),
          laneyPChart(
            successes.map((k) => k * 1000),
            many,
          ),
        ];
        fc.pre(plain !== null && laney !== null && !Number.isNaN(laney.sigmaZ));
        trials.forEach((_, k) => {
          const [a, b] = [(plain.high[k] ?? NaN) - plain.centre, (laney.high[k] ?? NaN) - laney.centre];
          if ((laney.high[k] ?? NaN) < 1 && (plain.high[k] ?? NaN) < 1) expect(b).toBeCloseTo(a * laney.sigmaZ, 9);
        });
      }),
    );
    // Shares one sigma apart from the centre on and off, with ranges of d2 sigma on average: sigma_z is 1.
    const sigma = Math.sqrt(0.25 / 10000);
    const step = Math.round((10000 * sigma * 2) / Math.sqrt(Math.PI) / 2);
    const successes = Array.from({ length: 40 }, (_, k) => 5000 + (k % 2 === 0 ? step : -step));
    const trials = successes.map(() => 10000);
    const laney = laneyPChart(successes, trials);
    expect(laney?.sigmaZ).toBeCloseTo(1, 1);
    expect(laney?.high[0]).toBeCloseTo(pChart(successes, trials)?.high[0] ?? NaN, 3);
  });

  test('a period without jobs is not drawn, and nothing at all tells nothing', () => {
    const chart = pChart([1, 0, 3, 5], [10, 0, 12, 4]);
    expect(chart?.centre).toBeCloseTo(4 / 22, 12);
    expect(chart?.rates[1]).toBeNaN();
    expect(chart?.high[3]).toBeNaN();
    expect(chart?.out).toEqual([]);
    expect(pChart([0, NaN], [0, 5])).toBeNull();
    expect(pChart([], [])).toBeNull();
  });

  test('a share that never varies has its limits on the centre', () => {
    const chart = laneyPChart([0, 0, 0], [5, 9, 2]);
    expect(chart).toMatchObject({ centre: 0, sigmaZ: NaN, out: [] });
    expect(Array.from(chart?.high ?? [])).toEqual([0, 0, 0]);
  });

  test('twice the opportunities in every period halve the rates of a u-chart and leave who is out', () => {
    fc.assert(
      fc.property(counted, ({ successes, trials }) => {
        const once = uChart(successes, trials);
        const twice = uChart(
          successes,
          trials.map((n) => 2 * n),
        );
        expect(twice?.centre).toBeCloseTo((once?.centre ?? NaN) / 2, 12);
        expect(twice?.high[0]).toBeCloseTo((once?.high[0] ?? NaN) / 2, 9);
      }),
    );
  });
});

describe('EWMA', () => {
  test('with lambda 1 it is the chart of individuals', () => {
    fc.assert(
      fc.property(series, (values) => {
        const single = individualsChart(values);
        fc.pre(single !== null);
        const chart = ewmaChart(values, { lambda: 1, centre: single.centre, sigma: single.sigma });
        expect(Array.from(chart?.average ?? [])).toEqual(values);
        for (const high of chart?.high ?? []) expect(high).toBeCloseTo(single.high, 9);
        for (const low of chart?.low ?? []) expect(low).toBeCloseTo(single.low, 9);
      }),
    );
  });

  test('stays among the readings and the start; limits widen towards the settled ones', () => {
    fc.assert(
      fc.property(gapped, fc.constantFrom(0.05, 0.2, 0.4), (values, lambda) => {
        const chart = ewmaChart(values, { lambda, centre: 3, sigma: 2 });
        const seen = [3];
        let widest = 0;
        values.forEach((value, k) => {
          if (Number.isNaN(value)) {
            expect(chart?.average[k]).toBeNaN();
            return;
          }
          seen.push(value);
          const [z, high] = [chart?.average[k] ?? NaN, chart?.high[k] ?? NaN];
          expect(z).toBeGreaterThanOrEqual(Math.min(...seen) - 1e-9);
          expect(z).toBeLessThanOrEqual(Math.max(...seen) + 1e-9);
          expect(high).toBeGreaterThanOrEqual(widest);
          expect(high).toBeLessThanOrEqual((chart?.settledHigh ?? NaN) + 1e-12);
          widest = high;
        });
      }),
    );
  });

  test('readings on the centre stay inside limits of no width', () => {
    expect(ewmaChart([0.1, 0.1, 0.1], { lambda: 0.3, centre: 0.1, sigma: 0 })?.out).toEqual([]);
    expect(ewmaChart([1], { lambda: 0, centre: 0, sigma: 1 })).toBeNull();
    expect(ewmaChart([1], { lambda: 0.2, centre: NaN, sigma: 1 })).toBeNull();
    expect(ewmaChart([1], { lambda: 0.2, centre: 0, sigma: -1 })).toBeNull();
  });
});

describe('CUSUM', () => {
  test('turned upside down, up and down change places', () => {
    fc.assert(
      fc.property(gapped, (values) => {
        const settings = { target: 2, k: 0.5, h: 20 };
        const plain = cusum(values, settings);
        const turned = cusum(
          values.map((value) => 4 - value),
          settings,
        );
        expect(turned?.down).toEqual(plain?.up);
        expect(turned?.up).toEqual(plain?.down);
      }),
    );
  });

  // The excess of any stretch that ends at a point is at most the sum there, and that of the best stretch is the sum.
  test('a sum is the largest excess of any stretch that ends there', () => {
    fc.assert(
      fc.property(series, (values) => {
        const up = cusum(values, { target: 1, k: 0.25, h: 5 })?.up;
        values.forEach((_, end) => {
          const stretches = values
            .slice(0, end + 1)
            .map((__, from) => values.slice(from, end + 1).reduce((sum, value) => sum + value - 1.25, 0));
          expect(up?.sums[end]).toBeCloseTo(Math.max(0, ...stretches), 9);
        });
      }),
    );
  });

  test('names the signal and where the climb began; keeps quiet on target', () => {
    const told = cusum([5, 5, 3, 7, 7, 7, 7], { target: 5, k: 0.5, h: 4 });
    expect(told?.up).toMatchObject({ signal: 5, began: 3 });
    expect(told?.down.signal).toBeNull();
    expect(cusum([5, 5, 5], { target: 5, k: 0, h: 1 })?.up.signal).toBeNull();
    expect(cusum([1], { target: 5, k: -1, h: 1 })).toBeNull();
    expect(cusum([1], { target: 5, k: 1, h: 0 })).toBeNull();
  });
});

describe('factors of charts', () => {
  test('rise with the size of the group; c4 comes to 1', () => {
    const told = [2, 3, 5, 9, 20, 60].map(chartConstants);
    told.slice(1).forEach((row, k) => {
      expect(row.d2).toBeGreaterThan(told[k]?.d2 ?? NaN);
      expect(row.d3).toBeLessThan((told[k]?.d3 ?? NaN) + 0.04);
      expect(row.c4).toBeGreaterThan(told[k]?.c4 ?? NaN);
      expect(row.c4).toBeLessThan(1);
    });
  });

  test('are not told for sizes that are none; d2* comes to d2 with many ranges', () => {
    for (const n of [1, 2.5, 101, NaN]) expect(chartConstants(n).d2).toBeNaN();
    expect(rangeDivisor(5, 0)).toBeNaN();
    expect(rangeDivisor(5, 1e9)).toBeCloseTo(chartConstants(5).d2, 8);
    expect(rangeDivisor(5, 1)).toBeGreaterThan(rangeDivisor(5, 2));
  });
});
