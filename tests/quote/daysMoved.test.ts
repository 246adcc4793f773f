import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { tryAll, type Tried } from '../../lib/quote/backtest';
import { estimate } from '../../lib/quote/estimate';
import { prepareQuotes } from '../../lib/quote/prepare';
import { COVERAGES, type Asked, type RangeSet } from '../../lib/quote/types';
import { waitAtLeast, waitWithin } from '../../lib/quote/waits';
import { binomialQuantile } from '../../lib/stats/binomialQuantile';
import { kaplanMeier } from '../../lib/stats/kaplanMeier';
import { quotedAlone } from './alone';
import { after, CHOICES, dayNumber, historyOfJobs, rowsOf, type Job } from './shop';
import { lopsided, UNMOVED, waitingShop, type Planted } from './waitingShop';

/** Days that complaint, branch and engine hours move, or do not. */

const PLANTED: Planted = { leaks: 1.3, northgate: 1.2, worn: 1.2 };
const DAYS_ALONE = { ...CHOICES, hourRate: null };
const BASE: Asked = {
  ...{ model: 'Heron', work: 'recalibrate' },
  ...{ complaint: 'knock', branch: 'Millrace', engineHours: 4000 },
};
type Ask = (asked?: Partial<Asked>) => RangeSet;
function asking(jobs: readonly Job[]): Ask {
  const prepared = prepareQuotes(historyOfJobs(jobs), DAYS_ALONE);
  return (asked) => estimate(prepared, { ...BASE, ...asked }).days;
}
/** By what one more than the days is moved, as all of its factors together. */
const movedBy = ({ adjustments }: RangeSet): number => adjustments.reduce((product, { factor }) => product * factor, 1);
const times = (one: RangeSet, other: RangeSet): number => movedBy(one) / movedBy(other);
const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
const SEEDS = [100, 101, 102, 103, 104, 105, 106, 107];
const asks = (planted: Planted): Ask[] => SEEDS.map((seed) => asking(waitingShop(1500, seed, planted)));

const compared = [
  ['complaint', { complaint: 'leaks' }, {}, PLANTED.leaks],
  ['branch', { branch: 'Northgate' }, {}, PLANTED.northgate],
  ['engineHours', { engineHours: 12_000 }, { engineHours: 1000 }, PLANTED.worn ** Math.log(13 / 2)],
] as const;

describe('days that follow complaint, branch and engine hours', () => {
  const shops = asks(PLANTED);

  test.each(compared)('%s: the quote follows most of it, drawn towards none', (_, one, other, planted) => {
    const shares = shops.map((ask) => Math.log(times(ask(one), ask(other))) / Math.log(planted));
    // Drawn by 40 jobs and more, and misses beyond a factor of two count as two: less than the truth, but half of it and more.
    expect(mean(shares)).toBeGreaterThan(0.5);
    expect(mean(shares)).toBeLessThan(1);
    for (const share of shares) expect(share).toBeGreaterThan(0.25);
    // The days that are told follow by as much, but for what is rounded to whole ones.
    for (const ask of shops) {
      const days = ((ask(one).median ?? NaN) + 1) / ((ask(other).median ?? NaN) + 1);
      expect(Math.abs(Math.log(days / times(ask(one), ask(other))))).toBeLessThan(1 / 30);
    }
  });

  test('it says by how much, and on how many finished jobs that rests', () => {
    const jobs = waitingShop(1500, 100, PLANTED);
    const { adjustments } = asking(jobs)({ complaint: 'leaks', branch: 'Northgate' });
    expect(adjustments.map(({ feature }) => feature)).toEqual(['complaint', 'branch', 'engineHours']);
    const done = jobs.filter(({ finished }) => finished !== null);
    const behind = [
      done.filter(({ complaint, work }) => complaint === 'leaks' && work === 'recalibrate').length,
      done.filter(({ branch }) => branch === 'Northgate').length,
      done.filter(({ work }) => work === 'recalibrate').length,
    ];
    adjustments.forEach(({ n }, k) => {
      expect(n).toBeLessThanOrEqual(behind[k] ?? NaN);
      expect(n).toBeGreaterThan(0.9 * (behind[k] ?? NaN));
    });
  });
});

describe('days that follow none of it', () => {
  const shops = asks(UNMOVED);

  test.each(compared)('%s hardly moves them', (_, one, other) => {
    const offs = shops.map((ask) => Math.log(times(ask(one), ask(other))));
    expect(Math.abs(mean(offs))).toBeLessThan(0.02);
    for (const off of offs) expect(Math.abs(off)).toBeLessThan(0.1);
  });

  // The mean of such days, by ratios, lies a fifth below their median: that is no complaint's doing, and no branch's.
  test('nor where they stray far more below their middle than above it', () => {
    const lopsidedShops = SEEDS.map((seed) => asking(waitingShop(1500, seed, UNMOVED, lopsided)));
    const offs = lopsidedShops.map((ask) => Math.log(movedBy(ask({ complaint: 'smoke', engineHours: null }))));
    expect(Math.abs(mean(offs))).toBeLessThan(0.03);
  });
});

