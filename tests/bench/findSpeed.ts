import { filesIn } from '../../lib/headless/folder';
import { openLog } from '../../lib/headless/log';
import { DirectSearcher, searchLog } from '../../lib/store/search';
import { searchedInBrowser } from './inBrowser';

/** What a person may have to wait for a search of 20,000 jobs or fewer [ms]. */
const MOST_MS = 5000;
const MOST_JOBS = 20_000;
const RUNS = 3;

const whole = (times: readonly number[]): string => times.map((ms) => Math.round(ms).toLocaleString('en-US')).join(' ');

/** Says how long each of three searches took; the command fails where the middle one took longer than is to be waited for. */
function judge(where: string, jobs: number, times: readonly number[]): void {
  const middle = times.toSorted((a, b) => a - b)[Math.floor(times.length / 2)] ?? Number.NaN;
  const late = jobs <= MOST_JOBS && !(middle <= MOST_MS);
  console.log(
    `${where}the search for recurring faults, ${RUNS} times: ${whole(times)}${late ? `: longer than ${whole([MOST_MS])}` : ''}`,
  );
  if (late) process.exitCode = 1;
}

/** Times the search from what the database holds to the answer, over a log worked out before: in Node, on the wall clock. */
export async function headlessSpeed(folder: string, jobs: number): Promise<void> {
  const log = await openLog(await filesIn(folder), '2026-01-01 00:00:00');
  const times: number[] = [];
  for (let run = 0; run < RUNS; run += 1) {
    const start = performance.now();
    await searchLog(log.db, new DirectSearcher(), { technicians: false });
    times.push(performance.now() - start);
  }
  await log.db.close();
  judge('headless        ', jobs, times);
}

/** The same as a person waits for it: from opening the page to the answer, in a page of its own each time. The site must be served. */
export async function browserSpeed(folder: string, jobs: number): Promise<void> {
  const times: number[] = [];
  for (let run = 0; run < RUNS; run += 1) times.push(await searchedInBrowser(folder));
  judge('browser         ', jobs, times);
}
