import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { csvParse, type DSVRowString } from 'd3-dsv';

export const DEMO_LOG = 'data-demo/log';
const RESULTS = 'test-results/demo';

/** Before the first test: what the headless command makes of the demo log, which many tests hold pages against. */
export default function makeDemoResults(): void {
  const done = spawnSync('npm', ['run', '--silent', 'recalc', '--', '--in', DEMO_LOG, '--out', RESULTS], {
    encoding: 'utf8',
  });
  if (done.status !== 0) throw new Error(done.stderr);
}

/** The result tables that the headless command writes for the demo log. */
export function headlessResults(table: string): DSVRowString[] {
  const file = join(RESULTS, `${table}.csv`);
  // An editor lists the tests without what goes before the first one.
  if (!existsSync(file)) makeDemoResults();
  return [...csvParse(readFileSync(file, 'utf8'))];
}
