import { beforeAll, describe, expect, test } from 'vitest';
import { backtest, tryAll, type Tried } from '../../lib/quote/backtest';
import { monthOf } from '../../lib/quote/calendar';
import { COVERAGES, targets, type BackTest, type Target, type TargetTest } from '../../lib/quote/types';
import { quotedAlone } from './alone';
import { after, CHOICES, dayNumber, dayText, historyOfJobs, shopOf, weekly, type Job } from './shop';

/** Money of the same day for all, so that a quote made on another day is in the same money. */
const STEADY = { ...CHOICES, partsIndexPerYear: 0 };

/** One part of the summary, counted anew. */
function expectPart(
  { n, medianError, coverages }: TargetTest['byModel'][number] | TargetTest['byYear'][number],
  own: readonly Tried[],
) {
  const errors = own.map((one) => Math.abs(one.told - one.came)).sort((a, b) => a - b);
  expect(n).toBe(own.length);
  expect(medianError).toBeCloseTo(((errors[(n - 1) >> 1] ?? NaN) + (errors[n >> 1] ?? NaN)) / 2, 12);
  coverages.forEach(({ k, share, n: bounded }, at) => {
    const held = own.filter(({ low, high, came }) => (low[at] ?? NaN) <= came && came <= (high[at] ?? NaN));
    expect(k).toBe(held.filter(({ high }) => high[at] !== Infinity).length);
    if (bounded > 0) expect(share).toBeCloseTo(k / bounded, 12);
  });
}

describe('against a slow and plain re-computation', () => {
  const history = historyOfJobs(shopOf(240, 3));
  let tried: Record<Target, Tried[]>;
  beforeAll(() => {
    tried = tryAll(history, STEADY);
  });

  test.each(targets)('%s: every seventh job is quoted as it would have been alone', (target) => {
    let compared = 0;
    for (const one of tried[target].filter((_, k) => k % 7 === 0)) {
      const alone = quotedAlone(history, one.row, STEADY)[target];
      expect(one.told).toBeCloseTo(alone.median ?? NaN, 7);
      alone.ranges.forEach(({ low, high }, k) => {
        if (high === Infinity) expect(one.high[k]).toBe(Infinity);
        else expect(one.high[k]).toBeCloseTo(high, 7);
        expect(one.low[k]).toBeCloseTo(low, 7);
      });
      compared += 1;
    }
    expect(compared).toBeGreaterThan(20);
  });

  test('the summary counts those jobs', () => {
    const told = backtest(history, STEADY);
    for (const { target, n, medianError, coverages, byModel, byYear, against } of told.tests) {
      const own = tried[target];
      const errors = own.map((one) => Math.abs(one.told - one.came)).sort((a, b) => a - b);
      const middle = errors.length / 2;
      expect(n).toBe(own.length);
      expect(medianError).toBeCloseTo(
        ((errors[Math.ceil(middle) - 1] ?? NaN) + (errors[Math.floor(middle)] ?? NaN)) / 2,
        12,
      );
      coverages.forEach(({ k, n: bounded, unbounded }, at) => {
        const ended = own.filter(({ high }) => Number.isFinite(high[at]));
        expect([bounded, unbounded]).toEqual([ended.length, own.length - ended.length]);
        expect(k).toBe(
          ended.filter(({ low, high, came }) => (low[at] ?? NaN) <= came && came <= (high[at] ?? NaN)).length,
        );
      });
      const modelOf = ({ row }: Tried) => history.names.model[history.model[row] ?? -1] ?? '';
      const yearOf = ({ row }: Tried) => Number(dayText(history.received[row] ?? NaN).slice(0, 4));
      expect(byModel.map(({ model }) => model)).toEqual([...new Set(own.map(modelOf))].sort());
      expect(byYear.map(({ year }) => year)).toEqual([...new Set(own.map(yearOf))].sort());
      for (const part of byModel)
        expectPart(
          part,
          own.filter((one) => modelOf(one) === part.model),
        );
      for (const part of byYear)
        expectPart(
          part,
          own.filter((one) => yearOf(one) === part.year),
        );
      for (const { n: pairs } of against) expect(pairs).toBeLessThanOrEqual(n);
    }
    expect(told.open).toBe(Array.from(history.finished).filter(Number.isNaN).length);
  });
});

describe('nothing is looked up ahead of its day', () => {
  const jobs = shopOf(200, 4);
  const cut = after('2021-01-01', 700);

  test('what happens later changes no earlier quote', () => {
    const before = tryAll(historyOfJobs(jobs), STEADY);
    const changed = jobs.map((job): Job => {
      const finished = job.finished ?? null;
      return finished !== null && finished >= cut ? { ...job, hours: 900, parts: 90_000 } : job;
    });
    const later = tryAll(historyOfJobs(changed), STEADY);
    const month = monthOf(dayNumber(cut));
    const early = (all: Record<Target, Tried[]>) =>
      all.hours
        .filter(({ row }) => dayNumber(jobs[row]?.received ?? '') < month)
        .map(({ row, told, low, high }) => ({ row, told, low, high }));
    expect(early(later)).toEqual(early(before));
    expect(early(before).length).toBeGreaterThan(50);
  });

  test('a job of the same month teaches nothing', () => {
    const month: Job[] = Array.from({ length: 40 }, (_, k) => ({
      model: 'Heron',
      received: after('2024-05-01', k % 20),
      finished: after('2024-05-01', (k % 20) + 1),
      hours: 5,
    }));
    expect(backtest(historyOfJobs(month), STEADY).tests.map(({ n }) => n)).toEqual([0, 0, 0, 0]);
  });
});

describe('what it says of plain ways', () => {
  const beats = ({ tests }: BackTest, way: string) =>
    tests.find(({ target }) => target === 'hours')?.against.find((one) => one.way === way)?.beats;

  test('it beats them where kinds of work differ and the model alone does not tell', () => {
    const test = backtest(historyOfJobs(shopOf(600, 6)), STEADY);
    for (const way of ['mean of the model', 'last five of the model', 'median of all'])
      expect(beats(test, way)).toBe('yes');
  });

  test('it does not where a plain way is as good, and says even', () => {
    const same = weekly(Array.from({ length: 300 }, () => 7));
    expect(beats(backtest(historyOfJobs(same), STEADY), 'mean of the model')).toBe('even');
  });

  test('it loses where the last five are nearer, and says no', () => {
    // Hours that rise all the time: what lies years back is of no use.
    const rising = Array.from({ length: 300 }, (_, k): Job => ({
      model: 'Heron',
      received: after('2018-01-01', 8 * k),
      hours: 4 * 1.01 ** k,
    }));
    expect(beats(backtest(historyOfJobs(rising), STEADY), 'last five of the model')).toBe('no');
  });

  test('with a handful of jobs it says that there is not enough data', () => {
    const test = backtest(historyOfJobs(weekly([6, 7, 8, 7, 6, 7, 8, 9])), STEADY);
    expect(beats(test, 'mean of the model')).toBe('not enough data');
    expect(test.tests.every(({ coverages }) => coverages.length === COVERAGES.length)).toBe(true);
  });
});
