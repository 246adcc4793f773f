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
}

const BATCH_JOBS = 1000;

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
  await db.run(`create or replace temp table due as
    select job_no, (row_number() over (order by job_no) - 1) // ${BATCH_JOBS} as batch, inputs
    from inputs anti join calculated using (job_no, inputs)`);
  const [count] = await db.rows(`select (select count(*) from due)::integer as due,
    (select count(*) from inputs)::integer as jobs, (select coalesce(max(batch) + 1, 0) from due)::integer as batches`);
  const due = Number(count?.due ?? 0);
  const jobs = Number(count?.jobs ?? 0);
  await forget(db);
  options.onProgress?.(0, due);
  const done = due === 0 ? 0 : await work(db, calculator, Number(count?.batches ?? 0), due, options);
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
  batches: number,
  due: number,
  { onProgress, signal }: RecalculationOptions,
): Promise<number> {
  await calculator.begin(await readSpecs(db));
  for (const name of readingTables) await db.run(`create or replace temp table due_${name} as ${sortedSql(name)}`);
  let done = 0;
  let next = await fetch(db, 0);
  for (let batch = 0; batch < batches && signal?.aborted !== true; batch += 1) {
    const answering = calculator.calculate(next);
    // The next batch is read while the engine works on this one.
    if (batch + 1 < batches) next = await fetch(db, batch + 1);
    await store(db, await answering, batch);
    const [stored] = await db.rows(`select count(*)::integer as n from due where batch = ${batch}`);
    done += Number(stored?.n ?? 0);
    onProgress?.(done, due);
  }
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

/** The due readings in the engine's order, once for all batches, so that a batch is a run of neighbouring rows. */
const sortedSql = (name: ReadingTable): string => {
  const { whole, real, order } = readings[name];
  return `select d.batch::integer as batch, n.job_no, ${whole.map((column) => `"${column}"`).join(', ')},
      ${real.map((column) => `coalesce("${column}"::double, 'nan'::double) as "${column}"`).join(', ')}
    from ${held(name)} h join job_numbers n using (job_id) join due d using (job_no) ${pointJoin(name)}
    where h.standing = ${standing.accepted} order by n.job_no, ${order}`;
};

const batchSql = (part: BatchPart, batch: number): string =>
  part === 'jobs'
    ? `select j.job_no, j.spec_no from jobs j join due d using (job_no) where d.batch = ${batch} order by j.job_no`
    : `select * exclude (batch) from due_${part} where batch = ${batch}`;

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
  select j.job_no, hash(${ENGINE_VERSION}, j.spec_no, coalesce(r.h, 0), s.h) as inputs
  from jobs j join by_spec s using (spec_no) left join by_job r using (job_id)`;
