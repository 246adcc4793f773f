import type { History, Jobs } from './history';
import { rules } from './measures';
import { broughtIn } from './robust';
import type { Factor, Measure } from './types';

/** What one measure says, one row a job (a change, a use), with all that the rows are grouped by. */
export interface Observations {
  readonly measure: Measure;
  readonly n: number;
  /** Place of the job in the history. */
  readonly job: Int32Array;
  readonly y: Float64Array;
  /** The same with wild readings brought in to four deviations from the middle of their like; a rate's own. */
  readonly tame: Float64Array;
  readonly serial: Int32Array;
  /** One more than the largest number of a pump. */
  readonly pumps: number;
  readonly model: Int32Array;
  /** Year of the log, from 0. */
  readonly piece: Int32Array;
  /** Model, work and year together. */
  readonly cell: Int32Array;
  readonly cells: number;
  /** The same, some years together where rows are few: only what agrees in it is compared. */
  readonly stratum: Int32Array;
  readonly strata: number;
  readonly levels: ReadonlyMap<Factor, Int32Array>;
}

/** The log cut into even pieces of time, a year or longer, eight at most: what a fault can begin and end with. */
export interface Pieces {
  readonly count: number;
  /** Place of the piece of each job. */
  readonly ofJob: Int32Array;
  /** Days from 1970-01-01 on which they begin, and the day after the last. */
  readonly edges: readonly number[];
}

const MOST_PIECES = 8;
const YEAR = 365.25;

export function piecesOf(jobs: Jobs): Pieces {
  let first = Infinity;
  let last = -Infinity;
  for (const day of jobs.day) {
    first = Math.min(first, day);
    last = Math.max(last, day);
  }
  const span = Math.max(1, last - first + 1);
  const count = jobs.day.length === 0 ? 1 : Math.max(1, Math.min(MOST_PIECES, Math.round(span / YEAR)));
  return {
    count,
    ofJob: jobs.day.map((day) => Math.min(count - 1, Math.floor(((day - first) / span) * count))),
    edges: Array.from({ length: count + 1 }, (_, k) => first + (span * k) / count),
  };
}

const MONTHS_A_SEASON = 3;
export const seasons = ['winter', 'spring', 'summer', 'autumn'] as const;
/** Place of a month's season. @param month 1 to 12 */
export const seasonOfMonth = (month: number): number => Math.floor((month % 12) / MONTHS_A_SEASON);
const DAY_MS = 86_400_000;
const seasonOf = (day: number): number => seasonOfMonth(new Date(day * DAY_MS).getUTCMonth() + 1);

/** Brings wild readings in, group by group. */
function tamed(y: Float64Array, group: Int32Array): Float64Array {
  const members = new Map<number, number[]>();
  group.forEach((g, i) => {
    const list = members.get(g);
    if (list === undefined) members.set(g, [i]);
    else list.push(i);
  });
  const out = y.slice();
  for (const list of members.values()) {
    const values = broughtIn(list.map((i) => y[i] ?? 0));
    list.forEach((i, k) => {
      out[i] = values[k] ?? 0;
    });
  }
  return out;
}

interface Rows {
  readonly job: readonly number[];
  readonly y: readonly number[];
  /** Levels that belong to the row and not to its job. */
  readonly own?: Partial<Record<Factor, readonly number[]>>;
}

const told = (values: ArrayLike<number>): Rows => {
  const job: number[] = [];
  const y: number[] = [];
  for (let i = 0; i < values.length; i += 1) {
    const value = values[i] ?? Number.NaN;
    if (!(value >= 0)) continue;
    job.push(i);
    y.push(value);
  }
  return { job, y };
};

function readings(values: Float64Array): Rows {
  const job: number[] = [];
  const y: number[] = [];
  values.forEach((value, i) => {
    if (!Number.isFinite(value)) return;
    job.push(i);
    y.push(value);
  });
  return { job, y };
}

/** Mean of each job's elements. */
function jobMeans(history: History): Rows {
  const { job, deficit } = history.retentions;
  const sum = new Float64Array(history.jobs.job_no.length);
  const n = new Int32Array(sum.length);
  job.forEach((place, i) => {
    if (place < 0) return;
    sum[place] = (sum[place] ?? 0) + (deficit[i] ?? 0);
    n[place] = (n[place] ?? 0) + 1;
  });
  return readings(sum.map((total, i) => total / (n[i] ?? 0)));
}

