import { emptyJobRows, jobTables, type CleanRows, type JobTable, type Rows } from '../../data-demo/rows';
import { sheetRows, sheets } from '../../data-demo/sheets';
import { simulate, type Chunk, type Simulation, type SimulationOptions } from '../../data-demo/simulate';

/** Plain sums over the rows of a log, made of nothing but what the rows say. */

export interface Collected {
  readonly simulation: Simulation;
  readonly rows: CleanRows<JobTable>;
  /** Those of the rounds of the benches, which are beside them. */
  readonly rounds: CleanRows<JobTable>;
  readonly jobs: ReadonlyMap<string, Rows['jobs']>;
}

/** The rows of several pieces, table by table. */
export function together(chunks: Iterable<Chunk>): CleanRows<JobTable> {
  const rows = emptyJobRows();
  const append = <T extends JobTable>(table: T, more: readonly CleanRows<JobTable>[T][number][]) => {
    const held: CleanRows<JobTable>[T][number][] = rows[table];
    for (const row of more) held.push(row);
  };
  for (const chunk of chunks) for (const table of jobTables) append(table, chunk.rows[table]);
  return rows;
}

export function collect(options: SimulationOptions): Collected {
  const simulation = simulate(options);
  const rows = together(simulation.chunks());
  const rounds = together(simulation.rounds());
  return { simulation, rows, rounds, jobs: new Map([...rows.jobs, ...rounds.jobs].map((job) => [job.job_id, job])) };
}

const { specs, test_points } = sheetRows(sheets);
const specBy = new Map(specs.map((spec) => [`${spec.spec_id} ${spec.revision}`, spec]));
const pointBy = new Map(test_points.map((point) => [`${point.spec_id} ${point.revision} ${point.test_point}`, point]));

function found<T>(value: T | undefined, what: string): T {
  if (value === undefined) throw new Error(`There is no ${what}`);
  return value;
}

export const jobOf = (log: Collected, job_id: string): Rows['jobs'] => found(log.jobs.get(job_id), job_id);

export const specOf = (job: Rows['jobs']): Rows['specs'] =>
  found(specBy.get(`${job.spec_id} ${job.spec_revision}`), `sheet ${job.spec_id} ${job.spec_revision}`);

export const pointOf = (job: Rows['jobs'], name: string): Rows['test_points'] =>
  found(pointBy.get(`${job.spec_id} ${job.spec_revision} ${name}`), `test point ${name}`);

/** Revisions of a sheet that were out on a day, oldest first. */
export const revisionsOn = (spec_id: string, day: string): string[] =>
  specs
    .filter((spec) => spec.spec_id === spec_id && (spec.valid_from ?? '') <= day)
    .sort((a, b) => ((a.valid_from ?? '') < (b.valid_from ?? '') ? -1 : 1))
    .map((spec) => spec.revision);

export const firingOrder = (spec: Rows['specs']): number[] => spec.firing_order.split('-').map(Number);

/** Nominal closure of an element after the reference [deg]. */
export function nominal(spec: Rows['specs'], element: number): number {
  const place = firingOrder(spec).indexOf(element);
  const stated = spec.closure_angles_deg?.split('-').map(Number);
  return stated?.[place] ?? (place * 360) / spec.elements;
}

/** Closure error of a reading [deg]; positive is late. */
export const errorOf = (log: Collected, closure: Rows['closures']): number =>
  closure.cam_deg - nominal(specOf(jobOf(log, closure.job_id)), closure.element);

export const perStroke = (draw: Rows['draws']): number => (1000 * draw.volume_cm3) / draw.strokes;

export function rackIsRight(log: Collected, draw: Rows['draws']): boolean {
  const point = pointOf(jobOf(log, draw.job_id), draw.test_point);
  return Math.abs((draw.rack_mm ?? NaN) - (point.rack_mm ?? NaN)) <= (point.rack_tol_mm ?? 0) + 1e-9;
}

export const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

/** Standard error of the mean. */
export function errorOfMean(values: readonly number[]): number {
  const middle = mean(values);
  return Math.sqrt(mean(values.map((value) => (value - middle) ** 2)) / (values.length - 1));
}

export function group<T>(items: readonly T[], key: (item: T) => string): Map<string, T[]> {
  const groups = new Map<string, T[]>();
  for (const item of items) {
    const held = groups.get(key(item));
    if (held === undefined) groups.set(key(item), [item]);
    else held.push(item);
  }
  return groups;
}