describe.each([
  ['that follow none of it', UNMOVED],
  ['that follow all three', PLANTED],
] as const)('the back-test of days %s', (_, planted) => {
  test('ranges hold as often as they say, and not much more', () => {
    const tried = tryAll(historyOfJobs(waitingShop(1500, 108, planted)), DAYS_ALONE).days;
    COVERAGES.forEach((coverage, k) => {
      const bounded = tried.filter(({ high }) => Number.isFinite(high[k]));
      const held = bounded.filter(({ low, high, came }) => (low[k] ?? NaN) <= came && came <= (high[k] ?? NaN)).length;
      expect(bounded.length).toBeGreaterThan(1300);
      expect(held).toBeGreaterThanOrEqual(binomialQuantile(0.01, bounded.length, coverage));
      // Ranges of the first jobs are borrowed, which are wider.
      expect(held).toBeLessThanOrEqual(binomialQuantile(0.99, bounded.length, Math.min(0.99, coverage + 0.03)));
    });
  });
});

test('where much moves the days, quotes are nearer and ranges narrower, as a factor, than where none of it is told', () => {
  const jobs = waitingShop(1500, 109, { leaks: 1.8, northgate: 1.5, worn: 1.4 });
  const untold = jobs.map((job): Job => ({ ...job, complaint: null, branch: null, engineHours: NaN }));
  const of = (some: readonly Job[]) => tryAll(historyOfJobs(some), DAYS_ALONE).days;
  const error = (tried: readonly Tried[]) => mean(tried.map(({ told, came }) => Math.abs(told - came)));
  const width = (tried: readonly Tried[]) =>
    mean(
      tried.map(({ low, high }) => Math.log((1 + (high[1] ?? NaN)) / (1 + (low[1] ?? NaN)))).filter(Number.isFinite),
    );
  const [with_, without] = [of(jobs), of(untold)];
  expect(error(with_)).toBeLessThan(0.92 * error(without));
  expect(width(with_)).toBeLessThan(0.95 * width(without));
});

test('the middle and the ends are those of past jobs freed of what was told of each, open ones too, reckoned one by one', () => {
  const open = Array.from({ length: 20 }, (_, k): Job => {
    const received = after(CHOICES.today, -6 - 6 * k);
    return { model: 'Heron', received, complaint: 'leaks', branch: 'Northgate', finished: null, engineHours: 9000 };
  });
  const history = historyOfJobs([...waitingShop(320, 124, { leaks: 1.8, northgate: 1.5, worn: 1.4 }), ...open]);
  const [model, work] = [history.names.model.indexOf('Heron'), history.names.work.indexOf('recalibrate')];
  const today = dayNumber(CHOICES.today);
  const rows = Array.from(history.model.keys()).filter(
    (row) => history.model[row] === model && history.work[row] === work,
  );
  expect(rows.length).toBeGreaterThan(39);
  const done = rows.map((row) => (history.finished[row] ?? NaN) < today);
  const factors = rows.map((row) => movedBy(quotedAlone(history, row, DAYS_ALONE).days));
  expect(Math.max(...factors)).toBeGreaterThan(1.1);
  const freed = rows.map((row, k) => {
    const until = done[k] === true ? (history.finished[row] ?? NaN) : today;
    return (1 + until - (history.received[row] ?? NaN)) / (factors[k] ?? NaN);
  });
  const curve = kaplanMeier(freed, done.map(Number));
  const asked = { ...BASE, complaint: 'leaks', branch: 'Northgate' };
  const { median, ranges, ...told } = estimate(prepareQuotes(history, DAYS_ALONE), asked).days;
  const factor = movedBy({ median, ranges, ...told });
  expect(median).toBe(Math.round(waitWithin(curve, 0.5) * factor - 1));
  ranges.forEach(({ coverage, low, high, n }) => {
    expect(n).toBe(rows.length);
    expect(low).toBe(Math.ceil(waitAtLeast(curve, (1 + coverage) / 2) * factor - 1));
    expect(high).toBe(Math.floor(waitWithin(curve, (1 + coverage) / 2) * factor - 1));
  });
});

