import { spawn, spawnSync, type ChildProcess } from 'node:child_process';
import { existsSync, readdirSync, statSync } from 'node:fs';
import { cpus } from 'node:os';
import { join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import { chromium, type Page } from '@playwright/test';
import { filesIn } from '../../lib/headless/folder';
import { inspect } from '../../lib/log/inspect';
import { load } from '../../lib/store/load';
import { DirectCalculator } from '../../lib/store/native/calculator';
import { NativeDatabase } from '../../lib/store/native/database';
import { recalculate } from '../../lib/store/recalculate';
import { EMPTY_LOG } from '../../lib/store/tables';
import { chromiumOptions } from '../chromium';
import { engineAlone } from './engineAlone';
import { filtering, type Filtered } from './filtering';
import { sums } from './sums';

/**
 * `npm run bench [-- JOBS]`: reading and recalculating a generated log, headless and in the browser, beside native DuckDB reading
 * the same files and running the same sums in SQL. Each figure is the middle one of three runs, in milliseconds.
 */

const JOBS = Number(process.argv[2] ?? '20000');
const FOLDER = join('test-results', `bench-${JOBS}`);
const PORT = 3300;
const RUNS = 3;

async function timed(work: () => Promise<unknown>): Promise<number> {
  const start = performance.now();
  await work();
  return performance.now() - start;
}
const middle = (values: readonly number[]): number =>
  values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;

/** Runs that share their set-up: each gives one figure a name; the middle of each name is kept. */
async function middles(
  run: () => Promise<Readonly<Record<string, number>>>,
): Promise<Readonly<Record<string, number>>> {
  const all: Readonly<Record<string, number>>[] = [];
  for (let i = 0; i < RUNS; i += 1) all.push(await run());
  return Object.fromEntries(
    Object.keys(all[0] ?? {}).map((name) => [name, middle(all.map((one) => one[name] ?? Number.NaN))]),
  );
}

const tableOf = (file: string): string => file.replace(/(-\d+)?\.(csv|parquet)$/, '');

/** Native DuckDB on its own: the files as typed tables, by its own guess of the types, then the sums. */
async function plainDuckDb(kind: 'csv' | 'parquet', folder: string): Promise<Readonly<Record<string, number>>> {
  const instance = await DuckDBInstance.create(':memory:');
  const connection = await instance.connect();
  const names = [...new Set(readdirSync(folder).map(tableOf))];
  const read = await timed(async () => {
    for (const name of names) {
      const files = readdirSync(folder).filter((file) => tableOf(file) === name);
      const list = files.map((file) => `'${join(folder, file)}'`).join(', ');
      await connection.run(
        `create table ${name} as from read_${kind}([${list}]${kind === 'csv' ? ', ignore_errors = true' : ''})`,
      );
    }
  });
  if (kind === 'csv') {
    // A bad row makes the guess text; the sums need numbers, as a shop's clean log would give.
    await connection.run(`create or replace table draws as select * replace (try_cast(volume_cm3 as double) as volume_cm3,
      try_cast(strokes as double) as strokes, try_cast(rack_mm as double) as rack_mm, try_cast(run as integer) as run,
      try_cast(element as integer) as element) from draws`);
    await connection.run(`create or replace table closures as select * replace (try_cast(cam_deg as double) as cam_deg,
      try_cast(run as integer) as run, try_cast(element as integer) as element) from closures`);
  }
  const summed = await timed(async () => {
    for (const sql of sums) await connection.run(sql);
  });
  connection.closeSync();
  instance.closeSync();
  return { read, summed };
}

async function headless(folder: string): Promise<Readonly<Record<string, number>>> {
  const db = await NativeDatabase.open();
  await db.run(EMPTY_LOG);
  const files = await filesIn(folder);
  const read = await timed(() => load(db, files, { inspect, at: '2026-01-01 00:00:00' }));
  const recalculated = await timed(() => recalculate(db, new DirectCalculator()));
  await db.close();
  return { read, recalculated };
}

/** Marks that the page sets when the log changes phase (app/_log/session.ts). */
async function phases(page: Page): Promise<ReadonlyMap<string, number>> {
  const marks = await page.evaluate(() =>
    performance.getEntriesByType('mark').map((mark): [string, number] => [mark.name, mark.startTime]),
  );
  return new Map(marks);
}

async function browser(folder: string, engines = 1): Promise<Readonly<Record<string, number>>> {
  const chrome = await chromium.launch(chromiumOptions);
  const page = await chrome.newPage({ viewport: { width: 1440, height: 900 } });
  await page.addInitScript(() => {
    const long: number[] = [];
    Object.assign(window, { long });
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries()) long.push(entry.startTime, entry.duration);
    }).observe({ entryTypes: ['longtask'] });
  });
  await page.goto(`http://localhost:${PORT}/?engines=${engines}`);
  await page.waitForFunction(() => performance.getEntriesByName('log:ready').length > 0);
  const chosen = folder === '' ? null : readdirSync(folder).map((file) => join(folder, file));
  if (chosen === null) await page.getByRole('button', { name: 'Open the demo log' }).click();
  else await page.locator('input[type=file]').first().setInputFiles(chosen);
  // Looked for at every frame, in the page's own time: asking from outside would add its own way there and back.
  const seen = (selector: string): Promise<number> =>
    page
      .waitForFunction((wanted) => document.querySelector(wanted) !== null && performance.now(), selector, {
        timeout: 300_000,
      })
      .then((found) => found.jsonValue())
      .then(Number);
  const told = await seen('.page p.lead');
  const shown = await seen('.page p.lead strong');
  const at = await phases(page);
  const longTasks = await page.evaluate(() => (window as unknown as { long: number[] }).long);
  await chrome.close();
  const [start = 0, calculating = 0, open = 0] = ['log:starting', 'log:calculating', 'log:open'].map((name) =>
    at.get(name),
  );
  const during = longTasks.flatMap((value, i) =>
    i % 2 === 0 && value >= calculating && value <= open ? [longTasks[i + 1] ?? 0] : [],
  );
  return {
    read: calculating - start,
    recalculated: open - calculating,
    told: told - start,
    shown: shown - start,
    longest: Math.max(0, ...during),
  };
}

