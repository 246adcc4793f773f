import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs';
import { z } from 'zod';

/** `npm test`: every check of the project, one after the other, all of them even where one fails; then one line that counts. */

const RESULTS = 'test-results';
const vitestReport = z.object({ numPassedTests: z.int(), numFailedTests: z.int(), numFailedTestSuites: z.int() });
const playwrightReport = z.object({
  stats: z.object({ expected: z.int(), unexpected: z.int(), flaky: z.int() }),
  errors: z.array(z.unknown()),
});

interface Count {
  readonly passed: number;
  readonly failed: number;
}

function run(command: string, args: readonly string[], env: Readonly<Record<string, string>> = {}): boolean {
  console.log(`\n> ${command} ${args.join(' ')}`);
  return spawnSync(command, args, { stdio: 'inherit', env: { ...process.env, ...env } }).status === 0;
}

/** A check that is one thing: it holds or it does not. */
const single = (command: string, args: readonly string[]): Count =>
  run(command, args) ? { passed: 1, failed: 0 } : { passed: 0, failed: 1 };

/** A runner that counts; where it fails without a failed test (it broke off, say), that counts as one failure. */
function counted(ran: boolean, file: string, read: (report: unknown) => Count): Count {
  if (!existsSync(file)) return { passed: 0, failed: 1 };
  const count = read(JSON.parse(readFileSync(file, 'utf8')));
  return ran || count.failed > 0 ? count : { ...count, failed: 1 };
}

function unit(): Count {
  const file = `${RESULTS}/unit.json`;
  const ran = run('npx', [
    'vitest',
    'run',
    '--config',
    'tests/vitest.config.ts',
    '--reporter=default',
    '--reporter=json',
    `--outputFile.json=${file}`,
  ]);
  return counted(ran, file, (report) => {
    const { numPassedTests, numFailedTests, numFailedTestSuites } = vitestReport.parse(report);
    return { passed: numPassedTests, failed: Math.max(numFailedTests, Math.min(1, numFailedTestSuites)) };
  });
}

/** The browser tests drive Debian's Chromium; on a machine without it, it is installed. */
function chromium(): string | null {
  const found = [process.env.CHROMIUM, '/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(
    (path) => path !== undefined && existsSync(path),
  );
  if (found !== undefined) return found;
  const installed =
    run('apt-get', ['update', '-qq']) &&
    run('apt-get', ['install', '-y', '-qq', 'chromium'], { DEBIAN_FRONTEND: 'noninteractive' });
  return installed ? '/usr/bin/chromium' : null;
}

function browser(): Count {
  const path = chromium();
  if (path === null) {
    console.error('No Chromium was found and none could be installed. Set CHROMIUM to its path.');
    return { passed: 0, failed: 1 };
  }
  const file = `${RESULTS}/browser.json`;
  const ran = run('npx', ['playwright', 'test', '--config', 'tests/browser/playwright.config.ts'], { CHROMIUM: path });
  return counted(ran, file, (report) => {
    const { stats, errors } = playwrightReport.parse(report);
    return { passed: stats.expected, failed: stats.unexpected + stats.flaky + errors.length };
  });
}

rmSync(RESULTS, { recursive: true, force: true });
mkdirSync(RESULTS);
const counts = [
  single('npx', ['prettier', '--check', '--log-level=warn', '.']),
  single('npx', ['eslint', '.']),
  single('npm', ['run', 'build']),
  single('npx', ['tsc', '--noEmit']),
  unit(),
  browser(),
];
const passed = counts.reduce((sum, count) => sum + count.passed, 0);
const failed = counts.reduce((sum, count) => sum + count.failed, 0);
console.log(`\n${passed} passed, ${failed} failed`);
process.exitCode = failed === 0 ? 0 : 1;
