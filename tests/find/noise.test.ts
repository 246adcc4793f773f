import { expect, test } from 'vitest';
import { search } from '../../lib/find/search';
import { simulateHistory } from './simulated';

/** A shop without a fault, its people, benches and branches no more unlike than in any shop: 5 % of logs at most may show anything. */
const LOGS = 100;

test.each([0, 0.5])(
  'of logs without a fault at most one in twenty has a finding, people being unlike by %s of a margin',
  (unlike) => {
    let showing = 0;
    for (let seed = 1; seed <= LOGS; seed += 1) {
      const history = simulateHistory({ jobs: 500, seed: seed * 7919, unlike });
      if (search(history, { technicians: seed % 2 === 0 }).found.length > 0) showing += 1;
    }
    expect(showing / LOGS).toBeLessThanOrEqual(0.05);
  },
);
