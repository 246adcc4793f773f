import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { estimate } from '../../lib/quote/estimate';
import { modelSpread, widened, widenedGroup, type ModelMiddle } from '../../lib/quote/modelSpread';
import { prepareQuotes } from '../../lib/quote/prepare';
import type { Range } from '../../lib/quote/types';
import { binomialQuantile } from '../../lib/stats/binomialQuantile';
import { seededChance } from '../../lib/stats/shuffle';
import { after, CHOICES, historyOfJobs, normal, type Job } from './shop';

/** A model with few jobs of its own: what is borrowed, how wide it is, and whether it holds. */

const ASKED = { model: 'Nightjar', work: 'recalibrate', elements: 6 };
const MODELS = ['Avocet', 'Bittern', 'Curlew', 'Dunlin', 'Egret', 'Fulmar', 'Gannet', 'Heron'];
const MOST_OWN = 10;

/** Models and jobs that could have come in any order: ln(hours) is a model's own and a job's own, both normal. */
function exchangeable(seed: number): { others: Job[]; own: Job[]; next: number } {
  const chance = seededChance(seed);
  const hours = (model: number) => 10 * Math.exp(model + 0.2 * normal(chance));
  const jobsOf = (model: string, count: number, elements: number): Job[] => {
    const apart = 0.25 * normal(chance);
    return Array.from({ length: count }, () => ({
      ...{ model, elements, hours: hours(apart) },
      received: after(CHOICES.today, -8 - Math.floor(chance() * 1400)),
    }));
  };
  const others = MODELS.flatMap((model, k) => jobsOf(model, 6 + Math.floor(14 * chance()), k % 2 === 0 ? 6 : 4));
  const [next, ...own] = jobsOf(ASKED.model, MOST_OWN + 1, 6);
  return { others, own, next: next?.hours ?? NaN };
}

const SHOPS = 300;
const shops = Array.from({ length: SHOPS }, (_, seed) => exchangeable(7000 + seed));
const rangesWith = (count: number): { readonly range: Range; readonly next: number }[] =>
  shops.map(({ others, own, next }) => {
    const history = historyOfJobs([...others, ...own.slice(0, count)]);
    const range = estimate(prepareQuotes(history, { ...CHOICES, hourRate: null }), ASKED).hours.ranges[1];
    if (range === undefined) throw new Error('No 80 % range');
    return { range, next };
  });
const medianWidth = (told: ReturnType<typeof rangesWith>): number => {
  const widths = told.map(({ range }) => Math.log(range.high / range.low)).sort((a, b) => a - b);
  return widths[widths.length >> 1] ?? NaN;
};

describe('on simulated shops', () => {
  const told = new Map([0, 1, 3, 10].map((count) => [count, rangesWith(count)]));

  test.each([0, 1, 3, 10])('with %i own jobs the next lies in the range of 8 of 10 as often as that', (count) => {
    const ranges = told.get(count) ?? [];
    const held = ranges.filter(({ range, next }) => range.low <= next && next <= range.high).length;
    // Of so many shops a range that holds 80 % holds fewer once in a hundred times.
    expect(held, `${count}`).toBeGreaterThanOrEqual(binomialQuantile(0.01, SHOPS, 0.8));
    expect(held, `${count}`).toBeLessThanOrEqual(binomialQuantile(0.99, SHOPS, 0.92));
    expect(ranges.every(({ range }) => Number.isFinite(range.high))).toBe(true);
  });

  test('more own jobs make no range wider', () => {
    const widths = [...told.values()].map(medianWidth);
    // One own job sets no middle: it only comes to those of its kin, by a hair this way or that.
    expect(widths[1]).toBeLessThanOrEqual((widths[0] ?? NaN) * 1.02);
    expect(widths[2]).toBeLessThan((widths[1] ?? NaN) * 0.9);
    expect(widths[3]).toBeLessThan(widths[2] ?? NaN);
  });

  test('the range says that it is borrowed, and of whom', () => {
    for (const count of [0, 1, 3]) {
      for (const { range } of told.get(count) ?? []) expect(['kin', 'work']).toContain(range.group.level);
    }
  });
});

test('one other model alone does not tell how far models differ: the range is open and says why', () => {
  const one = MODELS.slice(0, 1).flatMap((model) =>
    Array.from({ length: 40 }, (_, k): Job => ({ model, received: after('2023-01-01', 10 * k), hours: 8 + (k % 4) })),
  );
  const { hours } = estimate(prepareQuotes(historyOfJobs(one), CHOICES), ASKED);
  expect(hours.median).not.toBeNull();
  expect(hours.borrowed).toBe(true);
  for (const range of hours.ranges)
    expect(range).toMatchObject({ low: 0, high: Infinity, notEnough: 'too few models' });
});

