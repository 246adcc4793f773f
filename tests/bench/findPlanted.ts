import { parseArgs } from 'node:util';
import { searchGenerated } from '../find/generated';

/**
 * `npx tsx tests/bench/findPlanted.ts [--logs 5] [--jobs 2500] [--first 101]`: which of the planted truths the search finds on generated
 * logs, with the days told beside those planted, and what else it lists. Seeds count up from `--first`.
 */

const { values } = parseArgs({
  options: {
    logs: { type: 'string', default: '5' },
    jobs: { type: 'string', default: '2500' },
    first: { type: 'string', default: '101' },
  },
});
const [logs, jobs, first] = [Number(values.logs), Number(values.jobs), Number(values.first)];

for (let seed = first; seed < first + logs; seed += 1) {
  const { truths, without, withThem } = await searchGenerated({ jobs, seed });
  console.log(`seed ${seed}`);
  for (const { kind, subject, since, until, job_ids } of truths) {
    if (Object.keys(subject).length === 0) continue;
    console.log(
      `  planted ${kind} ${Object.values(subject).join(' ')}, ${since ?? ''} to ${until ?? ''}, ${job_ids.length} jobs`,
    );
  }
  for (const [name, { found }] of [
    ['without technicians', without],
    ['by technician', withThem],
  ] as const) {
    console.log(`  ${name}`);
    for (const { id, certainty, difference, since, until, jobs: behind } of found) {
      console.log(
        `    ${certainty}: ${id}, ${difference.value.toPrecision(3)} (${difference.low.toPrecision(3)} to ${difference.high.toPrecision(3)}), ` +
          `${since?.day ?? ''} to ${until ?? ''}, ${behind.length} jobs`,
      );
    }
  }
}
