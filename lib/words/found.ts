import type { Found, Level, Measure } from '../find/types';

/** A finding as one sentence in the mechanic's words. */

interface Unit {
  readonly times: number;
  readonly decimals: number;
  readonly symbol: string;
}
const rate: Unit = { times: 100, decimals: 0, symbol: '%' };

const unitOf: Readonly<Record<Measure, Unit>> = {
  'timing and phasing fails first': rate,
  'a test point fails first': rate,
  'governor fails first': rate,
  'comes back early': rate,
  'shim changed the wrong way': rate,
  'superseded revision': rate,
  'gauge past its date': rate,
  'phase error as first measured': { times: 1, decimals: 2, symbol: 'deg' },
  'delivery as received': { times: 1, decimals: 1, symbol: '%' },
  'low-speed retention deficit': { times: 1, decimals: 3, symbol: '' },
  'shim does what is marked': { times: 1, decimals: 3, symbol: 'mm' },
  'bench hours': { times: 1, decimals: 2, symbol: 'h' },
};

/** What is counted of a measure. */
const counted: Readonly<Record<Measure, string>> = {
  'timing and phasing fails first': 'jobs',
  'a test point fails first': 'jobs',
  'governor fails first': 'jobs',
  'comes back early': 'jobs',
  'shim changed the wrong way': 'jobs',
  'superseded revision': 'jobs',
  'gauge past its date': 'uses',
  'phase error as first measured': 'jobs',
  'delivery as received': 'jobs',
  'low-speed retention deficit': 'jobs',
  'shim does what is marked': 'changes',
  'bench hours': 'jobs',
};

const NO_BREAK = '\u00a0';
const MINUS = '−';

function figure(value: number, { times, decimals, symbol }: Unit, bare = false): string {
  const digits = Math.abs(value * times).toFixed(decimals);
  const sign = value < 0 && /[1-9]/.test(digits) ? MINUS : '';
  return `${sign}${digits}${bare || symbol === '' ? '' : `${NO_BREAK}${symbol}`}`;
}

const levelWords = ({ factor, level }: Level): string => {
  switch (factor) {
    case 'model':
      return level;
    case 'gauge':
    case 'shim batch':
    case 'bench':
    case 'element':
    case 'branch':
    case 'technician':
      return `${factor} ${level}`;
    case 'complaint':
      return `came in for “${level}”`;
    case 'season':
      return `in ${level}`;
    case 'work type':
      return level;
  }
};

/** What the jobs have in common: `Heron, element 3`. */
export function whereWords(where: readonly Level[]): string {
  const words = where.map(levelWords).join(', ');
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}`;
}

function whatWords({ measure, difference, group, rest, where }: Found): string {
  const unit = unitOf[measure];
  const size = figure(Math.abs(difference.value), unit);
  const more = difference.value >= 0;
  const shares = `in ${figure(group.value, rate)} of jobs against ${figure(rest.value, rate)}`;
  const element = where.some(({ factor }) => factor === 'element');
  switch (measure) {
    case 'phase error as first measured':
      return `closes ${size} ${more ? 'later' : 'earlier'} than the other elements as first measured`;
    case 'delivery as received':
      return `pumps read ${size} ${more ? 'more' : 'less'} at the base point as received`;
    case 'low-speed retention deficit':
      return element
        ? `loses ${size} more of its delivery at low speed than the other elements`
        : `pumps lose ${size} more of their delivery at low speed as received`;
    case 'shim does what is marked':
      return `a change moves closure by ${size} ${more ? 'more' : 'less'} lift than is marked on it`;
    case 'bench hours':
      return `jobs take ${size} longer on the bench`;
    case 'timing and phasing fails first':
      return `timing and phasing is out at the first measurement ${shares}`;
    case 'a test point fails first':
      return `a test point is out at the first measurement ${shares}`;
    case 'governor fails first':
      return `the governor is out at the first measurement ${shares}`;
    case 'comes back early':
      return `the pump is back within 180 days ${shares}`;
    case 'shim changed the wrong way':
      return `shims are changed the wrong way ${shares} that were out`;
    case 'superseded revision':
      return `the job is worked to a superseded revision ${shares}`;
    case 'gauge past its date':
      return `used past its date ${shares}`;
  }
}

/** Since when, and until when: from the days of the jobs where a batch was simply used up. */
export function whenWords({
  since,
  until,
  where,
  points,
}: Pick<Found, 'since' | 'until' | 'where' | 'points'>): string {
  if (where.some(({ factor }) => factor === 'shim batch')) {
    const days = points.filter(({ inGroup }) => inGroup).map(({ day }) => day);
    const [first, last] = [days[0], days.at(-1)];
    if (first !== undefined && last !== undefined) return `In jobs received from ${first} to ${last}.`;
  }
  const from = since === null ? 'Since the log begins' : `Since ${since.day}`;
  return until === null ? `${from}.` : `${from}, until ${until}.`;
}

/**
 * `Heron, element 3: closes 0.31 deg later than the other elements as first measured (215 jobs; 0.27 to 0.35). Since the log begins.`
 * The interval is that of the difference at 95 %.
 */
export function foundWords(found: Found): string {
  const unit = unitOf[found.measure];
  const { low, high, value } = found.difference;
  const [near, far] = value < 0 ? [-high, -low] : [low, high];
  const ends = `${figure(near, unit, true)} to ${figure(far, unit, true)}`;
  const more = unit === rate ? `${ends} points more` : ends;
  const n = found.group.n.toLocaleString('en-GB');
  return `${whereWords(found.where)}: ${whatWords(found)} (${n} ${counted[found.measure]}; ${more}). ${whenWords(found)}`;
}

/** What else the jobs have in common, a sentence each. */
export function otherWords({ others }: Pick<Found, 'others'>): string[] {
  return others.map(({ level, left }) => {
    const name = levelWords(level);
    return left === 0
      ? `Can not be told apart from ${name}: the same jobs have both.`
      : `With ${level.factor} held even, ${figure(left, rate)} of the difference is left: ${name} explains part of it.`;
  });
}

/** What it costs a year; without enough jobs, that. */
export function costWords({ cost }: Pick<Found, 'cost'>): string {
  if (cost === null || cost.hours === null) return 'Not enough jobs to tell what it costs.';
  const { low, high } = cost.hours;
  const jobs = Math.max(1, Math.round(cost.jobsPerYear));
  return `${low.toFixed(0)} to ${high.toFixed(0)}${NO_BREAK}h a year, on ${jobs} jobs a year.`;
}
