import { spawnSync } from 'node:child_process';
import { existsSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { layOut } from './part';

/**
 * `npx tsx tests/bench/scale.ts [JOBS] [PARTITIONS] [PROCESSES]...`: a generated log laid out in partitions and worked out by so
 * many processes at once; seconds and the most memory that any process had, as docs/scale.md states them.
 */

const [jobs = '100000', partitions = '10', ...processes] = process.argv.slice(2);
const MADE = join('test-results', `bench-${jobs}`);
const LAID = join('test-results', `bench-${jobs}-in-${partitions}`);
const OUT = join('test-results', `bench-${jobs}-out`);
const MS = 1000;

const command = (...args: string[]): string => {
  const run = spawnSync('npx', ['tsx', ...args], { encoding: 'utf8', stdio: ['ignore', 'pipe', 'inherit'] });
  if (run.status !== 0) throw new Error(`${args.join(' ')} ended with ${String(run.status)}`);
  return run.stdout;
};

if (!existsSync(join(MADE, 'truths.json'))) {
  command('data-demo/generate.ts', '--jobs', jobs, '--seed', '7', '--out', MADE);
}
await layOut(join(MADE, 'log'), LAID, Number(partitions));
for (const count of processes.length === 0 ? ['1', '2', '1', '2'] : processes) {
  rmSync(OUT, { recursive: true, force: true });
  const start = performance.now();
  const said = command('lib/headless/recalc.ts', '--in', LAID, '--out', OUT, '--by-partition', '--processes', count);
  const seconds = (performance.now() - start) / MS;
  const peaks = [...said.matchAll(/([\d,]+) MB of memory/g)].map(([, peak = '']) => Number(peak.replaceAll(',', '')));
  console.log(`${count} processes: ${seconds.toFixed(0)} s, ${Math.max(...peaks)} MB at most in one`);
}
