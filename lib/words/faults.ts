import type { Cost, Found, Level, Measure, SearchAnswer, Side } from '../find/types';
import type { Unit } from '../units/units';
import { count, counted, day, NO_FIGURE, percent, percentRange, type Writer } from './figures';
import { moneyRange } from './spans';

/** How what is compared is written and what its axis is called. */
export interface MeasureForm {
  /** A share of jobs, 0 to 1, or a reading. */
  readonly kind: 'share' | 'reading';
  readonly unit: Unit;
  /** Takes a value of the search to that unit. */
  readonly factor: number;
  /** Whether plus and minus are opposite ways, so that the sign always stands. */
  readonly signed: boolean;
  /** What n counts. */
  readonly noun: string;
  /** Title of the axis, without the unit. */
  readonly axis: string;
}

const share = (axis: string): MeasureForm => ({
  kind: 'share',
  unit: 'percent',
  factor: 100,
  signed: false,
  noun: 'job',
  axis,
});
const reading = (axis: string, unit: Unit, noun: string, factor = 1, signed = true): MeasureForm => ({
  kind: 'reading',
  unit,
  factor,
  signed,
  noun,
  axis,
});

/** The unit that the search gives each measure in stands here and nowhere else. */
export const measureForms: Readonly<Record<Measure, MeasureForm>> = {
  'timing and phasing fails first': share('Timing and phasing out at first'),
  'a test point fails first': share('A test point out at first'),
  'governor fails first': share('Governor out at first'),
  'comes back early': share('Came back early'),
  'shim changed the wrong way': share('Shim changed the wrong way'),
  'superseded revision': share('Worked to a superseded revision'),
  'gauge past its date': share('Gauge past its date'),
  'phase error as first measured': reading('Phase error as first measured, + is late', 'cam_deg', 'job'),
  'delivery as received': reading('Delivery as received, from the middle of its band', 'percent', 'job'),
  'low-speed retention deficit': reading('Lost at low speed, against the baseline', 'percent', 'job', 100),
  'shim does what is marked': reading('Stack as measured less as marked', 'shim', 'change'),
  'bench hours': reading('Bench hours', 'hours', 'job', 1, false),
};

/** A level as it follows another one, and after a comma where it is no place or tool of its own. */
const phrases: Readonly<Record<Level['factor'], (level: string) => string>> = {
  model: (level) => level,
  element: (level) => `, element ${level}`,
  'work type': (level) => `, ${level} jobs`,
  complaint: (level) => `, complaint “${level}”`,
  bench: (level) => ` on bench ${level}`,
  branch: (level) => ` at ${level}`,
  'shim batch': (level) => ` with shim batch ${level}`,
  gauge: (level) => ` with gauge ${level}`,
  season: (level) => ` in ${level}`,
  technician: (level) => ` by technician ${level}`,
};

const capital = (text: string): string => `${text.slice(0, 1).toUpperCase()}${text.slice(1)}`;

/** What the jobs have in common, in the middle of a sentence: `Heron at Saltmarsh`, `on bench B2`. */
export function whereWords(where: readonly Level[]): string {
  const joined = where.map(({ factor, level }) => phrases[factor](level)).join('');
  return where.length === 0 ? 'all jobs' : joined.replace(/^[, ]+/, '');
}

/** One level by itself, in the middle of a sentence: `bench B2`, `the branch Saltmarsh`. */
function levelWords({ factor, level }: Level): string {
  if (factor === 'branch') return `the branch ${level}`;
  if (factor === 'season') return level;
  return factor === 'work type' ? `${level} jobs` : `${factor} ${level}`;
}

const shareClauses = {
  'timing and phasing fails first': 'timing and phasing is out at the first measurement',
  'a test point fails first': 'a test point is out at the first measurement',
  'governor fails first': 'the governor is out at the first measurement',
  'comes back early': 'the pump comes back early',
  'shim changed the wrong way': 'a shim is changed the wrong way',
  'superseded revision': 'the work goes by a superseded revision',
  'gauge past its date': 'a gauge past its date is used',
} as const satisfies Partial<Record<Measure, string>>;
type ShareMeasure = keyof typeof shareClauses;

const isShare = (measure: Measure): measure is ShareMeasure => measure in shareClauses;

const readingClauses: Readonly<Record<Exclude<Measure, ShareMeasure>, (size: string, more: boolean) => string>> = {
  'phase error as first measured': (size, more) =>
    `port closure comes ${size} ${more ? 'later' : 'earlier'} than in the rest when first measured`,
  'delivery as received': (size, more) =>
    `delivery as received reads ${size} ${more ? 'higher' : 'lower'} than in the rest`,
  'low-speed retention deficit': (size, more) =>
    `${size} ${more ? 'more' : 'less'} of the delivery is lost at low speed than in the rest`,
  'shim does what is marked': (size, more) =>
    `stacks measure ${size} ${more ? 'more' : 'less'} than is marked on them, held against the rest`,
  'bench hours': (size, more) => `a job takes ${size} ${more ? 'more' : 'less'} on the bench than in the rest`,
};

