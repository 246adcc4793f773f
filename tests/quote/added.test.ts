import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { addedBy } from '../../lib/quote/added';
import { estimate } from '../../lib/quote/estimate';
import { placeOfAsked } from '../../lib/quote/groups';
import { prepareQuotes } from '../../lib/quote/prepare';
import type { Added, Asked, Choices } from '../../lib/quote/types';
import { binomialQuantile } from '../../lib/stats/binomialQuantile';
import { seededChance } from '../../lib/stats/shuffle';
import { CHOICES, historyOfJobs, normal, weekly, type Job } from './shop';

/** What new barrels added to past jobs, against those that needed none. */

const HERON: Asked = { model: 'Heron', work: 'recalibrate' };

function added(jobs: readonly Job[], choices: Partial<Choices> = {}, asked = HERON): Added {
  const prepared = prepareQuotes(historyOfJobs(jobs), { ...CHOICES, partsIndexPerYear: 0, ...choices });
  return addedBy(prepared, placeOfAsked(prepared.history, asked), asked, 'newBarrels');
}

/** Hours from the first to the last, a job each, with parts of ten an hour. */
const hoursFrom = (first: number, last: number): number[] =>
  Array.from({ length: last - first + 1 }, (_, k) => first + k);
const without = (hours: readonly number[], more: Partial<Job> = {}) => weekly(hours, { newBarrels: 0, ...more });
const withIt = (hours: readonly number[], more: Partial<Job> = {}) => weekly(hours, { newBarrels: 1, ...more });
const of = (count: number, hours: number): number[] => Array.from({ length: count }, () => hours);

/*
 * By hand: of 21 values the 5th and the 17th bound the median, of 20 the 5th and the 16th, since of the 2^21 ways to fall below or above it
 * 7,547 put four or fewer below, and of 2^20 6,196 (0.36 and 0.59 %, at most 0.625), and five are too many (1.33 and 2.07 %).
 */
describe('what an extra added', () => {
  const base = without(hoursFrom(1, 21));

  test('is the median of the jobs with it less that of those without, with ends from the ends of both', () => {
    // 50.5 less 11; the 5th, 45, less 17; the 16th, 56, less 5. An hour is 60, and 10 of parts.
    expect(added([...base, ...withIt(hoursFrom(41, 60))])).toEqual({
      n: 20,
      against: 21,
      hours: { figure: 39.5, low: 28, high: 51 },
      parts: { figure: 395, low: 280, high: 510 },
      cost: { figure: 39.5 * 70, low: 28 * 70, high: 51 * 70 },
      group: { level: 'model', model: 'Heron', work: 'recalibrate', elements: null, complaint: null },
      borrowed: false,
      notEnough: null,
    });
  });

  test('has no sum where the interval does not lie above 0', () => {
    // 20.5 less 11; 15 less 17; 26 less 5.
    expect(added([...base, ...withIt(hoursFrom(11, 30))])).toMatchObject({
      ...{ hours: { figure: 9.5, low: -2, high: 21 }, cost: null },
      notEnough: 'no clear difference',
    });
  });

  test('counts parts in the money of the day, and those of the chosen currency alone', () => {
    // Finished 1,461 days before the day of the quote: four years.
    const then = { received: '2020-12-29', finished: '2021-01-01' };
    const jobs = [...without(of(20, 5), then), ...withIt(of(20, 8), then)];
    const { hours, parts } = added(jobs, { partsIndexPerYear: 0.03 });
    expect(hours).toEqual({ figure: 3, low: 3, high: 3 });
    expect(parts?.figure).toBeCloseTo(30 * 1.03 ** 4, 9);
    const other = withIt(of(30, 99), { currency: 'SEK' });
    expect(added([...jobs, ...other])).toEqual(added(jobs));
  });

  test('is not told from fewer than twenty on either side, nor without a rate in money', () => {
    const few = { hours: null, parts: null, cost: null, notEnough: 'too few past jobs' };
    expect(added([...base, ...withIt(of(19, 30))])).toMatchObject({ n: 19, ...few });
    expect(added([...without(of(19, 5)), ...withIt(of(30, 30))])).toMatchObject({ n: 0, against: 0, ...few });
    expect(added(base)).toMatchObject({ n: 0, notEnough: 'no past jobs' });
    const jobs = [...base, ...withIt(hoursFrom(41, 60))];
    expect(added(jobs, { hourRate: null })).toMatchObject({
      ...{ hours: { figure: 39.5 }, cost: null, notEnough: 'no rate set' },
    });
  });

  test('of a few jobs of the model it is borrowed, each held against its own model', () => {
    const kestrel = { model: 'Kestrel' };
    const jobs = [
      ...[...without(of(25, 10)), ...withIt(of(10, 13))],
      ...[...without(of(25, 50), kestrel), ...withIt(of(10, 53), kestrel)],
    ];
    expect(added(jobs)).toMatchObject({
      ...{ n: 20, against: 50, borrowed: true, group: { level: 'kin' } },
      hours: { figure: 3, low: 3, high: 3 },
    });
  });

  test('jobs that do not tell whether they had it, and jobs of other work, are on neither side', () => {
    const jobs = [...base, ...withIt(hoursFrom(41, 60))];
    const silent = weekly(of(40, 400), { newBarrels: -1 });
    const other = withIt(of(40, 400), { work: 'rebuild' });
    expect(added([...jobs, ...silent, ...other])).toEqual(added(jobs));
  });

  test('stands beside the chance of each extra work', () => {
    const prepared = prepareQuotes(
      historyOfJobs([...base, ...withIt(hoursFrom(41, 60))].map((job, k) => ({ ...job, rerun: k % 2 }))),
      CHOICES,
    );
    expect(estimate(prepared, HERON).extra.map(({ kind, added: { n, against } }) => [kind, n, against])).toEqual([
      ['newBarrels', 20, 21],
      ['camshaft', 0, 0],
      ['rerun', 20, 21],
    ]);
  });

  test('moves with the jobs that had it, and not with what all jobs took', () => {
    const hours = fc.array(fc.integer({ min: 4, max: 40 }), { minLength: 20, maxLength: 30 });
    const shift = fc.integer({ min: 1, max: 30 });
    fc.assert(
      fc.property(hours, hours, shift, shift, (few, many, all, more) => {
        const plain = added([...without(few), ...withIt(many)]).hours;
        const up = (list: readonly number[], by: number) => list.map((each) => each + by);
        const moved = added([...without(up(few, all)), ...withIt(up(many, all + more))]).hours;
        for (const end of ['figure', 'low', 'high'] as const)
          expect(moved?.[end]).toBeCloseTo((plain?.[end] ?? NaN) + more, 9);
      }),
      { numRuns: 20 },
    );
  });
});

test('on simulated shops the interval holds what the extra truly adds at least as often as it says', () => {
  const [shops, chance] = [150, seededChance(4711)];
  // Both skewed: the medians are 6 and 9.
  const some = (count: number, middle: number) =>
    Array.from({ length: count }, () => middle * Math.exp(0.3 * normal(chance)));
  const told = Array.from({ length: shops }, () => added([...without(some(40, 6)), ...withIt(some(25, 9))]).hours);
  const held = told.filter((each) => each !== null && each.low <= 3 && 3 <= each.high).length;
  // Of so many intervals that hold 95 % fewer than this hold once in a hundred times.
  expect(held).toBeGreaterThanOrEqual(binomialQuantile(0.01, shops, 0.95));
});
