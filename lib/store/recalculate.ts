import { ENGINE_VERSION, resultTables } from '../calc/layout';
import type { Gauge, Spec } from '../calc/types';
import type { TableName } from '../log/table';
import { tables } from '../log/tables';
import type { Database } from './database';
import { DIGEST_OF_ALL, digestsOf, digestTables } from './digests';
import { handed, handedSql, JOB_COLUMNS, readingTables, type ReadingTable } from './handed';
import { batchParts, type Answer, type Batch, type BatchPart } from './numbers';
import { readGauges, readSpecs, SUPERSEDED_DAY } from './specs';
import { held, kept, standing } from './tables';

/** The engine as the store sees it: in a browser it sits in a worker, in Node it is called at once. */
export interface Calculator<Packed> {
  /** How many batches it works on at once. */
  readonly width: number;
  begin(specs: readonly Spec[], gauges: readonly Gauge[]): Promise<void>;
  calculate(batch: Batch<Packed>): Promise<Answer<Packed>>;
}

export interface RecalculationReport {
  readonly recalculated: number;
  readonly unchanged: number;
  readonly cancelled: boolean;
}

export interface RecalculationOptions {
  readonly onProgress?: (done: number, total: number) => void;
  readonly signal?: AbortSignal;
  /** Jobs worked out and stored together; left out, it goes by the size of the log. */
  readonly batchJobs?: number;
}

/**
 * Jobs a batch: the database stores few large answers three times as fast as many small ones, while a person who calls a
 * calculation off waits for the batch under way. A log too small for that is split in two, so that both workers have work.
 */
const MOST_BATCH_JOBS = 6000;
const LEAST_BATCH_JOBS = 1000;
const batchJobsFor = (due: number): number => Math.min(MOST_BATCH_JOBS, Math.max(LEAST_BATCH_JOBS, Math.ceil(due / 2)));

/** Works out again each job whose readings or specification changed since its results were stored, and no other. */
export async function recalculate<Packed>(
  db: Database<Packed>,
  calculator: Calculator<Packed>,
  options: RecalculationOptions = {},
): Promise<RecalculationReport> {
  await db.run(`create or replace temp table inputs as ${INPUTS_SQL}`);
  const [count] =
    await db.rows(`select (select count(*) from inputs anti join calculated using (job_no, inputs))::integer as due,
    (select count(*) from inputs)::integer as jobs`);
  const due = Number(count?.due ?? 0);
  const jobs = Number(count?.jobs ?? 0);
  const batchJobs = options.batchJobs ?? batchJobsFor(due);
  await db.run(`create or replace temp table due as
    select job_no, spec_no, ((row_number() over (order by job_no) - 1) // ${batchJobs})::integer as batch, inputs
    from inputs anti join calculated using (job_no, inputs)`);
  await forget(db);
  options.onProgress?.(0, due);
  let done = 0;
  try {
    if (due > 0) done = await work(db, calculator, due, batchJobs, options);
  } finally {
    // Of a calculation that broke off too: what it stored is shown.
    for (const sql of DIGEST_OF_ALL) await db.run(sql);
  }
  await db.run('drop table due; drop table inputs');
  return { recalculated: done, unchanged: jobs - due, cancelled: done < due };
}

/** Results of jobs that are due again, or that are no longer in the log. */
async function forget(db: Database<unknown>): Promise<void> {
  await db.run(`create or replace temp table stale as
    select job_no from kept_outcomes anti join (select job_no from inputs anti join due using (job_no)) fresh using (job_no)`);
  for (const table of [...resultTables.map(kept), ...digestTables, 'calculated']) {
    await db.run(`delete from ${table} where job_no in (select job_no from stale)`);
  }
  await db.run('drop table stale');
}

async function work<Packed>(
  db: Database<Packed>,
  calculator: Calculator<Packed>,
  due: number,
  batchJobs: number,
  { onProgress, signal }: RecalculationOptions,
): Promise<number> {
  await calculator.begin(await readSpecs(db), await readGauges(db));
  const batches = Math.ceil(due / batchJobs);
  const portion = Math.max(1, Math.floor(PORTION_JOBS / batchJobs));
  const answering: Promise<Answer<Packed>>[] = [];
  let fetched = 0;
  let done = 0;
  // The database reads the next batches while the engine works, and stores one while it works on the others.
  const fetchAhead = async (stored: number, upTo: number): Promise<void> => {
    for (; fetched < Math.min(upTo, batches); fetched += 1) {
      if (fetched % portion === 0) await layOut(db, stored, fetched, fetched + portion);
      answering.push(calculator.calculate(await fetch(db, fetched)));
    }
  };
  for (let batch = 0; batch < batches && signal?.aborted !== true; batch += 1) {
    await fetchAhead(batch, batch + 1 + calculator.width);
    const answer = await answering.shift();
    if (answer === undefined) throw new Error('A batch was not asked for');
    await store(db, answer, batch);
    await db.settle();
    done = Math.min(due, (batch + 1) * batchJobs);
    onProgress?.(done, due);
  }
  // Batches that were called off in the engine's hands are answered all the same before their tables go.
  await Promise.all(answering);
  for (const name of readingTables) await db.run(`drop table if exists due_${name}`);
  return done;
}

/** Jobs whose readings are laid out side by side at a time, so that memory does not grow with the log. */
const PORTION_JOBS = 24_000;