describe('always', () => {
  const bare = (days: readonly number[]): Job[] =>
    days.map((each, k) => {
      const received = after(CHOICES.today, -7 * (days.length - k) - 7);
      const finished = after(received, each);
      return { model: 'Heron', received, finished: finished < CHOICES.today ? finished : null };
    });

  test('where nothing is told of past jobs, the days are those of their curve, to the day', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 40 }), { minLength: 5, maxLength: 260 }), (days) => {
        const jobs = bare(days).slice(-200);
        const until = jobs.map(({ finished }) => finished ?? CHOICES.today);
        const curve = kaplanMeier(
          jobs.map(({ received }, k) => dayNumber(until[k] ?? '') - dayNumber(received)),
          jobs.map(({ finished }) => Number(finished !== null)),
        );
        const { median, ranges, adjustments } = asking(bare(days))({});
        expect(adjustments).toEqual([]);
        expect(median ?? Infinity).toBe(waitWithin(curve, 0.5));
        for (const { coverage, low, high, notEnough } of ranges) {
          if (notEnough !== null) continue;
          const side = (1 + coverage) / 2;
          expect([low, high]).toEqual([
            Math.min(waitAtLeast(curve, side), median ?? NaN),
            Math.max(waitWithin(curve, side), median ?? NaN),
          ]);
        }
      }),
      { numRuns: 60 },
    );
  });

  test('a job that was finished before it came in is a slip: it is none of those that the days are told from', () => {
    const jobs = bare([3, 4, 5, 6, 7, 8, 9, 10, 11]);
    const slip: Job = { model: 'Heron', received: '2024-06-02', finished: '2024-06-01' };
    const [{ median, ranges, n }, with_] = [asking(jobs)({}), asking([...jobs, slip, slip])({})];
    expect(with_).toMatchObject({ median, ranges, n });
  });

  test('days are whole, none is below 0, and a wider range holds the narrower', () => {
    const shops = [UNMOVED, { leaks: 0.2, northgate: 0.2, worn: 0.5 }].map((planted) =>
      asking(waitingShop(500, 111, planted)),
    );
    fc.assert(
      fc.property(
        fc.constantFrom(...shops),
        fc.constantFrom('leaks', 'knock', null),
        fc.constantFrom('Northgate', 'Millrace', null),
        fc.constantFrom('Heron', 'Dunlin', 'Wren'),
        fc.double({ min: 0, max: 1e6, noNaN: true }),
        (ask, complaint, branch, model, engineHours) => {
          const { median, ranges } = ask({ complaint, branch, model, engineHours });
          let [low, high] = [median ?? NaN, median ?? NaN];
          for (const range of ranges.filter(({ notEnough }) => notEnough === null)) {
            expect(Number.isInteger(range.low) && Number.isInteger(range.high)).toBe(true);
            expect(range.low).toBeGreaterThanOrEqual(0);
            expect(range.low).toBeLessThanOrEqual(low);
            expect(range.high).toBeGreaterThanOrEqual(high);
            [low, high] = [range.low, range.high];
          }
        },
      ),
      { numRuns: 100 },
    );
  });

  test('more spread in the past days never narrows a range', () => {
    const pair = fc.tuple(fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 1, max: 2, noNaN: true }));
    const daysOf = (offs: readonly number[]) =>
      offs.flatMap((off) => [off, -off].map((each) => Math.round(30 * Math.exp(each))));
    // All are finished: the last came in long before.
    const old = (days: readonly number[]): Job[] =>
      days.map((each, k) => {
        const received = after('2022-01-01', 5 * k);
        return { model: 'Heron', received, finished: after(received, each) };
      });
    fc.assert(
      fc.property(fc.array(pair, { minLength: 12, maxLength: 40 }), (pairs) => {
        const near = asking(old(daysOf(pairs.map(([off]) => off))))({}).ranges;
        const far = asking(old(daysOf(pairs.map(([off, more]) => off * more))))({}).ranges;
        near.forEach(({ low, high }, k) => {
          expect(far[k]?.low).toBeLessThanOrEqual(low);
          expect(far[k]?.high).toBeGreaterThanOrEqual(high);
        });
      }),
      { numRuns: 60 },
    );
  });

  test('the order of rows does not matter', () => {
    const history = historyOfJobs(waitingShop(400, 112, PLANTED));
    const asked: Asked = { ...BASE, complaint: 'leaks', branch: 'Northgate' };
    const plain = estimate(prepareQuotes(history, DAYS_ALONE), asked).days;
    expect(plain.adjustments).toHaveLength(3);
    const rows = Array.from(history.model.keys());
    fc.assert(
      fc.property(fc.shuffledSubarray(rows, { minLength: rows.length, maxLength: rows.length }), (order) => {
        expect(estimate(prepareQuotes(rowsOf(history, order), DAYS_ALONE), asked).days).toEqual(plain);
      }),
      { numRuns: 5 },
    );
  });

  test('one job whose days go wild moves the middle by no more than its bound', () => {
    const jobs = waitingShop(400, 113, PLANTED);
    const asked = { complaint: 'leaks', branch: 'Northgate' };
    const plain = Math.log1p(asking(jobs)(asked).median ?? NaN);
    const own = jobs.filter(({ model, work }) => model === 'Heron' && work === 'recalibrate').length;
    expect(own).toBeGreaterThan(50);
    fc.assert(
      fc.property(fc.nat({ max: 399 }), fc.constantFrom(0, 1, 400, 4000), (which, wild) => {
        const moved = asking(
          jobs.map((job, k) => {
            const finished = after(job.received, wild);
            return k === which ? { ...job, finished: finished < CHOICES.today ? finished : null } : job;
          }),
        )(asked).median;
        // As of the hours; and a day for what is rounded.
        expect(Math.abs(Math.log1p(moved ?? NaN) - plain)).toBeLessThan((4 * Math.LN2) / own + Math.exp(-plain));
      }),
      { numRuns: 20 },
    );
  });
});