/** A value of a measure as a figure. */
export function measured(measure: Measure, value: number, write: Writer, sign = true): string {
  const { kind, unit, factor, signed } = measureForms[measure];
  if (kind === 'share') return percent(value);
  return write.figure(value * factor, unit, { sign: sign && signed, difference: true });
}

/** The finding in one sentence. */
export function headline(found: Found, write: Writer): string {
  const { measure, where, group, rest, difference } = found;
  if (isShare(measure)) {
    return `${capital(whereWords(where))}: ${shareClauses[measure]} in ${percent(group.value)} of jobs, ${percent(rest.value)} in the rest.`;
  }
  const size = measured(measure, Math.abs(difference.value), write, false);
  return `${capital(whereWords(where))}: ${readingClauses[measure](size, difference.value >= 0)}.`;
}

/** What the plot shows, as its title. */
export const plotTitle = (found: Found): string =>
  `${measureForms[found.measure].axis.replace(/, .*$/, '')}: ${whereWords(found.where)}, and the rest`;

/** A side's interval, the unit once. */
export function sideRange(measure: Measure, { low, high }: Pick<Side, 'low' | 'high'>, write: Writer): string {
  const { kind, unit, factor, signed } = measureForms[measure];
  if (!Number.isFinite(low) || !Number.isFinite(high)) return NO_FIGURE;
  if (kind === 'share') return percentRange(low, high);
  const style = { sign: signed, difference: true } as const;
  return `${write.figure(low * factor, unit, { ...style, bare: true })} to ${write.figure(high * factor, unit, style)}`;
}

/** The interval of the difference; of shares in jobs of a hundred. */
export function differenceRange({ measure, difference }: Found, write: Writer): string {
  const { low, high } = difference;
  if (!Number.isFinite(low) || !Number.isFinite(high)) return NO_FIGURE;
  if (measureForms[measure].kind === 'reading') return sideRange(measure, difference, write);
  const whole = (end: number): string => `${end < -0.005 ? '−' : ''}${(100 * Math.abs(end)).toFixed(0)}`;
  return `${whole(low)} to ${whole(high)} in 100 jobs`;
}

/** `0.021`, `below 0.001`. */
export function pValue(p: number): string {
  if (!Number.isFinite(p)) return NO_FIGURE;
  if (p < 0.001) return 'below 0.001';
  return p >= 0.995 ? '1' : p.toFixed(p < 0.1 ? 3 : 2);
}

/** What a p-value is, wherever one stands in a sentence. */
export const P_GLOSS = 'p: how readily chance alone would show as much; the smaller, the surer';

const sideWords = (measure: Measure, side: Side, write: Writer): string => {
  const { noun, kind } = measureForms[measure];
  const range = sideRange(measure, side, write);
  const middle = kind === 'share' ? '' : ' in the middle';
  return `${measured(measure, side.value, write)}${middle} (${range}) of ${counted(side.n, noun)}`;
};

/** Which jobs the list behind a finding holds, where that is not just those that were compared; empty where it is. */
export function behindWords({ measure, where, group, jobs }: Found): string {
  const form = measureForms[measure];
  if (where.at(-1)?.factor === 'element') return 'Those in which the element is off by more than matters.';
  if (form.kind === 'share') return jobs.length === group.n ? '' : 'Those in which it happened.';
  const alone = jobs.length - group.n;
  if (form.noun !== 'job' || alone <= 0) return '';
  return `${count(alone)} of them had no job alike to be compared with.`;
}

/** n, intervals and p in plain words. */
export function howSure(found: Found, comparisons: number, write: Writer): string {
  const { measure, group, rest, adjusted } = found;
  return (
    `${sideWords(measure, group, write)}, against ${sideWords(measure, rest, write)} in the rest. ` +
    `The difference is ${differenceRange(found, write)} (95\u00a0% interval: where the true one may well lie); ` +
    `p ${pValue(adjusted)} after ${counted(comparisons, 'comparison')} (${P_GLOSS}).`
  );
}

/** When it began and whether it ended. */
export function sinceWords({
  since,
  until,
  where,
  points,
}: Pick<Found, 'since' | 'until'> & Partial<Pick<Found, 'where' | 'points'>>): string {
  // A batch has days of its own, which are not searched for.
  if (where?.some(({ factor }) => factor === 'shim batch') === true) {
    const days = (points ?? []).filter(({ inGroup }) => inGroup).map((point) => point.day);
    const [first, last] = [days[0], days.at(-1)];
    return first === undefined || last === undefined
      ? 'As long as the batch was in use.'
      : `As long as the batch was in use: from ${day(first)} to ${day(last)}, by the jobs compared.`;
  }
  const over = until === null ? '' : ` It ended on ${day(until)}.`;
  if (since === null)
    return until === null ? 'All through the log: no day stands out as its beginning.' : `From the first day.${over}`;
  const sure = Number.isFinite(since.p) ? ` (p ${pValue(since.p)}, with every other day weighed too)` : '';
  return `Since ${day(since.day)}${sure}.${over}`;
}

