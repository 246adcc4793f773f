import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import { filesIn } from '../../lib/headless/folder';
import { prepare } from '../../lib/headless/mapped';
import { inspect } from '../../lib/log/inspect';
import { asItIs, inspectPrepared } from '../../lib/log/prepared';
import { load } from '../../lib/store/load';
import { DirectCalculator } from '../../lib/store/native/calculator';
import { NativeDatabase } from '../../lib/store/native/database';
import { recalculate } from '../../lib/store/recalculate';
import { EMPTY_LOG } from '../../lib/store/tables';
import { bookBytes, sheetOfCsv } from '../log/workbook/book';
import { engineAlone } from './engineAlone';
import { browserSpeed, headlessSpeed } from './findSpeed';
import { browser, serve, slowest } from './inBrowser';
import { rowObjects } from './rowObjects';
import { sums } from './sums';

/**
 * `npm run bench [-- JOBS [faults]]`: reading and recalculating a generated log, headless and in the browser, beside native DuckDB reading
 * the same files and running the same sums in SQL. Each figure is the middle one of three runs, in milliseconds.
 * The search for recurring faults is done three times and must not take longer than is to be waited for; with `faults` nothing else is.
 */

const JOBS = Number(process.argv[2] ?? '20000');
const FOLDER = join('test-results', `bench-${JOBS}`);
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
  const read = await timed(async () => {
    const found = new Map((await prepare(files, [])).files.map((prepared) => [prepared.file, prepared]));
    await load(db, [...found.keys()], {
      inspect: (file) => inspectPrepared(found.get(file) ?? asItIs(file), inspect),
      at: '2026-01-01 00:00:00',
    });
  });
  const recalculated = await timed(() => recalculate(db, new DirectCalculator()));
  await db.close();
  return { read, recalculated };
}

/** A log of fewer jobs as one workbook, a sheet a table: a sheet has no more than 1,048,576 rows. */
const BOOK_JOBS = Math.min(JOBS, 2000);
function workbook(): { readonly csv: string; readonly xlsx: string } {
  const folder = join('test-results', `bench-book-${BOOK_JOBS}`);
  const [made, xlsx] = [join(folder, 'csv'), join(folder, 'xlsx')];
  if (!existsSync(xlsx)) {
    generate(BOOK_JOBS, folder);
    mkdirSync(xlsx, { recursive: true });
    const sheets = readdirSync(made).map((file) => sheetOfCsv(tableOf(file), readFileSync(join(made, file), 'utf8')));
    writeFileSync(join(xlsx, 'log.xlsx'), bookBytes({ sheets }));
  }
  return { csv: made, xlsx };
}

function generate(jobs: number, folder: string): void {
  spawnSync(
    'npx',
    ['tsx', 'data-demo/generate.ts', '--jobs', String(jobs), '--seed', '7', '--out', folder, '--format', 'both'],
    { stdio: 'inherit' },
  );
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
  generate(JOBS, FOLDER);
}
const csv = join(FOLDER, 'csv');
const parquet = join(FOLDER, 'log');

await headlessSpeed(parquet, JOBS);
const served = await serve();
try {
  await browserSpeed(parquet, JOBS);
} finally {
  if (served.pid !== undefined) process.kill(-served.pid);
}
if (process.argv[3] === 'faults') process.exit();
console.log(
  `${JOBS} jobs; CSV ${(bytesIn(csv) / 1e6).toFixed(0)} MB, Parquet ${(bytesIn(parquet) / 1e6).toFixed(0)} MB; ${cpus().length} cores (${cpus()[0]?.model ?? 'unknown'})`,
);
console.log(`Milliseconds, the middle one of ${RUNS} runs; in brackets the ratio to native DuckDB\n`);

const plainCsv = await middles(() => plainDuckDb('csv', csv));
const plainParquet = await middles(() => plainDuckDb('parquet', parquet));
console.log(`native DuckDB   CSV read ${ms(plainCsv.read)}          sums ${ms(plainCsv.summed)}`);
console.log(`native DuckDB   Parquet  ${ms(plainParquet.read)}          sums ${ms(plainParquet.summed)}`);
const plainObjects = await middles(() => rowObjects(csv));
console.log(
  `row objects     CSV read ${ms(plainObjects.read)} (${ratio(plainObjects.read, plainCsv.read)})  sums ${ms(plainObjects.summed)} (${ratio(plainObjects.summed, plainCsv.summed)})`,
);
const headlessCsv = await middles(() => headless(csv));
const headlessParquet = await middles(() => headless(parquet));
console.log(
  `headless        CSV read ${ms(headlessCsv.read)} (${ratio(headlessCsv.read, plainCsv.read)})  recalculated ${ms(headlessCsv.recalculated)} (${ratio(headlessCsv.recalculated, plainCsv.summed)})`,
);
console.log(
  `headless        Parquet  ${ms(headlessParquet.read)} (${ratio(headlessParquet.read, plainParquet.read)})  recalculated ${ms(headlessParquet.recalculated)} (${ratio(headlessParquet.recalculated, plainParquet.summed)})`,
);
const book = workbook();
const plainBook = await middles(() => plainDuckDb('csv', book.csv));
const headlessBook = await middles(() => headless(book.xlsx));
console.log(
  `workbook, ${BOOK_JOBS} jobs, ${(bytesIn(book.xlsx) / 1e6).toFixed(0)} MB: native DuckDB reads the same rows as CSV in ${ms(plainBook.read)}`,
);
console.log(`headless        XLSX read ${ms(headlessBook.read)} (${ratio(headlessBook.read, plainBook.read)})`);
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
  console.log(
    `browser         kept log opened again, from going to the page to all worked out: CSV ${ms(browserCsv.reopened)}  Parquet ${ms(browserParquet.reopened)}`,
  );
  const browserBook = await middles(() => browser(book.xlsx));
  console.log(`browser         XLSX read ${ms(browserBook.read)} (${ratio(browserBook.read, plainBook.read)})`);
  for (const { page, change, ms: took, slowest: question } of await slowest(parquet)) {
    console.log(`browser         ${page}: a change of filter answered in ${ms(took)} (${change}; ${question})`);
  }
  console.log(
    `browser         demo log: jobs and rows set aside shown ${ms(demo.told)} after the click, rates ${ms(demo.shown)}`,
  );
} finally {
  if (server.pid !== undefined) process.kill(-server.pid);
}
