import { expect, test } from 'vitest';
import { searchGenerated } from './generated';

/** The short form of tests/bench/findNoise.ts: logs generated without a fault, on their whole way through files and engine. */

test.each([3001, 3002, 3003])('a sound log of seed %s shows nothing, with technicians or without', async (seed) => {
  const { without, withThem } = await searchGenerated({ jobs: 1000, seed, faults: false });
  expect(without.comparisons).toBeGreaterThan(1000);
  expect(without.found).toEqual([]);
  expect(withThem.found).toEqual([]);
});
