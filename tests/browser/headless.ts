import { spawnSync } from 'node:child_process';
import { DEMO_LOG, DEMO_RESULTS } from './log';

/** Before the first test: what the headless command makes of the demo log, which many tests hold pages against. */
export default function demoResults(): void {
  const done = spawnSync('npm', ['run', '--silent', 'recalc', '--', '--in', DEMO_LOG, '--out', DEMO_RESULTS], {
    encoding: 'utf8',
  });
  if (done.status !== 0) throw new Error(done.stderr);
}