/** The slowest change of a filter on each page of an open log. */
async function slowest(folder: string): Promise<readonly Filtered[]> {
  const chrome = await chromium.launch(chromiumOptions);
  const page = await chrome.newPage({ viewport: { width: 1440, height: 900 } });
  await page.goto(`http://localhost:${PORT}/`);
  await page.waitForFunction(() => performance.getEntriesByName('log:ready').length > 0);
  const files = readdirSync(folder).map((file) => join(folder, file));
  await page.locator('input[type=file]').first().setInputFiles(files);
  await page.waitForFunction(() => performance.getEntriesByName('log:open').length > 0, undefined, {
    timeout: 600_000,
  });
  const all = await filtering(page);
  await chrome.close();
  return [...new Set(all.map((one) => one.page))].flatMap((name) =>
    all
      .filter((one) => one.page === name && one.change !== 'opened')
      .toSorted((a, b) => b.ms - a.ms)
      .slice(0, 1),
  );
}

function serve(): Promise<ChildProcess> {
  const server = spawn('npx', ['tsx', 'lib/site/serve.ts'], {
    env: { ...process.env, PORT: String(PORT) },
    stdio: ['ignore', 'pipe', 'inherit'],
    detached: true,
  });
  return new Promise((resolve) => {
    server.stdout.once('data', () => {
      resolve(server);
    });
  });
}

const bytesIn = (folder: string): number =>
  readdirSync(folder).reduce((sum, file) => sum + statSync(join(folder, file)).size, 0);
