import { difference, intervals, type Sides } from './compare';
import type { History } from './history';
import { pumpsOf, type Pieces } from './observations';
import { broughtIn } from './robust';
import type { Cost, Found } from './types';

/** Jobs on either side below which no cost is told (ours). */
const FEWEST_JOBS = 20;
const YEAR = 365.25;
/** A stretch shorter than this is not stretched to a year. */
const SHORTEST = YEAR / 4;

interface Ends {
  readonly low: number;
  readonly high: number;
}

/** What jobs with the fault have beyond those like them; values that are not told are NaN, or below 0 for a rate. */
function extra(
  { jobs, names }: History,
  pieces: Pieces,
  sides: Sides,
  values: ArrayLike<number>,
  kind: 'rate' | 'reading',
): Ends | null {
  const known = sides.map((side, i) => (Number.isFinite(values[i]) && (values[i] ?? -1) >= 0 ? side : -1));
  const y = Float64Array.from(values, (value) => (Number.isFinite(value) ? value : 0));
  const works = Math.max(1, names.work.length);
  const d = difference(
    {
      n: jobs.job_no.length,
      tame: kind === 'rate' ? y : broughtIn(y),
      serial: jobs.serial,
      pumps: pumpsOf(jobs),
      stratum: jobs.model.map((m, i) => (m * works + (jobs.work[i] ?? 0)) * pieces.count + (pieces.ofJob[i] ?? 0)),
      strata: names.model.length * works * pieces.count,
    },
    known,
  );
  if (d === null || d.nGroup < FEWEST_JOBS || d.nRest < FEWEST_JOBS) return null;
  const [low, high] = intervals(d, kind).difference;
  return { low, high };
}

/** How long a fault lasted, and whether that is over. */
export interface Lasted {
  readonly days: number;
  readonly over: boolean;
}

/**
 * What a fault costs a year, or, where it is over, what it cost in all: hours of labour of its jobs beyond those of jobs like them, and the
 * early returns beyond theirs at the hours of a usual job, times its jobs; likewise what the cards state for parts, each currency by
 * itself. Both ends are those of the intervals at 95 %, not below 0.
 * @param sides of all jobs of the history: 1 with the fault, 0 like them without
 */
export function costOf(history: History, pieces: Pieces, sides: Sides, { days, over }: Lasted): Found['cost'] {
  const { jobs, names } = history;
  const withIt = sides.reduce((n, side) => n + (side === 1 ? 1 : 0), 0);
  const times = over ? withIt : (withIt * YEAR) / Math.max(SHORTEST, days);
  const back = extra(history, pieces, sides, jobs.returns, 'rate');
  /** Part of the jobs comes into what is asked: of a currency, those that are paid in it. */
  const spent = (values: Float64Array, part: number): Ends | null => {
    const more = extra(history, pieces, sides, values, 'reading');
    if (more === null) return null;
    const told = values.filter((value) => Number.isFinite(value));
    const usual = told.reduce((sum, value) => sum + value, 0) / Math.max(1, told.length);
    const end = (side: 'low' | 'high'): number =>
      times * part * (Math.max(0, more[side]) + usual * Math.max(0, back?.[side] ?? 0));
    return { low: end('low'), high: end('high') };
  };
  // Labour is all of a job's, the hours on the bench among it; where the card has only those, they stand for it.
  const hours = Float64Array.from(jobs.bench_hours, (bench, i) => {
    const labour = jobs.labour_hours[i] ?? Number.NaN;
    return Number.isFinite(labour) ? labour : bench;
  });
  const parts: Cost['parts'][number][] = [];
  // -1 stands for cards that name no currency.
  for (let currency = -1; currency < names.currency.length; currency += 1) {
    const paid = jobs.parts_cost.map((cost, i) => (jobs.currency[i] === currency ? cost : Number.NaN));
    const jobsPaid = sides.reduce((n, side, i) => n + (side === 1 && Number.isFinite(paid[i]) ? 1 : 0), 0);
    const range = spent(paid, jobsPaid / Math.max(1, withIt));
    if (range !== null && range.high > 0) parts.push({ currency: names.currency[currency] ?? null, ...range });
  }
  return { jobs: times, over, hours: spent(hours, 1), parts };
}
