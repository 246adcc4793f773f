import { ENGINE_VERSION, resultTables } from '../calc/layout';
import type { Spec } from '../calc/types';
import type { TableName } from '../log/table';
import { tables } from '../log/tables';
import type { Database } from './database';
import { batchParts, type Answer, type Batch, type BatchPart } from './numbers';
import { readSpecs } from './specs';
import { held, kept, standing } from './tables';

/** The engine as the store sees it: in a browser it sits in a worker, in Node it is called at once. */
export interface Calculator<Packed> {
  begin(specs: readonly Spec[]): Promise<void>;
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

/** What the engine reads of each table of readings; a change to any other column does not call for a new calculation. */
const readings = {
  closures: { whole: ['run', 'element'], real: ['cam_deg', 'lift_mm', 'preload_mm'], order: 'run, element' },
  shims: {
    whole: ['run', 'element'],
    real: ['before_mm', 'after_mm', 'before_second_mm', 'after_second_mm'],
    order: 'run, element',
  },
  draws: {
    whole: ['run', 'point', 'repeat', 'element'],
    real: ['volume_cm3', 'strokes', 'speed_rpm', 'rack_mm', 'fluid_c', 'feed_kpa'],
    order: 'run, point, element, repeat',
  },
  barrels: { whole: ['run', 'element'], real: ['rotation_deg'], order: 'run, element' },
} as const satisfies Partial<Record<TableName, { whole: readonly string[]; real: readonly string[]; order: string }>>;
type ReadingTable = keyof typeof readings;
const readingTables = Object.keys(readings) as ReadingTable[];

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
  const done = due === 0 ? 0 : await work(db, calculator, due, batchJobs, options);
  await db.run('drop table due; drop table inputs');
  return { recalculated: done, unchanged: jobs - due, cancelled: done < due };
}

/** Results of jobs that are due again, or that are no longer in the log. */
async function forget(db: Database<unknown>): Promise<void> {
  await db.run(`create or replace temp table stale as
    select job_no from kept_outcomes anti join (select job_no from inputs anti join due using (job_no)) fresh using (job_no)`);
  for (const table of [...resultTables.map(kept), 'calculated']) {
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
  await calculator.begin(await readSpecs(db));
  for (const name of readingTables) await db.run(`create or replace temp table due_${name} as ${dueSql(name)}`);
  const batches = Math.ceil(due / batchJobs);
  let done = 0;
  let answering = calculator.calculate(await fetch(db, 0));
  for (let batch = 0; batch < batches && signal?.aborted !== true; batch += 1) {
    // The database reads the next batch while the engine works on this one, and stores this one while it works on the next.
    const next = batch + 1 < batches ? await fetch(db, batch + 1) : null;
    const answer = await answering;
    if (next !== null) answering = calculator.calculate(next);
    await store(db, answer, batch);
    done = Math.min(due, (batch + 1) * batchJobs);
    onProgress?.(done, due);
  }
  // A batch that was called off in the engine's hands is answered all the same before its tables go.
  await answering;
  for (const name of readingTables) await db.run(`drop table due_${name}`);
  return done;
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
}: Partial<Record<BatchPart, Packed>>): Batch<Packed> {
  if (
    jobs === undefined ||
    closures === undefined ||
    shims === undefined ||
    draws === undefined ||
    barrels === undefined
  ) {
    throw new Error('A batch lacks one of its parts');
  }
  return { jobs, closures, shims, draws, barrels };
}

/** A batch's results and the note that they are there appear together, so that a stop in between leaves nothing half done. */
async function store<Packed>(db: Database<Packed>, answer: Answer<Packed>, batch: number): Promise<void> {
  await db.run('begin transaction');
  try {
    for (const table of resultTables) await db.append(kept(table), answer[table]);
    await db.run(`insert into calculated select job_no, inputs from due where batch = ${batch}`);
    await db.run('commit');
  } catch (error) {
    await db.run('rollback');
    throw error;
  }
}

const pointJoin = (name: ReadingTable): string => (name === 'draws' ? 'join point_numbers p using (test_point)' : '');

/** The due readings, each with its batch, so that a batch is read without looking up job numbers again. */
const dueSql = (name: ReadingTable): string => {
  const { whole, real } = readings[name];
  return `select d.batch, n.job_no, ${whole.map((column) => `"${column}"`).join(', ')},
      ${real.map((column) => `coalesce("${column}"::double, 'nan'::double) as "${column}"`).join(', ')}
    from ${held(name)} h join job_numbers n using (job_id) join due d using (job_no) ${pointJoin(name)}
    where h.standing = ${standing.accepted}`;
};

/** One part of a batch, in the engine's order: to order a batch at a time is much cheaper than all readings at once. */
const batchSql = (part: BatchPart, batch: number): string =>
  part === 'jobs'
    ? `select job_no, spec_no from due where batch = ${batch} order by job_no`
    : `select * exclude (batch) from due_${part} where batch = ${batch} order by job_no, ${readings[part].order}`;

const hashed = (columns: readonly string[]): string => columns.map((column) => `"${column}"`).join(', ');
const heldHash = (name: TableName, by: string): string =>
  `select ${by}, hash('${name}', ${hashed(tables[name].columns.map((column) => column.name))}) as h
    from ${held(name)} where standing = ${standing.accepted}`;

/** One number a job that changes with anything its results depend on: readings, specification, engine. */
const INPUTS_SQL = `with reading as (
    ${readingTables
      .map(
        (name) =>
          `select job_id, hash('${name}', ${hashed([
            ...readings[name].whole.map((column) => (column === 'point' ? 'test_point' : column)),
            ...readings[name].real,
          ])}) as h from ${held(name)} where standing = ${standing.accepted}`,
      )
      .join(' union all ')}),
  by_job as (select job_id, bit_xor(h) as h from reading group by job_id),
  sheet as (${(['specs', 'test_points', 'cam_lift'] as const).map((name) => heldHash(name, 'spec_id, revision')).join(' union all ')}),
  by_spec as (select n.spec_no, bit_xor(h) as h from sheet join spec_numbers n using (spec_id, revision) group by n.spec_no)
  select j.job_no, j.spec_no, hash(${ENGINE_VERSION}, j.spec_no, coalesce(r.h, 0), s.h) as inputs
  from jobs j join by_spec s using (spec_no) left join by_job r using (job_id)`;