/** What else could explain it, a sentence each. */
export function otherWords(found: Found, write: Writer): readonly string[] {
  const { measure, difference, others } = found;
  if (others.length === 0) return ['Nothing else in the log goes along with it closely enough to explain it.'];
  const size = (value: number): string =>
    measureForms[measure].kind === 'share'
      ? `${(100 * value).toFixed(0).replace('-', '−')} in 100 jobs`
      : measured(measure, value, write);
  return others.map(({ level, left }) =>
    Number.isFinite(left)
      ? `${capital(levelWords(level))}: with that held even, ${size(left)} of the ${size(difference.value)} is left.`
      : `${capital(levelWords(level))}: it can't be told apart, since too few jobs have one without the other.`,
  );
}

const hoursRange = (low: number, high: number): string => {
  const decimals = high < 10 ? 1 : 0;
  return `${low.toFixed(decimals)} to ${high.toFixed(decimals)} hours`;
};

/** `parts of EUR 120 to EUR 900`, of each currency in turn. */
const partsWords = (parts: Cost['parts']): string =>
  parts.length === 0
    ? ''
    : `parts of ${parts.map(({ low, high, currency }) => moneyRange(low, high, currency)).join(' and of ')}`;

/** What it costs in a year, or cost in all where it is over: hours, and parts as the cards state them. */
export function costWords({ cost }: Pick<Found, 'cost'>): string {
  if (cost === null) return 'The log does not tell what it costs.';
  const { over, hours, parts } = cost;
  const jobs = cost.jobs < 1 ? 'less than one job' : `${over ? '' : 'some '}${counted(Math.round(cost.jobs), 'job')}`;
  const spent = [hours === null ? '' : hoursRange(hours.low, hours.high), partsWords(parts)].filter(
    (text) => text !== '',
  );
  if (spent.length === 0) {
    const touched = over ? `It touched ${jobs} in all and is over` : `It touches ${jobs} a year`;
    return `${touched}; what that ${over ? 'cost' : 'costs'} the log does not tell.`;
  }
  return over
    ? `It cost ${spent.join(' and ')} in all, over ${jobs}; it is over.`
    : `It costs ${spent.join(' and ')} a year, over ${jobs}.`;
}

export interface Ranked {
  readonly certain: readonly Found[];
  readonly worth: readonly Found[];
}

/** The middle of its hours, a year or in all; below all others where they are not known. */
const dearness = ({ cost }: Found): number =>
  cost === null || cost.hours === null ? -1 : (cost.hours.low + cost.hours.high) / 2;

const isOver = ({ cost }: Found): number => (cost?.over === true ? 1 : 0);

/** The dearest first and those that are over last, since they cost nothing more; the order of the search where they cost the same. */
const byCost = (found: readonly Found[]): readonly Found[] =>
  found.toSorted((one, other) => isOver(one) - isOver(other) || dearness(other) - dearness(one));

/** The certain ones apart from those worth a look, each by cost. */
export const ranked = ({ found }: SearchAnswer): Ranked => ({
  certain: byCost(found.filter(({ certainty }) => certainty === 'certain')),
  worth: byCost(found.filter(({ certainty }) => certainty !== 'certain')),
});

/** The certain one that costs most hours; the first of the search where none has any. */
export const dearest = (answer: SearchAnswer): Found | null => ranked(answer).certain[0] ?? null;

const SMALL = ['No', 'One', 'Two', 'Three', 'Four', 'Five', 'Six', 'Seven', 'Eight', 'Nine', 'Ten'];
const numberWord = (n: number): string => SMALL[n] ?? count(n);

/** The answer of the page, before the dearest finding's own sentence. */
export function leadWords(answer: SearchAnswer): string {
  const { certain, worth } = ranked(answer);
  if (certain.length === 1) return 'One fault keeps coming back.';
  if (certain.length > 1) return `${numberWord(certain.length)} faults keep coming back. The dearest:`;
  if (worth.length === 0) return 'No fault keeps coming back that these records could show.';
  return worth.length === 1
    ? 'No fault is certain. One is worth a look.'
    : `No fault is certain. ${numberWord(worth.length)} are worth a look.`;
}

/** How many comparisons the search rests on. */
export function searchedWords({ comparisons, tooFew, jobs }: SearchAnswer): string {
  const left =
    tooFew === 0
      ? ''
      : ` ${count(tooFew)} more could not be made: too few jobs had that in common, so nothing is said of them.`;
  return (
    `The search made ${counted(comparisons, 'comparison')} over ${counted(jobs, 'job')}.${left} ` +
    'Costs are in hours, since no log states what an hour costs, and in parts as the cards state them.'
  );
}

/** What a share would have had to be so that the search had seen it. */
export interface Seeable {
  /** Jobs of the group. */
  readonly n: number;
  readonly from: number;
  readonly to: number;
}

/** What could have been seen, where nothing was. */
export function seeableWords(seeable: Seeable | null): string {
  if (seeable === null) return 'With so few jobs no difference between them could have been seen.';
  const { n, from, to } = seeable;
  return (
    `What could have been seen: a fault that takes ${percent(from)} of jobs to ${percent(to)} or more in one job of ten ` +
    `(${counted(n, 'job')}) would have been found four times out of five. Smaller or rarer ones may well be there.`
  );
}