describe('how far models lie apart', () => {
  const like = (middles: readonly number[]): ModelMiddle[] => middles.map((middle) => ({ middle, weight: 5 }));

  test('is the variance within groups of a published analysis of variance', () => {
    // NIST/SEMATECH e-Handbook 7.4.3.3 (data and results from memory): sum of squares of error 17.452 with 12 degrees of freedom.
    const groups = [
      [6.9, 5.4, 5.8, 4.6, 4.0],
      [8.3, 6.8, 7.8, 9.2, 6.5],
      [8.0, 10.5, 8.1, 6.9, 9.3],
    ].map(like);
    const spread = modelSpread(groups, groups[0] ?? null);
    expect(spread?.freedom).toBe(12);
    expect((spread?.variance ?? NaN) * 12).toBeCloseTo(17.452, 3);
    expect(spread?.models).toBeCloseTo(5, 12);
  });

  test('is about the mean of all where no kin has two models, or the asked one has none', () => {
    const single = [like([1]), like([2]), like([4])];
    // 1, 2 and 4 about 7/3: 14/3 over 2.
    expect(modelSpread(single, single[1] ?? null)).toMatchObject({ freedom: 2, models: 1 });
    expect(modelSpread(single, single[1] ?? null)?.variance).toBeCloseTo(7 / 3, 12);
    expect(modelSpread([like([1, 2, 4])], null)).toMatchObject({ freedom: 2, models: 3 });
    expect(modelSpread([like([1])], null)).toBeNull();
    expect(modelSpread([], null)).toBeNull();
  });

  test('a kin that is mostly one model counts as little more than one', () => {
    const kin = [
      { middle: 1, weight: 98 },
      { middle: 2, weight: 1 },
      { middle: 3, weight: 1 },
    ];
    expect(modelSpread([kin], kin)?.models).toBeCloseTo(1.041, 3);
  });

  test('gives the published prediction interval for one more of a normal sample', () => {
    // G. J. Hahn and W. Q. Meeker, Statistical Intervals (1991), from memory: five readings of mean 50.10 and deviation 1.31; 95 %: 46.1 to 54.1.
    const point = { low: 50.1, high: 50.1, middle: 50.1 };
    const { low, high } = widened(point, 0, 0.95, { variance: 1.31 ** 2, freedom: 4, models: 5 });
    expect(low).toBeCloseTo(46.1, 1);
    expect(high).toBeCloseTo(54.1, 1);
  });

  test('gives the worked example of one more reading after ten: within 59 of their mean', () => {
    // A published worked example of a prediction interval, read in a copy: ten readings of mean 1312 and standard deviation 25, 95 %.
    const { low, high } = widened({ low: 1312, high: 1312, middle: 1312 }, 0, 0.95, {
      variance: 25 ** 2,
      freedom: 9,
      models: 10,
    });
    expect(Math.round(high - 1312)).toBe(59);
    expect(Math.round(1312 - low)).toBe(59);
  });

  // Unless models hardly differ: then the chance in three own jobs weighs more than what the group leaves open.
  test('only ever widens, and less the more own jobs there are', () => {
    const share = fc.double({ min: 0.01, max: 2, noNaN: true });
    fc.assert(
      fc.property(share, share, share, fc.integer({ min: 1, max: 30 }), (below, above, s, freedom) => {
        const ends = { low: -below, high: above, middle: 0 };
        const widths = [0, 3, 10, 100, 1e9].map((n) => {
          const { low, high } = widened(ends, n, 0.8, {
            variance: s ** 2 + 0.02 * (below + above) ** 2,
            freedom,
            models: 4,
          });
          expect(low).toBeLessThanOrEqual(-below);
          expect(high).toBeGreaterThanOrEqual(above);
          return high - low;
        });
        expect(widths).toEqual(widths.toSorted((a, b) => b - a));
        expect(widths.at(-1)).toBeCloseTo(below + above, 6);
      }),
    );
  });

  test('adds to the figures of a group what few models leave open of how far one more lies off', () => {
    // t of 6 degrees of freedom 1.43976, z 1.28155 (tables, 80 %): 0.04 (2.07290 · 1.25 - 1.64237) = 0.037950; sqrt(0.0676 + 0.037950) = 0.32489.
    const { low, high } = widenedGroup({ low: 1.74, high: 2.26, middle: 2 }, 0.8, {
      variance: 0.04,
      freedom: 6,
      models: 4,
    });
    expect(low).toBeCloseTo(2 - 0.32489, 4);
    expect(high).toBeCloseTo(2 + 0.32489, 4);
    // As many models as there can be leave nothing open.
    const many = widenedGroup({ low: 1.74, high: 2.26, middle: 2 }, 0.8, { variance: 0.04, freedom: 1e7, models: 1e7 });
    expect(many.low).toBeCloseTo(1.74, 5);
    expect(widenedGroup({ low: 1.74, high: 2.26, middle: 2 }, 0.8, null).high).toBeNaN();
  });
});
