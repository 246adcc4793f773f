import { beforeAll, describe, expect, test } from 'vitest';
import { backtest } from '../../lib/quote/backtest';
import type { BackTest, Target, TargetTest } from '../../lib/quote/types';
import { historyIn, simulated } from './simulated';

/** The demo log, and two shops that nothing was tuned on: simulated from other seeds and never looked at otherwise. */

const CHOICES = { today: '2026-01-01', currency: 'EUR', hourRate: 60, partsIndexPerYear: 0.03 };

describe.each([
  ['the demo log', () => historyIn('data-demo/log')],
  ['a held-out shop of 1200 jobs', () => simulated(1200, 90_210)],
  ['a held-out shop of 700 jobs', () => simulated(700, 4711)],
] as const)('%s', (_, open) => {
  let told: BackTest;
  beforeAll(async () => {
    told = backtest(await open(), CHOICES);
  }, 300_000);

  const of = (target: Target): TargetTest => {
    const test = told.tests.find((one) => one.target === target);
    if (test === undefined) throw new Error(`No test of ${target}`);
    return test;
  };

  test.each(['hours', 'parts', 'days', 'cost'] as const)('%s: nearer than each of the three plain ways', (target) => {
    for (const way of ['mean of the model', 'last five of the model', 'median of all']) {
      const plain = of(target).against.find((one) => one.way === way);
      expect(plain?.beats, way).toBe('yes');
      expect(plain?.own, way).toBeLessThanOrEqual(plain?.plain ?? NaN);
    }
    // Model and work together is the plainest form of what is done here: no worse than it.
    expect(of(target).against.find(({ way }) => way === 'mean of model and work')?.beats).not.toBe('no');
  });

  test.each(['hours', 'days', 'cost'] as const)(
    '%s: ranges hold at least as often as they say, and not much more',
    (target) => {
      for (const { coverage, high, low, n } of of(target).coverages) {
        expect(high, `${coverage}`).toBeGreaterThanOrEqual(coverage);
        expect(low, `${coverage}`).toBeLessThanOrEqual(coverage + 0.08);
        expect(n).toBeGreaterThan(500);
      }
    },
  );

  // Parts come in a few sums: an end often falls on many jobs at once, and all of them lie within.
  test('parts: ranges hold at least as often as they say', () => {
    for (const { coverage, high } of of('parts').coverages) expect(high).toBeGreaterThanOrEqual(coverage);
  });

  test('every finished job with hours is quoted but those of the first weeks', () => {
    expect(of('hours').n).toBeGreaterThan(0.95 * (told.jobs - told.open));
  });
});
