import { difference, intervals, type Sides } from './compare';
import type { History } from './history';
import type { Pieces } from './observations';
import { broughtIn } from './robust';
import type { Found } from './types';

/** Jobs on either side below which no cost is told (ours). */
const FEWEST_JOBS = 20;
const YEAR = 365.25;

export interface CostRange {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

function extra(
  history: History,
  pieces: Pieces,
  sides: Sides,
  values: ArrayLike<number>,
  kind: 'rate' | 'reading',
): CostRange | null {
  const { jobs, names } = history;
  const known = sides.map((side, i) => (Number.isFinite(values[i]) && (values[i] ?? -1) >= 0 ? side : -1));
  const y = Float64Array.from(values, (value) => (Number.isFinite(value) ? value : 0));
  const works = Math.max(1, names.work.length);
  const d = difference(
    {
      n: jobs.job_no.length,
      tame: kind === 'rate' ? y : broughtIn(y),
      serial: jobs.serial,
      stratum: jobs.model.map((m, i) => (m * works + (jobs.work[i] ?? 0)) * pieces.count + (pieces.ofJob[i] ?? 0)),
      strata: names.model.length * works * pieces.count,
    },
    known,
  );
  if (d === null || d.nGroup < FEWEST_JOBS || d.nRest < FEWEST_JOBS) return null;
  const [low, high] = intervals(d, kind).difference;
  return { value: d.value, low, high };
}

/**
 * What a fault costs a year: hours of labour of its jobs beyond those of jobs like them, and the early returns beyond theirs at
 * the hours of a usual job, times its jobs a year. Both ends are those of the intervals at 95 %, not below 0.
 * @param sides of all jobs of the history: 1 with the fault, 0 like them without
 * @param days that the fault lasted
 */
export function costOf(history: History, pieces: Pieces, sides: Sides, days: number): Found['cost'] {
  const { jobs } = history;
  // Labour is all of a job's, the hours on the bench among it; where the card has only those, they stand for it.
  const hours = Float64Array.from(jobs.bench_hours, (bench, i) => {
    const labour = jobs.labour_hours[i] ?? Number.NaN;
    return Number.isFinite(labour) ? labour : bench;
  });
  const withIt = sides.reduce((n, side) => n + (side === 1 ? 1 : 0), 0);
  const jobsPerYear = (withIt * YEAR) / Math.max(YEAR / 4, days);
  const longer = extra(history, pieces, sides, hours, 'reading');
  if (longer === null) return { jobsPerYear, hours: null };
  const back = extra(history, pieces, sides, jobs.returns, 'rate');
  const told = hours.filter((value) => Number.isFinite(value));
  const usual = told.reduce((sum, value) => sum + value, 0) / Math.max(1, told.length);
  const end = (side: 'low' | 'high'): number =>
    jobsPerYear * (Math.max(0, longer[side]) + usual * Math.max(0, back?.[side] ?? 0));
  return { jobsPerYear, hours: { low: end('low'), high: end('high') } };
}
