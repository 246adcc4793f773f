import { describe, expect, test } from 'vitest';
import { estimate } from '../../lib/quote/estimate';
import { prepareQuotes } from '../../lib/quote/prepare';
import type { Range } from '../../lib/quote/types';
import { binomialQuantile } from '../../lib/stats/binomialQuantile';
import { seededChance } from '../../lib/stats/shuffle';
import { after, CHOICES, historyOfJobs, normal, type Job } from './shop';

/** Days of a model with few jobs of its own, where models lie apart: days are whole, and a job's stray about its model's. */

const ASKED = { model: 'Nightjar', work: 'recalibrate', elements: 6 };
const MODELS = ['Avocet', 'Bittern', 'Curlew', 'Dunlin', 'Egret', 'Fulmar', 'Gannet', 'Heron'];

function exchangeable(seed: number, spread: number): { others: Job[]; own: Job[]; next: number } {
  const chance = seededChance(seed);
  const jobsOf = (model: string, count: number, elements: number): { job: Job; days: number }[] => {
    const apart = spread * normal(chance);
    return Array.from({ length: count }, () => {
      const days = Math.max(0, Math.round(12 * Math.exp(apart + 0.4 * normal(chance))));
      const received = after(CHOICES.today, -120 - Math.floor(chance() * 1400));
      return { days, job: { model, elements, hours: 5, received, finished: after(received, days) } };
    });
  };
  const others = MODELS.flatMap((model, k) => jobsOf(model, 6 + Math.floor(14 * chance()), k % 2 === 0 ? 6 : 4));
  const [next, ...own] = jobsOf(ASKED.model, 11, 6);
  return { others: others.map(({ job }) => job), own: own.map(({ job }) => job), next: next?.days ?? NaN };
}

const SHOPS = 300;
function heldWith(count: number, spread: number): number {
  const shops = Array.from({ length: SHOPS }, (_, seed) => exchangeable(9000 + seed, spread));
  return shops.filter(({ others, own, next }) => {
    const history = historyOfJobs([...others, ...own.slice(0, count)]);
    const range: Range | undefined = estimate(prepareQuotes(history, { ...CHOICES, hourRate: null }), ASKED).days
      .ranges[1];
    return range !== undefined && range.low <= next && next <= range.high;
  }).length;
}

describe('the range of 8 of 10 of the days', () => {
  test.each([
    [0, 0.25],
    [1, 0.25],
    [3, 0.25],
    [10, 0.25],
    [0, 0.5],
    [1, 0.5],
    [3, 0.5],
    [10, 0.5],
  ])('with %i own jobs holds the next as often as it says, models being %f apart', (own, spread) => {
    // Of so many shops a range that holds 80 % holds fewer once in a hundred times.
    expect(heldWith(own, spread)).toBeGreaterThanOrEqual(binomialQuantile(0.01, SHOPS, 0.8));
  });
});