/** Lays out the next batches; those that are stored go, the others are still to be digested. */
async function layOut(db: Database<unknown>, stored: number, from: number, to: number): Promise<void> {
  for (const name of readingTables) {
    const due = `${dueSql(name)} and d.batch >= ${from} and d.batch < ${to}`;
    await db.run(
      from === 0
        ? `create or replace temp table due_${name} as ${due}`
        : `delete from due_${name} where batch < ${stored}; insert into due_${name} ${due}`,
    );
  }
}

async function fetch<Packed>(db: Database<Packed>, batch: number): Promise<Batch<Packed>> {
  const parts: Partial<Record<BatchPart, Packed>> = {};
  for (const part of batchParts) parts[part] = await db.pack(batchSql(part, batch));
  return complete(parts);
}

function complete<Packed>({
  jobs,
  closures,
  shims,
  draws,
  barrels,
  governor,
}: Partial<Record<BatchPart, Packed>>): Batch<Packed> {
  if (
    jobs === undefined ||
    closures === undefined ||
    shims === undefined ||
    draws === undefined ||
    barrels === undefined ||
    governor === undefined
  ) {
    throw new Error('A batch lacks one of its parts');
  }
  return { jobs, closures, shims, draws, barrels, governor };
}

/** A batch's results and the note that they are there appear together, so that a stop in between leaves nothing half done. */
async function store<Packed>(db: Database<Packed>, answer: Answer<Packed>, batch: number): Promise<void> {
  await db.run('begin transaction');
  try {
    for (const table of resultTables) await db.append(kept(table), answer[table]);
    for (const sql of digestsOf(batch)) await db.run(sql);
    await db.run(`insert into calculated select job_no, inputs from due where batch = ${batch}`);
    await db.run('commit');
  } catch (error) {
    await db.run('rollback');
    throw error;
  }
}

/** The due readings, each with its batch, so that a batch is read without looking up job numbers again. */
function dueSql(name: ReadingTable): string {
  const { columns, from } = handedSql(name);
  return `select d.batch, n.job_no, ${columns} from ${from} join due d using (job_no)
    where h.standing = ${standing.accepted}`;
}

/** One part of a batch, in the engine's order: to order a batch at a time is much cheaper than all readings at once. */
const batchSql = (part: BatchPart, batch: number): string =>
  part === 'jobs'
    ? `select ${JOB_COLUMNS} from due d join jobs j using (job_no) where batch = ${batch} order by j.job_no`
    : `select * exclude (batch) from due_${part} where batch = ${batch} order by job_no, ${handed(part).order}`;

/**
 * A row as one number. The database joins the columns' hashes by exclusive or, and so do sums over rows: without the outer hash a column
 * that two rows share, such as their gauge's calibration, would fall out of the sum.
 */
const rowHash = (cells: string): string => `hash(hash(${cells}))`;
const hashed = (columns: readonly string[]): string => columns.map((column) => `"${column}"`).join(', ');
const heldHash = (name: TableName, by: string): string =>
  `select ${by}, ${rowHash(`'${name}', ${hashed(tables[name].columns.map((column) => column.name))}`)} as h
    from ${held(name)} where standing = ${standing.accepted}`;

/** Readings of one table as a hash a row; a gauge's calibrations count with each reading taken with it. */
function readingHash(name: ReadingTable): string {
  const { whole, real, rests = [] } = handed(name);
  const gauged = rests.includes('instrument_id');
  const columns = [...whole, ...real, ...rests].map((column) => `r."${column}"`);
  return `select job_id, ${rowHash([`'${name}'`, ...columns, ...(gauged ? ['g.h'] : [])].join(', '))} as h
    from ${held(name)} r ${gauged ? 'left join by_gauge g using (instrument_id)' : ''} where standing = ${standing.accepted}`;
}

/** What a calculation answers that has nothing to do, without looking: for a load of tables that nothing rests on. */
export async function nothingDue(db: Database<unknown>): Promise<RecalculationReport> {
  const [count] = await db.rows('select count(*)::integer as jobs from calculated');
  return { recalculated: 0, unchanged: Number(count?.jobs ?? 0), cancelled: false };
}

/** One number a job that changes with anything its results depend on: readings, gauges, specification, engine. */
const INPUTS_SQL = `with by_gauge as (select instrument_id, bit_xor(h) as h
    from (${heldHash('instruments', 'instrument_id')}) group by instrument_id),
  reading as (${readingTables.map(readingHash).join(' union all ')}),
  by_job as (select job_id, bit_xor(h) as h from reading group by job_id),
  sheet as (${(['specs', 'test_points', 'cam_lift', 'checks'] as const).map((name) => heldHash(name, 'spec_id, revision')).join(' union all ')}),
  by_spec as (select n.spec_no, bit_xor(h) as h from sheet join spec_numbers n using (spec_id, revision) group by n.spec_no),
  superseded as (select spec_no, ${SUPERSEDED_DAY} as day from specs)
  select j.job_no, j.spec_no, hash(${ENGINE_VERSION}, j.spec_no, j.received_on, j.stated_result, coalesce(r.h, 0), s.h, u.day) as inputs
  from jobs j join by_spec s using (spec_no) join superseded u using (spec_no) left join by_job r using (job_id)`;
