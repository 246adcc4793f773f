import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { estimate } from '../../lib/quote/estimate';
import { prepareQuotes } from '../../lib/quote/prepare';
import type { Asked, Choices, Estimate } from '../../lib/quote/types';
import { seededChance } from '../../lib/stats/shuffle';
import { after, CHOICES, historyOfJobs, shopOf, weekly, type Job, rowsOf } from './shop';

const HERON: Asked = { model: 'Heron', work: 'recalibrate' };
const quote = (jobs: readonly Job[], asked: Asked = HERON, choices: Partial<Choices> = {}): Estimate =>
  estimate(prepareQuotes(historyOfJobs(jobs), { ...CHOICES, ...choices }), asked);
/** No weight of age, so that figures can be reckoned by hand. */
const ALIKE = { halfLifeYears: Infinity };

const kestrels = (n: number): Job[] =>
  weekly(
    Array.from({ length: n }, (_, k) => 8 + (k % 5)),
    { model: 'Kestrel' },
  );

describe('with few jobs the answer widens and says what it rests on', () => {
  test('no past job: nothing is told', () => {
    const { hours, parts, days, cost, extra } = quote([]);
    for (const set of [hours, parts, days, cost]) {
      expect(set.median).toBeNull();
      expect(set.notEnough).toBe('no past jobs');
      expect(set.ranges.map(({ low, high }) => [low, high])).toEqual([
        [0, Infinity],
        [0, Infinity],
        [0, Infinity],
      ]);
    }
    expect(extra.every(({ n, share }) => n === 0 && share === null)).toBe(true);
  });

  test('one past job tells no middle', () => {
    expect(quote(weekly([7])).hours).toMatchObject({ median: null, notEnough: 'too few past jobs' });
  });

  test('one like job among many of its kin: middle and ranges are the kin, and say so', () => {
    const { hours } = quote([...kestrels(60), ...weekly([30])]);
    expect(hours.borrowed).toBe(true);
    expect(hours.nearestN).toBe(1);
    expect(hours.group).toEqual({ level: 'kin', model: null, work: 'recalibrate', elements: 6, complaint: null });
    expect(hours.n).toBe(61);
    expect(hours.median).toBeGreaterThan(9);
    expect(hours.median).toBeLessThan(11);
  });

  test('three like jobs set the middle; the width is their kin', () => {
    const { hours } = quote([...kestrels(60), ...weekly([20, 21, 22])], HERON, ALIKE);
    expect(hours.borrowed).toBe(false);
    // The middle half of three: all of the second and a quarter of each other, by their logarithms.
    const middle = Math.exp((Math.log(20) / 4 + Math.log(21) + Math.log(22) / 4) / 1.5);
    expect(hours.layers[0]?.n).toBe(3);
    expect(hours.layers[0]?.median).toBeCloseTo(middle, 12);
    // Three jobs against a parent of two: 3/5 of the way.
    expect(hours.layers[0]?.weight).toBeCloseTo(3 / 5, 12);
    expect(hours.layers.map(({ group }) => group.level)).toEqual(['model', 'kin', 'work']);
    expect(hours.layers.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 12);
    expect(hours.ranges.every(({ borrowed, group }) => borrowed && group.level === 'kin')).toBe(true);
  });

  test('ten like jobs and nothing else: three of them were quoted, which bounds 50 % and no more', () => {
    const { hours } = quote(weekly([6, 7, 8, 6, 7, 8, 6, 7, 8, 7]), HERON, ALIKE);
    expect(hours.median).toBeCloseTo(7, 1);
    const [half, ...wide] = hours.ranges;
    // In December seven were known: 6 6 6 7 7 8 8, of which the middle half is 1.25 of 6, 2 of 7 and 0.25 of 8. What came was 7, 8 and 7.
    const then = (1.25 * Math.log(6) + 2 * Math.log(7) + 0.25 * Math.log(8)) / 3.5;
    expect(half).toMatchObject({ n: 3, notEnough: null });
    expect((half?.high ?? NaN) / (hours.median ?? NaN)).toBeCloseTo(8 / Math.exp(then), 9);
    // All three took longer than they were told: the middle itself is the lower end.
    expect(half?.low).toBeCloseTo(hours.median ?? NaN, 12);
    for (const range of wide) expect(range).toMatchObject({ low: 0, high: Infinity, notEnough: 'too few past jobs' });
  });

  test('ranges widen from many like jobs to few to none', () => {
    const width = (jobs: readonly Job[]) => {
      const range = quote(jobs, HERON, ALIKE).hours.ranges[1];
      return (range?.high ?? NaN) / (range?.low ?? NaN);
    };
    const herons = weekly(Array.from({ length: 60 }, (_, k) => 20 + (k % 3)));
    const many = width([...kestrels(60), ...herons]);
    const none = width([
      ...kestrels(60),
      ...weekly(
        Array.from({ length: 60 }, (_, k) => 20 + (k % 3)),
        { model: 'Plover' },
      ),
    ]);
    expect(many).toBeLessThan(none);
    expect(width([])).toBe(Infinity);
  });
});

