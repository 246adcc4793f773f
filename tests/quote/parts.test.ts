import { describe, expect, test } from 'vitest';
import { extraChances } from '../../lib/quote/extra';
import { prepareQuotes, type Prepared } from '../../lib/quote/prepare';
import { similarJobs } from '../../lib/quote/similar';
import type { Asked, Choices } from '../../lib/quote/types';
import { overrun, priceAt } from '../../lib/quote/whatIf';
import { binomialQuantile } from '../../lib/stats/binomialQuantile';
import { seededChance } from '../../lib/stats/shuffle';
import { wilson } from '../../lib/stats/wilson';
import { CHOICES, historyOfJobs, normal, weekly, type Job } from './shop';

const HERON: Asked = { model: 'Heron', work: 'recalibrate' };
const prepared = (jobs: readonly Job[], choices: Partial<Choices> = {}): Prepared =>
  prepareQuotes(historyOfJobs(jobs), { ...CHOICES, partsIndexPerYear: 0, ...choices });

const ofTen = (k: number): number => (k % 10 < 3 ? 1 : 0);

describe('chance of extra work', () => {
  const barrels = (more: Partial<Job>, n: number): Job[] =>
    weekly(
      Array.from({ length: n }, () => 6),
      more,
    ).map((job, k) => ({ ...job, newBarrels: ofTen(k) }));

  test('the share of the nearest twenty or more, with its interval', () => {
    const [chance] = extraChances(prepared(barrels({}, 30)), HERON);
    expect(chance).toMatchObject({ kind: 'newBarrels', k: 9, n: 30, share: 0.3, borrowed: false, ...wilson(9, 30) });
  });

  test('too few of the model: its kin, and it says so', () => {
    const [chance] = extraChances(prepared([...barrels({ model: 'Kestrel' }, 30), ...barrels({}, 10)]), HERON);
    expect(chance).toMatchObject({ k: 12, n: 40, borrowed: true, group: { level: 'kin', elements: 6 } });
  });

  test('like engine hours and the same complaint come first where there are enough', () => {
    const worn = barrels({ engineHours: 10_000, complaint: 'low power' }, 20).map((job) => ({ ...job, newBarrels: 1 }));
    const fresh = barrels({ engineHours: 1000, complaint: 'leaks' }, 30).map((job) => ({ ...job, newBarrels: 0 }));
    const asked = { ...HERON, engineHours: 9000, complaint: ' Low Power' };
    expect(extraChances(prepared([...worn, ...fresh]), asked)[0]).toMatchObject({
      k: 20,
      n: 20,
      likeHours: true,
      borrowed: false,
      group: { level: 'model and complaint', complaint: 'low power' },
    });
  });

  test('each kind of extra work is counted by its own column', () => {
    const jobs = weekly(Array.from({ length: 40 }, () => 6)).map((job, k) => ({
      ...job,
      newBarrels: k < 30 ? Number(k < 3) : -1,
      camshaft: k < 36 ? Number(k < 6) : -1,
      rerun: Number(k < 20),
    }));
    expect(extraChances(prepared(jobs), HERON).map(({ kind, k, n }) => [kind, k, n])).toEqual([
      ['newBarrels', 3, 30],
      ['camshaft', 6, 36],
      ['rerun', 20, 40],
    ]);
  });

  test('jobs that do not tell are not counted; other work is not asked', () => {
    const silent = barrels({}, 30).map((job) => ({ ...job, newBarrels: -1 }));
    const other = barrels({ work: 'rebuild' }, 30);
    expect(extraChances(prepared([...silent, ...other]), HERON)[0]).toMatchObject({ k: 0, n: 0, share: null });
  });
});

