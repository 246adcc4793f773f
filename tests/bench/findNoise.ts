import { parseArgs } from 'node:util';
import { clopperPearson } from '../../lib/stats/clopperPearson';
import { searchGenerated } from '../find/generated';

/**
 * `npx tsx tests/bench/findNoise.ts [--logs 150] [--jobs 2000] [--first 1]`: in what share of logs without a planted fault the search
 * shows any, searched by technician too and not. Each log goes the whole way: simulated, spoilt, read, worked out by the engine,
 * searched; seeds count up from `--first`. What is found is printed as it comes, so that a run that is cut short still counts.
 */

const { values } = parseArgs({
  options: {
    logs: { type: 'string', default: '150' },
    jobs: { type: 'string', default: '2000' },
    first: { type: 'string', default: '1' },
  },
});
const [logs, jobs, first] = [Number(values.logs), Number(values.jobs), Number(values.first)];

const percent = (share: number | undefined): string => `${(100 * (share ?? Number.NaN)).toFixed(1)} %`;
const share = (count: number, of: number): string => {
  const interval = clopperPearson(count, of);
  return `${count} of ${of}, ${percent(count / of)} (${percent(interval?.low)} to ${percent(interval?.high)})`;
};

const counts = [false, true].map((technicians) => ({ technicians, certain: 0, any: 0 }));
for (let seed = first; seed < first + logs; seed += 1) {
  const { without, withThem } = await searchGenerated({ jobs, seed, faults: false });
  for (const count of counts) {
    const { found, comparisons } = count.technicians ? withThem : without;
    if (found.length > 0) count.any += 1;
    if (found.some(({ certainty }) => certainty === 'certain')) count.certain += 1;
    const told = found.map(({ id, certainty, adjusted }) => `${certainty}: ${id} (${adjusted.toPrecision(2)})`);
    console.log(
      `seed ${seed}${count.technicians ? ' by technician' : ''}, ${comparisons} comparisons: ${told.length === 0 ? 'nothing' : told.join('; ')}`,
    );
  }
}
console.log(`${jobs} jobs a log, seeds ${first} to ${first + logs - 1}`);
for (const { technicians, certain, any } of counts) {
  console.log(`${technicians ? 'by technician too' : 'without technicians'}: certain in ${share(certain, logs)}`);
  console.log(`  any in ${share(any, logs)}`);
}
