import { describe, expect, test } from 'vitest';
import { backtest } from '../../lib/quote/backtest';
import { estimate } from '../../lib/quote/estimate';
import { prepareQuotes } from '../../lib/quote/prepare';
import type { Asked, RangeSet } from '../../lib/quote/types';
import { CHOICES, historyOfJobs, shopOf, type Job } from './shop';

/** A shop with two branches, in which one may be slower; half of the jobs each. */
const shop = (slower: number): Job[] =>
  shopOf(900, 31).map((job) => ({ ...job, hours: (job.hours ?? NaN) * (job.branch === 'Northgate' ? slower : 1) }));
const asking = (jobs: readonly Job[]) => {
  const prepared = prepareQuotes(historyOfJobs(jobs), CHOICES);
  return (branch: string | null, work = 'recalibrate'): RangeSet =>
    estimate(prepared, { model: 'Heron', work, branch } satisfies Asked).hours;
};
const ratio = (one: RangeSet, other: RangeSet): number => (one.median ?? NaN) / (other.median ?? NaN);

describe('a branch that takes 20 % longer', () => {
  const jobs = shop(1.2);
  const ask = asking(jobs);

  test.each(['recalibrate', 'rebuild'])('is quoted longer by most of it (%s)', (work) => {
    const times = ratio(ask('Northgate', work), ask('Millrace', work));
    // Drawn towards none, so a little less than the truth.
    expect(times).toBeGreaterThan(1.13);
    expect(times).toBeLessThan(1.22);
  });

  test('says by how much, and on how many jobs that rests', () => {
    const slow = ask('Northgate').adjustments.find(({ feature }) => feature === 'branch');
    const fast = ask('Millrace').adjustments.find(({ feature }) => feature === 'branch');
    expect(slow?.factor).toBeGreaterThan(1.05);
    expect(fast?.factor).toBeLessThan(0.95);
    const of = (branch: string) => jobs.filter((job) => job.branch === branch && job.finished !== null).length;
    expect(slow?.n).toBeLessThanOrEqual(of('Northgate'));
    expect(slow?.n).toBeGreaterThan(0.9 * of('Northgate'));
  });

  test('other capitals or blanks make no other branch; one that is not known moves nothing', () => {
    expect(ask(' northgate ')).toEqual(ask('Northgate'));
    expect(ask('Eastbrook')).toEqual(ask(null));
    expect(ratio(ask('Northgate'), ask(null))).toBeGreaterThan(1);
  });

  test('is quoted nearer than where branches are not told', () => {
    const error = (of: readonly Job[]) =>
      backtest(historyOfJobs(of), CHOICES).tests.find(({ target }) => target === 'hours')?.medianError ?? NaN;
    expect(error(jobs)).toBeLessThan(0.95 * error(jobs.map((job) => ({ ...job, branch: null }))));
  });
});

test('branches that are alike are quoted alike', () => {
  const ask = asking(shop(1));
  for (const work of ['recalibrate', 'rebuild'])
    expect(Math.abs(Math.log(ratio(ask('Northgate', work), ask('Millrace', work))))).toBeLessThan(0.03);
});