describe('what if', () => {
  // Thirty jobs of 1 to 30 h at 60 an hour and parts of 10 an hour: 70 to 2100.
  const jobs = weekly(Array.from({ length: 30 }, (_, k) => k + 1));

  test('the share of like past jobs that cost more than a price', () => {
    expect(overrun(prepared(jobs), HERON, 1400)).toMatchObject({ k: 10, n: 30, share: 1 / 3, ...wilson(10, 30) });
    expect(overrun(prepared(jobs), HERON, 2100)).toMatchObject({ k: 0 });
    expect(overrun(prepared(jobs), HERON, 2099)).toMatchObject({ k: 1 });
  });

  test('the price that holds a chance: with 10 %, place ceil(31 x 0.9) = 28', () => {
    expect(priceAt(prepared(jobs), HERON, 0.1)).toMatchObject({
      price: 28 * 70,
      n: 30,
      borrowed: false,
      notEnough: null,
    });
    expect(priceAt(prepared(jobs), HERON, 0.5)).toMatchObject({ price: 16 * 70 });
  });

  test('for so small a chance that the model has too few jobs it takes the kin; with none it says so', () => {
    const kin = weekly(
      Array.from({ length: 70 }, () => 5),
      { model: 'Kestrel' },
    );
    expect(priceAt(prepared([...jobs, ...kin]), HERON, 0.01)).toMatchObject({ n: 100, borrowed: true, price: 2100 });
    expect(priceAt(prepared(jobs), HERON, 0.01)).toMatchObject({ price: null, notEnough: 'too few past jobs' });
  });

  test('out of sample, the next job costs more than its price as often as was said', () => {
    const [runs, past] = [300, 40];
    const chance = seededChance(2207);
    // Skewed, as costs are, so that a price off the mean would not do.
    const next = () => Math.exp(2 + 0.6 * normal(chance));
    const over = { 0.1: 0, 0.25: 0 };
    for (let run = 0; run < runs; run += 1) {
      const told = prepared(weekly(Array.from({ length: past }, next), { parts: 0, received: '2024-11-04' }));
      const cost = 60 * next();
      for (const share of [0.1, 0.25] as const)
        over[share] += Number(cost > (priceAt(told, HERON, share).price ?? NaN));
    }
    for (const share of [0.1, 0.25] as const) {
      // At most the chance, and short of it by 1 / (n + 1) at most: once in a thousand runs further off by chance.
      expect(over[share], `${share}`).toBeLessThanOrEqual(binomialQuantile(0.999, runs, share));
      expect(over[share], `${share}`).toBeGreaterThanOrEqual(binomialQuantile(0.001, runs, share - 1 / (past + 1)));
    }
  });

  test('without a rate, and without jobs', () => {
    expect(overrun(prepared(jobs, { hourRate: null }), HERON, 100)).toMatchObject({
      share: null,
      notEnough: 'no rate set',
    });
    expect(overrun(prepared([]), HERON, 100)).toMatchObject({ n: 0, share: null, notEnough: 'no past jobs' });
    expect(priceAt(prepared([]), HERON, 0.1)).toMatchObject({ price: null, notEnough: 'no past jobs' });
  });
});

describe('the jobs that are most alike', () => {
  const jobs: Job[] = [
    { job: 'alike', model: 'Heron', received: '2024-06-01', hours: 7, complaint: 'knock', phasingDeg: 1, parts: 40 },
    { job: 'older', model: 'Heron', received: '2019-06-01', hours: 7, complaint: 'knock', phasingDeg: 1 },
    { job: 'far off', model: 'Heron', received: '2024-06-01', hours: 9, complaint: 'knock', phasingDeg: 4 },
    { job: 'not read', model: 'Heron', received: '2024-06-01', hours: 9, complaint: 'knock' },
    { job: 'kin', model: 'Kestrel', received: '2024-06-01', hours: 7, complaint: 'knock', phasingDeg: 1 },
    {
      job: 'other work',
      model: 'Heron',
      work: 'rebuild',
      received: '2024-06-01',
      hours: 20,
      complaint: 'knock',
      phasingDeg: 1,
    },
    { job: 'open', model: 'Heron', received: '2024-12-30', finished: null, complaint: 'knock', phasingDeg: 1 },
  ];
  const asked = { ...HERON, complaint: 'Knock', phasingDeg: 1.05 };

  test('stand in the order of how far they are apart; what is not known counts half, and open jobs not at all', () => {
    const found = similarJobs(prepared(jobs), asked).map(({ job }) => job);
    expect(found).toEqual(['alike', 'older', 'not read', 'far off', 'kin', 'other work']);
    expect(similarJobs(prepared(jobs), asked, 2)).toHaveLength(2);
  });

  test('are ten unless another number is asked for', () => {
    const many = weekly(Array.from({ length: 30 }, (_, k) => k + 1));
    expect(similarJobs(prepared(many), HERON)).toHaveLength(10);
    expect(similarJobs(prepared(many.slice(0, 4)), HERON)).toHaveLength(4);
  });

  test('each says why it is near, what was found and what it took', () => {
    const [first, , third] = similarJobs(prepared(jobs), asked);
    expect(first).toMatchObject({
      job: 'alike',
      receivedOn: '2024-06-01',
      finishedOn: '2024-06-04',
      days: 3,
      labourHours: 7,
      partsCost: 40,
      currency: 'EUR',
      partsToday: 40,
      cost: 7 * 60 + 40,
      extra: [],
    });
    expect(first?.yearsAgo).toBeCloseTo(211 / 365.25, 9);
    expect(first?.why.every(({ agrees }) => agrees)).toBe(true);
    expect(first?.why.map(({ feature }) => feature)).toEqual(['work', 'model', 'kin', 'complaint', 'phasingDeg']);
    expect(third?.why.map(({ feature }) => feature)).not.toContain('phasingDeg');
  });
});
