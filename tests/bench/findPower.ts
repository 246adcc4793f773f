import { search } from '../../lib/find/search';
import type { Measure } from '../../lib/find/types';
import { simulateHistory, type Fault } from '../find/simulated';

/**
 * `npx tsx tests/bench/findPower.ts [LOGS]`: how often the search lists a fault of a size, by size and jobs of the log, and the
 * processor time of a search through 20,000 jobs; docs/method.md and docs/performance.md state them.
 */

const LOGS = Number(process.argv[2] ?? '20');
const PRIME = 104_729;
const plain = { technicians: false };

const start = process.cpuUsage().user;
const history = simulateHistory({ jobs: 20_000, seed: 1, fault: { kind: 'bench', percent: 2.5 } });
const made = process.cpuUsage().user;
const answer = search(history, plain);
const MICRO_TO_MS = 1000;
console.log(
  `20,000 jobs: ${Math.round((process.cpuUsage().user - made) / MICRO_TO_MS)} ms of processor for ${answer.comparisons} comparisons (drawn in ${Math.round((made - start) / MICRO_TO_MS)} ms)`,
);

const cases: readonly (readonly [Measure, (size: number) => Fault, readonly number[]])[] = [
  ['delivery as received', (percent) => ({ kind: 'bench', percent }), [0.75, 1.25, 1.75, 2.5]],
  ['phase error as first measured', (deg) => ({ kind: 'element', deg }), [0.1, 0.15, 0.2, 0.3]],
  ['timing and phasing fails first', (share) => ({ kind: 'branch', share }), [0.2, 0.3, 0.4, 0.6]],
  ['a test point fails first', (share) => ({ kind: 'points', share }), [0.1, 0.15, 0.2, 0.3]],
  ['comes back early', (share) => ({ kind: 'returns', share }), [0.05, 0.1, 0.15, 0.25]],
  ['low-speed retention deficit', (deficit) => ({ kind: 'wear', deficit }), [0.02, 0.03, 0.045, 0.07]],
];
for (const [measure, fault, sizes] of cases) {
  for (const jobs of [500, 1000, 2500]) {
    const cells = sizes.map((size) => {
      let [listed, certain] = [0, 0];
      for (let seed = 1; seed <= LOGS; seed += 1) {
        const { found } = search(simulateHistory({ jobs, seed: seed * PRIME, unlike: 0.3, fault: fault(size) }), plain);
        const one = found.find((each) => each.measure === measure);
        if (one !== undefined) listed += 1;
        if (one?.certainty === 'certain') certain += 1;
      }
      const percent = (n: number) => Math.round((100 * n) / LOGS);
      return `${size}: ${percent(listed)} (${percent(certain)})`;
    });
    console.log(`${measure}, ${jobs} jobs: ${cells.join(', ')}`);
  }
}