describe('what counts', () => {
  test('jobs finished on the day or later, and open ones, tell no hours', () => {
    const early = weekly([6, 7, 8]);
    const late: Job[] = [
      { model: 'Heron', received: '2024-12-01', finished: CHOICES.today, hours: 500 },
      { model: 'Heron', received: '2024-12-01', finished: null, hours: 500 },
      { model: 'Heron', received: '2025-02-01', hours: 500 },
    ];
    expect(quote([...early, ...late]).hours).toEqual(quote(early).hours);
  });

  test('currencies are never mixed', () => {
    const jobs = [...weekly([6, 7, 8]), ...weekly([6, 7, 8], { parts: 9000, currency: 'SEK' })];
    expect(quote(jobs, HERON, { partsIndexPerYear: 0 }).parts.median).toBeCloseTo(70, 0);
    expect(quote(jobs, HERON, { currency: 'SEK' }).parts.median).toBeGreaterThan(8000);
    expect(quote(jobs, HERON, { currency: 'USD' }).parts.notEnough).toBe('no past jobs');
    expect(quote(jobs, HERON, { currency: null }).parts.notEnough).toBe('no past jobs');
  });

  test('parts are brought to the day at the index set', () => {
    const old = Array.from({ length: 5 }, (): Job => ({
      model: 'Heron',
      received: '2023-01-01',
      finished: '2023-01-01',
      hours: 5,
      parts: 100,
    }));
    const years = 731 / 365.25;
    expect(quote(old, HERON, { partsIndexPerYear: 0.1 }).parts.median).toBeCloseTo(100 * 1.1 ** years, 9);
    expect(quote(old, HERON, { partsIndexPerYear: 0 }).parts.median).toBeCloseTo(100, 9);
  });

  test('cost is labour at the rate and parts, job by job; without a rate none is told', () => {
    const jobs = weekly([10, 10, 10], { parts: 50 });
    expect(quote(jobs, HERON, { hourRate: 80, partsIndexPerYear: 0 }).cost.median).toBeCloseTo(850, 6);
    expect(quote(jobs, HERON, { hourRate: null }).cost).toMatchObject({ median: null, notEnough: 'no rate set' });
  });

  test('jobs of late weigh more', () => {
    const jobs: Job[] = [4, 4, 4, 4, 4, 4, 9, 9].map((hours, k) => ({
      model: 'Heron',
      received: k < 6 ? '2010-01-01' : '2024-11-01',
      hours,
    }));
    expect(quote(jobs, HERON, { halfLifeYears: 2 }).hours.median).toBeCloseTo(9, 9);
    expect(quote(jobs, HERON, ALIKE).hours.median).toBeCloseTo(4, 9);
  });

  test('open jobs stretch the days', () => {
    // One job each of 1 to 12 days.
    const done = Array.from({ length: 12 }, (_, k): Job => ({
      model: 'Heron',
      received: after('2024-06-01', 7 * k),
      finished: after('2024-06-01', 7 * k + k + 1),
    }));
    const open = (count: number): Job[] =>
      Array.from({ length: count }, () => ({ model: 'Heron', received: '2024-11-01', finished: null }));
    // Watched for longer than any took: place ceil((n + 1) / 2) of 12, 16 and 20 jobs.
    expect(quote(done).days.median).toBe(7);
    expect(quote([...done, ...open(4)]).days.median).toBe(9);
    expect(quote([...done, ...open(8)]).days).toMatchObject({ median: 11, n: 20 });
    // Watched for two days alone, they say little: of 1 to 12 and six that may still take any.
    const fresh = open(6).map((job) => ({ ...job, received: after(CHOICES.today, -2) }));
    expect(quote([...done, ...fresh]).days.median).toBeLessThan(9);
    expect(quote([...done, ...open(16)]).days).toMatchObject({ median: null, notEnough: 'too many still open' });
  });

  test.each([
    ['scatterPercent', 8, 1],
    ['retentionDeficit', 0.5, 0.02],
    ['engineHours', 14_000, 500],
  ] as const)('%s moves the middle where past jobs took longer by it', (feature, worn, good) => {
    const chance = seededChance(77);
    const between = (low: number, high: number): number => low + (high - low) * chance();
    const jobs = Array.from({ length: 400 }, (_, k): Job => {
      const share = chance();
      const read = { scatterPercent: 1 + 7 * share, retentionDeficit: 0.5 * share, engineHours: 500 + 13_500 * share };
      const hours = 8 * (1 + 0.6 * share) * between(0.95, 1.05);
      return { model: 'Heron', received: after('2021-01-01', 3 * k), hours, [feature]: read[feature] };
    });
    const at = (value: number) => quote(jobs, { ...HERON, [feature]: value }).hours;
    // From the best to the worst the work takes 1.6 times as long.
    const times = (at(worn).median ?? NaN) / (at(good).median ?? NaN);
    expect(times).toBeGreaterThan(1.35);
    expect(times).toBeLessThan(1.85);
    const [moved, ...others] = at(worn).adjustments;
    expect(moved).toMatchObject({ feature });
    expect(moved?.n).toBeGreaterThan(300);
    expect(others).toEqual([]);
  });

  test('a phase error beyond the usual moves the middle by its slope, and says by how much', () => {
    const jobs = shopOf(1200, 5);
    const at = (phasingDeg: number) => quote(jobs, { ...HERON, phasingDeg }).hours;
    expect(at(2).median).toBeGreaterThan((at(0.2).median ?? NaN) * 1.2);
    expect(at(2).adjustments.find(({ feature }) => feature === 'phasingDeg')?.factor).toBeGreaterThan(1.1);
    // However far off, features move the middle by a factor of two at most.
    expect((at(1e6).median ?? NaN) / (at(NaN).median ?? NaN)).toBeLessThanOrEqual(2 + 1e-9);
  });

  test('drift is told where jobs of late took longer than they would have been quoted', () => {
    const steady = Array.from({ length: 200 }, (_, k): Job => ({
      model: 'Heron',
      received: after('2019-01-01', 10 * k),
      hours: 10 + (k % 3),
    }));
    const slower = steady.map((job) => (job.received > '2023-08-17' ? { ...job, hours: 16 } : job));
    // The last one was finished 1990 days after the start; those of the 365 days before are the last 37 of 200.
    expect(quote(steady).hours.drift).toMatchObject({ drifts: false, n: 37 });
    expect(quote(slower).hours.drift).toMatchObject({ drifts: true });
    expect(quote(slower).hours.drift?.factor).toBeGreaterThan(1.2);
  });

  test('drift is told of days too, and with n where too few jobs tell', () => {
    const steady = Array.from({ length: 200 }, (_, k): Job => ({
      model: 'Heron',
      received: after('2019-01-01', 10 * k),
      finished: after('2019-01-01', 10 * k + 5 + (k % 3)),
      hours: 10,
    }));
    const slower = steady.map((job) =>
      job.received > '2023-08-17' ? { ...job, finished: after(job.received, 13) } : job,
    );
    expect(quote(steady).days.drift).toMatchObject({ drifts: false, factor: 1, n: 37 });
    // 13 days where 6 were told: 14 / 7 on the scale of 1 + days.
    expect(quote(slower).days.drift).toMatchObject({ drifts: true });
    expect(quote(slower).days.drift?.factor).toBeCloseTo(2, 9);
    const few = quote(weekly([6, 7, 8, 6, 7]));
    for (const set of [few.hours, few.days]) expect(set.drift).toMatchObject({ factor: null, drifts: false });
    expect(few.hours.drift?.n).toBeLessThan(10);
  });

  test('a day that is none is refused', () => {
    expect(() => quote([], HERON, { today: '1.1.2025' })).toThrow(RangeError);
  });
});

