import { describe, expect, test } from 'vitest';
import { tryAll } from '../../lib/quote/backtest';
import { monthOf } from '../../lib/quote/calendar';
import { plainWays } from '../../lib/quote/types';
import { CHOICES, dayNumber, historyOfJobs, shopOf, type Job } from './shop';

/** The plain ways to quote, reckoned anew from the jobs as they are written. */

const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
const median = (values: readonly number[]): number => {
  const sorted = values.toSorted((a, b) => a - b);
  return mean([sorted[(sorted.length - 1) >> 1] ?? NaN, sorted[sorted.length >> 1] ?? NaN]);
};

/** A job's hours by the four ways, from the jobs that were finished before the first of its month. */
function byHand(jobs: readonly Job[], asked: Job): number[] {
  const first = monthOf(dayNumber(asked.received));
  const finished = (job: Job): number => dayNumber(job.finished ?? '');
  const past = jobs
    .map((job, place) => ({ job, place }))
    .filter(({ job }) => finished(job) < first)
    .sort((a, b) => finished(a.job) - finished(b.job) || a.place - b.place)
    .map(({ job }) => job);
  const hours = (of: readonly Job[]) => of.map((job) => job.hours ?? NaN);
  const model = past.filter((job) => job.model === asked.model);
  return [
    mean(hours(model)),
    mean(hours(model).slice(-5)),
    median(hours(past)),
    mean(hours(model.filter((job) => job.work === asked.work))),
  ];
}

describe('the plain ways', () => {
  test('come out as reckoned by hand for every job of a shop', () => {
    const jobs = shopOf(160, 12);
    const { hours } = tryAll(historyOfJobs(jobs), CHOICES);
    expect(hours.length).toBeGreaterThan(100);
    for (const { row, plain } of hours) {
      const job = jobs[row];
      if (job === undefined) throw new Error('No such job');
      byHand(jobs, job).forEach((figure, k) => {
        const name = `${plainWays[k] ?? ''} of ${row}`;
        if (Number.isNaN(figure)) expect(plain[k], name).toBeNaN();
        else expect(plain[k], name).toBeCloseTo(figure, 9);
      });
    }
  });

  test('by figures that anyone can check', () => {
    const done = ([hours, model, work]: readonly [number, string, string], k: number): Job => ({
      ...{ hours, model, work },
      ...{ received: `2024-03-0${k + 1}`, finished: `2024-03-1${k + 1}` },
    });
    const past = (
      [
        [4, 'Heron', 'test'],
        [10, 'Heron', 'rebuild'],
        [5, 'Heron', 'test'],
        [12, 'Heron', 'rebuild'],
        [6, 'Heron', 'test'],
        [11, 'Heron', 'rebuild'],
        [30, 'Plover', 'rebuild'],
      ] as const
    ).map(done);
    const asked: Job = { model: 'Heron', work: 'rebuild', received: '2024-04-02', finished: '2024-04-09', hours: 11 };
    const last = tryAll(historyOfJobs([...past, asked]), CHOICES).hours.at(-1);
    // 48 over 6; 10, 5, 12, 6, 11; the middle of 4 5 6 10 11 12 30; 10, 12, 11.
    expect(last?.plain).toEqual([8, 8.8, 10, 11]);
  });
});
