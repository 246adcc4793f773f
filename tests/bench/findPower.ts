import { search } from '../../lib/find/search';
import type { Measure } from '../../lib/find/types';
import { simulateHistory, type Fault } from '../find/simulated';

/**
 * `npx tsx tests/bench/findPower.ts [LOGS [FROM TO]]`: how often the search lists a fault of a size, by size and jobs of the log, and the
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
  ['governor fails first', (share) => ({ kind: 'governor', share }), [0.1, 0.15, 0.2, 0.3]],
  ['gauge past its date', (share) => ({ kind: 'gauge', share }), [0.03, 0.05, 0.08, 0.15]],
  ['shim does what is marked', (mm) => ({ kind: 'batch', mm }), [0.03, 0.04, 0.05, 0.08]],
  ['superseded revision', (share) => ({ kind: 'superseded', share }), [0.03, 0.05, 0.08, 0.15]],
  ['shim changed the wrong way', (share) => ({ kind: 'wrong way', share }), [0.05, 0.1, 0.15, 0.3]],
  ['bench hours', (hours) => ({ kind: 'hours', hours }), [0.6, 0.8, 1, 1.5]],
  ['timing and phasing fails first', (share) => ({ kind: 'complaint', share }), [0.1, 0.15, 0.2, 0.3]],
  ['a test point fails first', (share) => ({ kind: 'season', share }), [0.1, 0.15, 0.2, 0.3]],
];
/** Which of them to do, by number from 0; all where not told. */
const [from, to] = [Number(process.argv[3] ?? '0'), Number(process.argv[4] ?? cases.length)];
for (const [measure, fault, sizes] of cases.slice(from, to)) {
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
    console.log(`${measure} (${fault(0).kind}), ${jobs} jobs: ${cells.join(', ')}`);
  }
}

/** A bench that reads high and gets most of one branch's jobs: how often the bench is named, and how often the branch is. */
for (const tied of [0, 0.7, 0.9]) {
  for (const jobs of [1000, 2500]) {
    const named = { bench: 0, branch: 0, both: 0 };
    for (let seed = 1; seed <= LOGS; seed += 1) {
      const fault = { kind: 'bench', percent: 2.5 } as const;
      const { found } = search(simulateHistory({ jobs, seed: seed * PRIME, unlike: 0.3, fault, tied }), plain);
      const factors = found.flatMap(({ where }) => where.map(({ factor }) => factor));
      const [bench, branch] = [factors.includes('bench'), factors.includes('branch')];
      if (bench) named.bench += 1;
      if (branch) named.branch += 1;
      if (bench && branch) named.both += 1;
    }
    console.log(
      `bench 2.5 % high, tied ${tied}, ${jobs} jobs: bench ${named.bench}, branch ${named.branch}, both ${named.both} of ${LOGS}`,
    );
  }
}
