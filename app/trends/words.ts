import type { TrendPeriod, TrendSplit } from '../../lib/store/questions/trendPeriods';
import type { Standing, Trend } from '../../lib/store/trends';
import { count, counted, monthName, quarterName } from '../../lib/words/figures';

/** A change with a p above this is not told. */
export const MOST_P = 0.05;
/** With fewer passes or fails expected in a usual month or quarter, limits by the normal distribution are rough. */
const FEW_EXPECTED = 5;
/** From here on the rate wanders more than jobs on their own would, and a p that takes them so is too small. */
const WANDERS = 1.3;

export const splitWords: Readonly<Record<TrendSplit, string>> = {
  none: 'Nothing: all together',
  model: 'Model',
  bench: 'Bench',
  branch: 'Branch',
  work: 'Work',
  complaint: 'Complaint',
  season: 'Season',
  batch: 'Shim batch',
  gauge: 'Gauge',
  element: 'Element',
  technician: 'Technician',
};

/** What jobs need to be told apart, where they are many that lack it. */
export const splitNeeds: Partial<Readonly<Record<TrendSplit, string>>> = {
  bench: 'name their bench',
  branch: 'name their branch',
  complaint: 'tell a complaint',
  batch: 'name a shim batch',
  gauge: 'name the gauge of those readings',
  technician: 'name their technician',
};

/** How a job counts where it can have several parts. */
export const splitNotes: Partial<Readonly<Record<TrendSplit, string>>> = {
  season: 'Winter is December to February, spring March to May, and so on, by the day received.',
  batch: 'A job counts once in the chart of each batch that any of its changed stacks was made of.',
  gauge: 'A job counts once in the chart of each gauge that the readings behind its figure were taken with.',
  element: 'A job counts once in the chart of each of its elements.',
};

/** The title of one chart. @param model what the page is narrowed to */
export function partName(split: TrendSplit, part: string, model: string | null): string {
  if (part === '') return model ?? 'All jobs';
  return split === 'season' ? capital(part) : part;
}

/** Beside a point of the plot, short. */
export const pointWords: Readonly<Record<Standing, string>> = {
  within: '',
  above: 'above limit',
  below: 'below limit',
  'run above': 'run above',
  'run below': 'run below',
  rising: 'rising',
  falling: 'falling',
};
export const standingWords: Readonly<Record<Standing, string>> = {
  within: 'within',
  above: 'above its limit',
  below: 'below its limit',
  'run above': 'one of seven or more in a row above the centre line',
  'run below': 'one of seven or more in a row below the centre line',
  rising: 'one of seven or more in a row that rise',
  falling: 'one of seven or more in a row that fall',
};

/** A label as it begins a line. */
export const capital = (text: string): string => `${text.slice(0, 1).toUpperCase()}${text.slice(1)}`;

export const periodName = (period: TrendPeriod, first: string): string =>
  period === 'month' ? monthName(first) : quarterName(first);

/** The first day after a month or quarter. */
export function nextPeriod(period: TrendPeriod, first: string): string {
  const [year = 0, month = 1] = first.split('-').map(Number);
  const next = new Date(Date.UTC(year, month - 1 + (period === 'month' ? 1 : 3), 1));
  return next.toISOString().slice(0, 10);
}
/** The last day of a month or quarter. */
export function lastDay(period: TrendPeriod, first: string): string {
  const next = new Date(`${nextPeriod(period, first)}T00:00:00Z`);
  next.setUTCDate(next.getUTCDate() - 1);
  return next.toISOString().slice(0, 10);
}

/** The change of level where it is one to speak of. */
export const clearChange = ({ change }: Trend): Trend['change'] =>
  change !== null && change.p <= MOST_P ? change : null;

const pWords = (p: number): string => `p\u00a0${p.toFixed(3)}`;

export interface Told {
  readonly trend: Trend;
  readonly name: string;
  readonly period: TrendPeriod;
  readonly write: (value: number) => string;
}

/** What the chart shows, as its title. */
export function headline({ trend, name, period, write }: Told): string {
  const change = clearChange(trend);
  if (change !== null)
    return `${name}: ${write(change.before)} to ${write(change.after)} since ${periodName(period, change.since)}`;
  const beyond = trend.points.filter(({ standing }) => standing === 'above' || standing === 'below').length;
  if (beyond > 0) return `${name}: no lasting change, ${counted(beyond, period)} beyond a limit`;
  if (trend.points.some(({ standing }) => standing !== 'within')) return `${name}: no lasting change, but a run`;
  return `${name}: no change, ${write(trend.centre)} throughout`;
}

/** How many jobs it rests on, and the change with its p. */
export function resting({ trend, period, write }: Told): string {
  const change = clearChange(trend);
  const periods = counted(trend.points.length, period);
  const n = `${counted(trend.jobs, 'job')} in ${periods}`;
  if (change === null) return n;
  const since = `Since ${periodName(period, change.since)}: ${write(change.before)} to ${write(change.after)}`;
  return `${n}. ${since}, ${pWords(change.p)}, searched over ${periods}`;
}

/** How the limits were come by. */
export function limitsFrom({ trend, period }: Told): string {
  if (trend.sigmaZ === null) {
    return `Chart of single points: limits are the centre line ± 3 σ, σ from the mean distance of neighbouring ${period}s, all ${period}s alike.`;
  }
  if (Number.isNaN(trend.sigmaZ)) return 'p-chart; the share never varies, so it has no limits.';
  const wanders =
    trend.sigmaZ > WANDERS
      ? ' The rate wanders more than single jobs would make it, so a p told here is too small.'
      : '';
  const expected = (trend.jobs / trend.points.length) * Math.min(trend.centre, 1 - trend.centre);
  const rough = expected < FEW_EXPECTED ? ` With so few jobs a ${period} these limits are rough.` : '';
  return `p-chart with Laney's correction: limits are the centre line ± 3 σz times the scatter that n jobs make, σz ${trend.sigmaZ.toFixed(2)}.${wanders}${rough}`;
}

export const thinWords = (
  part: string,
  period: TrendPeriod,
  { periods, jobs }: { periods: number; jobs: number },
): string =>
  `${part === '' ? '' : `${part}: `}${counted(periods, period)}, ${count(jobs)} ${jobs === 1 ? 'job' : 'jobs'}`;