describe('always', () => {
  const someHours = fc.array(fc.double({ min: 0.25, max: 60, noNaN: true }), { minLength: 3, maxLength: 60 });

  test('a wider coverage holds the narrower, and the middle lies within', () => {
    fc.assert(
      fc.property(someHours, (hours) => {
        const { hours: set } = quote(weekly(hours));
        let [low, high] = [set.median ?? NaN, set.median ?? NaN];
        for (const range of set.ranges) {
          expect(range.low).toBeLessThanOrEqual(low);
          expect(range.high).toBeGreaterThanOrEqual(high);
          [low, high] = [range.low, range.high];
        }
      }),
      { numRuns: 60 },
    );
  });

  test('more spread in the history never narrows a range', () => {
    // Two jobs a day, one as much above 10 h as the other is below, so that the middle stays while each pair is drawn apart by its own factor.
    const pair = fc.tuple(fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 1, max: 3, noNaN: true }));
    const jobsOf = (offs: readonly number[]): Job[] =>
      offs.flatMap((off, k) =>
        [off, -off].map((each): Job => ({
          model: 'Heron',
          received: after(CHOICES.today, -7 * (offs.length - k) - 7),
          hours: 10 * Math.exp(each),
        })),
      );
    fc.assert(
      fc.property(fc.array(pair, { minLength: 12, maxLength: 40 }), (pairs) => {
        const rangesOf = (offs: readonly number[]) => quote(jobsOf(offs)).hours.ranges;
        const near = rangesOf(pairs.map(([off]) => off));
        const far = rangesOf(pairs.map(([off, times]) => off * times));
        near.forEach(({ low, high }, k) => {
          expect(far[k]?.low).toBeLessThanOrEqual(low * (1 + 1e-9));
          expect(far[k]?.high).toBeGreaterThanOrEqual(high * (1 - 1e-9));
        });
      }),
      { numRuns: 60 },
    );
  });

  test('the order of rows does not matter', () => {
    const history = historyOfJobs(shopOf(250, 8));
    const asked: Asked = { ...HERON, complaint: 'knock', engineHours: 6000, phasingDeg: 1 };
    const plain = estimate(prepareQuotes(history, CHOICES), asked);
    const rows = Array.from({ length: 250 }, (_, row) => row);
    fc.assert(
      fc.property(fc.shuffledSubarray(rows, { minLength: 250, maxLength: 250 }), (order) => {
        expect(estimate(prepareQuotes(rowsOf(history, order), CHOICES), asked)).toEqual(plain);
      }),
      { numRuns: 10 },
    );
  });

  test('one of n jobs gone wild moves the middle by 2/n of the width of the middle half and a place at most', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 20, max: 60 }), { minLength: 10, maxLength: 40 }),
        fc.nat(),
        fc.double({ min: 0.01, max: 2000, noNaN: true }),
        (hours, which, wild) => {
          const n = hours.length;
          const middle = (of: readonly number[]) => Math.log(quote(weekly(of), HERON, ALIKE).hours.median ?? NaN);
          const moved = middle(hours.map((each, k) => (k === which % n ? wild : each))) - middle(hours);
          const sorted = hours.map(Math.log).sort((a, b) => a - b);
          const up = (sorted[Math.ceil(0.75 * n + 1) - 1] ?? NaN) - (sorted[Math.ceil(0.25 * n) - 1] ?? NaN);
          const down = (sorted[Math.ceil(0.75 * n) - 1] ?? NaN) - (sorted[Math.ceil(0.25 * n - 1) - 1] ?? NaN);
          expect(moved).toBeLessThanOrEqual((2 / n) * up + 1e-9);
          expect(moved).toBeGreaterThanOrEqual(-(2 / n) * down - 1e-9);
        },
      ),
      { numRuns: 100 },
    );
  });

  test('one job gone wild moves a quote with complaint, branch and readings by no more than its bound', () => {
    const jobs = shopOf(300, 14);
    const asked: Asked = { ...HERON, complaint: 'knock', branch: 'Millrace', engineHours: 6000, phasingDeg: 1 };
    const plain = Math.log(quote(jobs, asked).hours.median ?? NaN);
    const own = jobs.filter((job) => job.model === 'Heron' && job.work === 'recalibrate').length;
    expect(own).toBeGreaterThan(50);
    fc.assert(
      fc.property(fc.nat({ max: 299 }), fc.constantFrom(0.01, 1, 100, 5000), (which, wild) => {
        const moved = quote(
          jobs.map((job, k) => (k === which ? { ...job, hours: wild } : job)),
          asked,
        ).hours.median;
        // A miss counts as a factor of two at most in what features do, and the middle half gives way by a place: a few per cent, whatever was written.
        expect(Math.abs(Math.log(moved ?? NaN) - plain)).toBeLessThan((4 * Math.LN2) / own);
      }),
      { numRuns: 20 },
    );
  });
});