const ms = (value: number | undefined): string =>
  Math.round(value ?? Number.NaN)
    .toLocaleString('en-US')
    .padStart(9);
const ratio = (a: number | undefined, b: number | undefined): string =>
  ((a ?? Number.NaN) / (b ?? Number.NaN)).toFixed(2).padStart(7);

if (!existsSync('out')) throw new Error('There is no build in out. Run "npm run build" first.');
if (!existsSync(join(FOLDER, 'truths.json'))) {
  spawnSync(
    'npx',
    ['tsx', 'data-demo/generate.ts', '--jobs', String(JOBS), '--seed', '7', '--out', FOLDER, '--format', 'both'],
    { stdio: 'inherit' },
  );
}
const csv = join(FOLDER, 'csv');
const parquet = join(FOLDER, 'log');
console.log(
  `${JOBS} jobs; CSV ${(bytesIn(csv) / 1e6).toFixed(0)} MB, Parquet ${(bytesIn(parquet) / 1e6).toFixed(0)} MB; ${cpus().length} cores (${cpus()[0]?.model ?? 'unknown'})`,
);
console.log(`Milliseconds, the middle one of ${RUNS} runs; in brackets the ratio to native DuckDB\n`);

const plainCsv = await middles(() => plainDuckDb('csv', csv));
const plainParquet = await middles(() => plainDuckDb('parquet', parquet));
console.log(`native DuckDB   CSV read ${ms(plainCsv.read)}          sums ${ms(plainCsv.summed)}`);
console.log(`native DuckDB   Parquet  ${ms(plainParquet.read)}          sums ${ms(plainParquet.summed)}`);
const headlessCsv = await middles(() => headless(csv));
const headlessParquet = await middles(() => headless(parquet));
console.log(
  `headless        CSV read ${ms(headlessCsv.read)} (${ratio(headlessCsv.read, plainCsv.read)})  recalculated ${ms(headlessCsv.recalculated)} (${ratio(headlessCsv.recalculated, plainCsv.summed)})`,
);
console.log(
  `headless        Parquet  ${ms(headlessParquet.read)} (${ratio(headlessParquet.read, plainParquet.read)})  recalculated ${ms(headlessParquet.recalculated)} (${ratio(headlessParquet.recalculated, plainParquet.summed)})`,
);
const alone = await middles(async () => ({
  one: await engineAlone(parquet, 1),
  two: await engineAlone(parquet, 2),
}));
console.log(`engine alone    one process ${ms(alone.one)}  two at once ${ms(alone.two)}`);
const server = await serve();
try {
  const browserCsv = await middles(() => browser(csv));
  const browserParquet = await middles(() => browser(parquet));
  const two = await middles(() => browser(parquet, 2));
  const demo = await middles(() => browser(''));
  console.log(
    `browser         CSV read ${ms(browserCsv.read)} (${ratio(browserCsv.read, plainCsv.read)})  recalculated ${ms(browserCsv.recalculated)} (${ratio(browserCsv.recalculated, plainCsv.summed)})  longest task ${ms(browserCsv.longest)}`,
  );
  console.log(
    `browser         Parquet  ${ms(browserParquet.read)} (${ratio(browserParquet.read, plainParquet.read)})  recalculated ${ms(browserParquet.recalculated)} (${ratio(browserParquet.recalculated, plainParquet.summed)})  longest task ${ms(browserParquet.longest)}`,
  );
  console.log(
    `browser         recalculated by two workers ${ms(two.recalculated)} (one: ${ms(browserParquet.recalculated)})`,
  );
  for (const { page, change, ms: took, slowest: question } of await slowest(parquet)) {
    console.log(`browser         ${page}: a change of filter answered in ${ms(took)} (${change}; ${question})`);
  }
  console.log(
    `browser         demo log: jobs and rows set aside shown ${ms(demo.told)} after the click, rates ${ms(demo.shown)}`,
  );
} finally {
  if (server.pid !== undefined) process.kill(-server.pid);
}