function rowsOf(measure: Measure, history: History): Rows {
  const { jobs, changes, uses } = history;
  switch (measure) {
    case 'timing and phasing fails first':
      return told(jobs.timing_fails);
    case 'a test point fails first':
      return told(jobs.point_fails);
    case 'governor fails first':
      return told(jobs.governor_fails);
    case 'comes back early':
      return told(jobs.returns);
    case 'shim changed the wrong way':
      return told(jobs.wrong_way);
    case 'superseded revision':
      return told(jobs.superseded);
    case 'gauge past its date':
      return { job: [...uses.job], y: [...uses.past], own: { gauge: [...uses.gauge] } };
    case 'delivery as received':
      return readings(jobs.delivery_percent);
    case 'low-speed retention deficit':
      return jobMeans(history);
    case 'bench hours':
      return readings(jobs.bench_hours);
    case 'shim does what is marked':
      return { job: [...changes.job], y: [...changes.excess_mm], own: { 'shim batch': [...changes.batch] } };
    case 'phase error as first measured':
      return { job: [...history.elements.job], y: [...history.elements.error_deg] };
  }
}

/** Level of each job; -1 throughout for elements, of which a job has several. */
export function levelsOfJobs({ jobs }: History, factor: Factor): Int32Array {
  switch (factor) {
    case 'model':
      return jobs.model;
    case 'work type':
      return jobs.work;
    case 'bench':
      return jobs.bench;
    case 'branch':
      return jobs.branch;
    case 'complaint':
      return jobs.complaint;
    case 'technician':
      return jobs.technician;
    case 'gauge':
      return jobs.gauge;
    case 'shim batch':
      return jobs.batch;
    case 'season':
      return jobs.day.map(seasonOf);
    case 'element':
      return new Int32Array(jobs.job_no.length).fill(-1);
  }
}

/** Rows that model, work and time should have alike on average (ours): with fewer, most would have nothing to be compared with. */
const ROWS_ALIKE = 8;

/** How many stretches of time are held apart: each year where there are rows enough, else some years together. */
const stretchesOf = (kind: Int32Array, pieces: Pieces): number =>
  Math.max(1, Math.min(pieces.count, Math.floor(kind.length / Math.max(1, new Set(kind).size) / ROWS_ALIKE)));

/** One more than the largest number of a pump. */
export const pumpsOf = ({ serial }: Pick<Jobs, 'serial'>): number =>
  serial.reduce((most, number) => Math.max(most, number), 0) + 1;

/** The rows of one measure; elements within a pump are compared in `elements.ts`. */
export function observe(measure: Measure, history: History, pieces: Pieces, technicians: boolean): Observations {
  const { jobs, names } = history;
  const { job: places, y: values, own = {} } = rowsOf(measure, history);
  const job = Int32Array.from(places);
  const y = Float64Array.from(values);
  const of = (column: Int32Array): Int32Array => job.map((place) => column[place] ?? -1);
  const model = of(jobs.model);
  const work = of(jobs.work);
  const piece = of(pieces.ofJob);
  const kind = model.map((m, i) => m * Math.max(1, names.work.length) + (work[i] ?? 0));
  const stretches = stretchesOf(kind, pieces);
  const kinds = names.model.length * Math.max(1, names.work.length);
  const levelOf = (factor: Factor): Int32Array => {
    const mine = own[factor];
    return mine === undefined ? of(levelsOfJobs(history, factor)) : Int32Array.from(mine);
  };
  const factors = rules[measure].factors.filter((f) => f !== 'element' && (technicians || f !== 'technician'));
  return {
    measure,
    n: job.length,
    job,
    y,
    tame: rules[measure].kind === 'rate' ? y : tamed(y, kind),
    serial: of(jobs.serial),
    pumps: pumpsOf(jobs),
    model,
    piece,
    cell: kind.map((k, i) => k * pieces.count + (piece[i] ?? 0)),
    cells: kinds * pieces.count,
    stratum: kind.map((k, i) => k * stretches + Math.floor(((piece[i] ?? 0) * stretches) / pieces.count)),
    strata: kinds * stretches,
    levels: new Map(factors.map((factor) => [factor, levelOf(factor)])),
  };
}

/** The name of a level. */
export function levelName(history: History, factor: Factor, level: number): string {
  const { names } = history;
  switch (factor) {
    case 'model':
      return names.model[level] ?? '';
    case 'work type':
      return names.work[level] ?? '';
    case 'complaint':
      return names.complaint[level] ?? '';
    case 'bench':
      return names.bench[level] ?? '';
    case 'branch':
      return names.branch[level] ?? '';
    case 'technician':
      return names.technician[level] ?? '';
    case 'shim batch':
      return names.batch[level] ?? '';
    case 'gauge':
      return names.gauge[level] ?? '';
    case 'season':
      return seasons[level] ?? '';
    case 'element':
      return String(level);
  }
}
