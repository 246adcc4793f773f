import {
  extraKinds,
  type Added,
  type AgainstPlain,
  type Asked,
  type BackTest,
  type Coverages,
  type Drift,
  type Estimate,
  type ExtraChance,
  type ExtraKind,
  type Group,
  type Nearness,
  type NotEnough,
  type Overrun,
  type PlainWay,
  type Range,
  type RangeSet,
  type SimilarJob,
  type Target,
} from '../quote/types';
import type { AmountWriter } from './amounts';
import { count, counted, NO_FIGURE, percent, percentRange } from './figures';

/** What a quote's figures say, in sentences. */

/** The range that sentences speak of: 8 of 10. */
export const SPOKEN = 0.8;

export const targetWords: Readonly<Record<Target, string>> = {
  hours: 'Labour',
  parts: 'Parts',
  days: 'Days in the shop',
  cost: 'Cost to the shop',
};

export const extraWords: Readonly<Record<ExtraKind, string>> = {
  newBarrels: 'New plungers and barrels',
  camshaft: 'Camshaft',
  rerun: 'A second run on the bench',
};

export const wayWords: Readonly<Record<PlainWay, string>> = {
  'mean of the model': 'the mean of the model',
  'last five of the model': 'the last five of the model',
  'median of all': 'the median of all jobs',
  'mean of model and work': 'the mean of the model and work',
};

const notEnoughWords: Readonly<Record<NotEnough, string>> = {
  'no past jobs': 'the log has no such jobs',
  'too few past jobs': 'too few past jobs',
  'too few models': 'too few models to tell how far they differ',
  'too many still open': 'too many such jobs are still open',
  'no clear difference': 'jobs with it show no clear difference from those without',
  'no rate set': 'no hourly rate is set',
};
export const whyNot = (why: NotEnough | null): string =>
  `not enough data: ${notEnoughWords[why ?? 'too few past jobs']}`;

const works: Readonly<Record<string, string>> = {
  test: 'a test of',
  recalibrate: 'recalibrating',
  rebuild: 'a rebuild of',
};
const article = (noun: string): string => (/^[aeiou]/i.test(noun) ? 'an' : 'a');
const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** `A rebuild of a Heron with the complaint “low power”`. */
export function jobWords({ model, work, complaint }: Asked): string {
  const what = `${works[work] ?? `work “${work}” on`} ${article(model)} ${model}`;
  return capital(complaint == null || complaint === '' ? what : `${what} with the complaint “${complaint}”`);
}

const NUMBERS = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight'];

/** `all six-element pumps, rebuild`. */
export function groupWords({ level, model, work, elements, complaint }: Group): string {
  if (level === 'all') return 'all jobs of the log';
  const pumps =
    model ?? (elements === null ? 'all models' : `all ${NUMBERS[elements] ?? String(elements)}-element pumps`);
  return [pumps, work, complaint === null ? null : `complaint “${complaint}”`]
    .filter((part) => part !== null)
    .join(', ');
}

/** A figure of a target: `14.5 h`, `EUR 800`, `8 days`. */
export function figureOf(target: Target, value: number | null, currency: string | null, write: AmountWriter): string {
  if (value === null || !Number.isFinite(value)) return NO_FIGURE;
  switch (target) {
    case 'hours':
      return `${write.number(value, 1)}\u00a0h`;
    case 'days':
      return counted(Math.round(value), 'day');
    case 'parts':
    case 'cost':
      return write.about(value, currency ?? '');
  }
}

/** `11.0 to 19.0 h`; `from 11.0 h` where nothing bounds it above. */
export function rangeOf(
  target: Target,
  { low, high }: { readonly low: number; readonly high: number },
  currency: string | null,
  write: AmountWriter,
): string {
  if (!Number.isFinite(high)) return low > 0 ? `from ${figureOf(target, low, currency, write)}` : 'not bounded';
  const upper = figureOf(target, high, currency, write);
  const bare =
    target === 'hours' ? write.number(low, 1) : target === 'days' ? count(low) : figureOf(target, low, currency, write);
  return `${bare} to ${upper}`;
}

export const rangeAt = ({ ranges }: RangeSet, coverage: number): Range | null =>
  ranges.find((range) => range.coverage === coverage) ?? null;

/** Of what the figure rests on: `143 jobs (Heron, rebuild) since 2019`, and from whom it is borrowed. */
export function basisWords(set: RangeSet): string {
  if (set.median === null) return capital(whyNot(set.notEnough));
  const since = set.since === null ? '' : ` since ${set.since.slice(0, 4)}`;
  const told = `${counted(set.n, 'job')}${since}: ${groupWords(set.group)}`;
  if (!set.borrowed) return capital(told);
  const few =
    set.nearestN === 0
      ? 'there is no such job'
      : `there ${set.nearestN === 1 ? 'is' : 'are'} only ${count(set.nearestN)} such ${set.nearestN === 1 ? 'job' : 'jobs'}`;
  return `Borrowed from ${told}, since ${few}`;
}

/** Whose misses set the width of the range that is spoken of, where they are not those of the group that sets the middle; else null. */
export function widthWords(set: RangeSet): string | null {
  const range = rangeAt(set, SPOKEN);
  if (range === null || !range.borrowed || range.notEnough !== null) return null;
  return `the width of 8 of 10 is borrowed from ${counted(range.n, 'job')}: ${groupWords(range.group)}`;
}

/** `8 of 10 such jobs took 11.0 to 19.0 h`, or that it can't be told. */
function strayWords(target: Target, set: RangeSet, currency: string | null, write: AmountWriter): string {
  const range = rangeAt(set, SPOKEN);
  return range === null || range.notEnough !== null
    ? `how far it may stray can't be told, ${whyNot(range?.notEnough ?? set.notEnough)}`
    : `8 of 10 such jobs took ${rangeOf(target, range, currency, write)}`;
}

/** The answer in one sentence for each figure that there is. */
export function leadWords(estimate: Estimate, write: AmountWriter): readonly string[] {
  const { asked, choices, hours } = estimate;
  const { currency } = choices;
  const start = jobWords(asked);
  const starts = { hours: `${start} takes about`, parts: 'Parts about', days: 'Ready after about' } as const;
  const told = (['hours', 'parts', 'days'] as const).flatMap((target) => {
    const { median } = estimate[target];
    if (median === null) return [];
    const figure = figureOf(target, median, currency, write);
    return [`${starts[target]} ${figure}; ${strayWords(target, estimate[target], currency, write)}.`];
  });
  return hours.median === null ? [`${start}: hours can't be told, ${whyNot(hours.notEnough)}.`, ...told] : told;
}

/** Whether the shop became slower or dearer of late than it would have quoted, or that no drift is seen; null where no figure is told. */
export function driftWords(target: Target, drift: Drift | null): string | null {
  if (drift === null) return null;
  const { factor, low, high, n, drifts } = drift;
  const name = targetWords[target];
  if (factor === null || low === null || high === null)
    return `${name}: not enough data to see a drift, n = ${count(n)} in the log's last year.`;
  const by = (times: number): string => percent(Math.abs(times - 1));
  const signed = (times: number): string => `${times < 1 ? '−' : '+'}${by(times)}`;
  if (!drifts)
    return `${name}: no drift seen, n = ${count(n)} in the log's last year (${signed(factor)} against the quote, ${signed(low)} to ${signed(high)}).`;
  const more = factor > 1;
  const how =
    target === 'parts' || target === 'cost' ? (more ? 'cost more' : 'cost less') : more ? 'took longer' : 'took less';
  return `${name}: the ${counted(n, 'job')} of the log's last year ${how} than the quote would have said, by ${by(factor)} (from ${by(more ? low : high)} to ${by(more ? high : low)}).`;
}

/** `12 of 52 jobs, 14 to 36 %`. */
export function chanceWords({
  k,
  n,
  share,
  low,
  high,
}: Pick<ExtraChance, 'k' | 'n' | 'share' | 'low' | 'high'>): string {
  if (share === null || low === null || high === null) return 'not enough data: no past job tells';
  return `${percent(share)} (${percentRange(low, high)}), ${count(k)} of ${counted(n, 'job')}`;
}

export function chanceBasis({ group, borrowed, likeHours }: ExtraChance): string {
  const hours = likeHours ? ', with like engine hours' : '';
  return `${borrowed ? 'borrowed from ' : ''}${groupWords(group)}${hours}`;
}

/** `EUR 115 (EUR 45 to EUR 141): 1.9 h, parts EUR 2`; why not where the past does not tell it. */
export function addedWords(
  { cost, hours, parts, notEnough }: Added,
  currency: string | null,
  write: AmountWriter,
): string {
  if (cost === null || hours === null || parts === null) return whyNot(notEnough);
  const money = (value: number): string => figureOf('cost', value, currency, write);
  const range = `${money(cost.low)} to ${money(cost.high)}`;
  return `${money(cost.figure)} (${range}): ${figureOf('hours', hours.figure, currency, write)}, parts ${money(parts.figure)}`;
}

export function addedBasis({ n, against, group, borrowed }: Added): string {
  return `${counted(n, 'job')} against ${count(against)}, ${borrowed ? 'borrowed from ' : ''}${groupWords(group)}`;
}

export const nearWords: Readonly<Record<Nearness['feature'], string>> = {
  model: 'model',
  kin: 'elements',
  work: 'work',
  branch: 'branch',
  leakSlope: 'leak slope',
  complaint: 'complaint',
  phasingDeg: 'phase error',
  scatterPercent: 'scatter',
  retentionDeficit: 'retention',
  engineHours: 'engine hours',
};

/** `same model, work; other complaint`. */
export function nearnessWords(why: readonly Nearness[]): string {
  const names = (agrees: boolean): string =>
    why
      .filter((each) => each.agrees === agrees)
      .map(({ feature }) => nearWords[feature])
      .join(', ');
  const [same, other] = [names(true), names(false)];
  return [same === '' ? '' : `alike: ${same}`, other === '' ? '' : `apart: ${other}`]
    .filter((part) => part !== '')
    .join('; ');
}

/** What was found in a past job. */
export const foundWords = ({ extra }: SimilarJob): string =>
  extra.length === 0
    ? 'nothing extra'
    : extraKinds
        .filter((kind) => extra.includes(kind))
        .map((kind) => extraWords[kind].toLowerCase())
        .join(', ');

/** `At this price 21 % of 120 past jobs would have cost the shop more (15 to 29 %).` */
export function overrunWords({ share, low, high, n, group, borrowed, notEnough }: Overrun): string {
  if (share === null || low === null || high === null)
    return `How often this price would have lost money: ${whyNot(notEnough)}.`;
  return `At this price ${percent(share)} of ${counted(n, 'similar past job')} would have lost money (${percentRange(low, high)}): ${borrowed ? 'borrowed from ' : ''}${groupWords(group)}.`;
}

/** `80 % ranges held 79 % of 412 past jobs (75 to 83 %)`. */
export function coverageWords({ coverage, share, low, high, n }: Coverages): string {
  if (share === null || low === null || high === null) return `${percent(coverage)} ranges: not enough data`;
  return `${percent(coverage)} ranges held ${percent(share)} of ${counted(n, 'past job')} (${percentRange(low, high)})`;
}

/** Whether the ranges keep their word, as far as the jobs can tell. */
export function keepsWord({ coverage, low, high }: Coverages): string | null {
  if (low === null || high === null) return null;
  if (high < coverage) return 'too narrow';
  return low > coverage ? 'wider than need be' : 'as promised';
}

/** Ours against one plain way, as a sentence. */
export function againstWords(
  target: Target,
  against: AgainstPlain,
  currency: string | null,
  write: AmountWriter,
): string {
  const { way, own, plain, n, difference, low, high, beats } = against;
  if (own === null || plain === null) return `Against ${wayWords[way]}: not enough data.`;
  const off = (value: number): string => offBy(target, value, currency, write);
  const gap =
    difference === null || low === null || high === null
      ? ''
      : `, on average ${off(Math.abs(difference))} ${difference >= 0 ? 'nearer' : 'farther off'} (${signedOff(target, low, currency, write)} to ${signedOff(target, high, currency, write)})`;
  const verdict = {
    yes: 'the quote is nearer',
    even: 'no clear difference',
    no: 'the plain way is nearer',
    'not enough data': 'not enough data',
  }[beats];
  return `${off(own)} against ${off(plain)} of ${wayWords[way]}: ${verdict}${gap}, ${counted(n, 'job')}.`;
}

/** An error of a target: with a decimal more than the figure has, since errors are small. */
export function offBy(target: Target, value: number | null, currency: string | null, write: AmountWriter): string {
  if (value === null || !Number.isFinite(value)) return NO_FIGURE;
  if (target === 'hours') return `${write.number(value, 2)}\u00a0h`;
  return target === 'days' ? `${write.number(value, 1)}\u00a0days` : figureOf(target, value, currency, write);
}

const signedOff = (target: Target, value: number, currency: string | null, write: AmountWriter): string =>
  `${value < 0 ? '−' : '+'}${offBy(target, Math.abs(value), currency, write)}`;

/**
 * What a person has to know first of the back-test: whether any plain way is as good. Only what could be compared is claimed; warm unless the
 * quote is nearer in every comparison.
 */
export function verdictWords({ tests }: BackTest): { readonly text: string; readonly warm: boolean } {
  const told = tests.filter(({ n }) => n > 0);
  if (told.length === 0) return { text: 'Not enough data: no past job could be quoted as it came in.', warm: true };
  const pairs = told.flatMap(({ target, against }) =>
    against.map(({ way, beats }) => ({ beats, words: `${targetWords[target].toLowerCase()} by ${wayWords[way]}` })),
  );
  const those = (verdict: AgainstPlain['beats']): readonly string[] =>
    pairs.filter(({ beats }) => beats === verdict).map(({ words }) => words);
  const [nearer, even, worse, untold] = [those('yes'), those('even'), those('no'), those('not enough data')];
  if (untold.length === pairs.length)
    return { text: 'Not enough data: too few past jobs to compare the quote with plain ways.', warm: true };
  if (nearer.length === pairs.length)
    return { text: 'The quote comes nearer than each plain way, beyond chance.', warm: false };
  const sentence = (start: string, of: readonly string[]): readonly string[] =>
    of.length === 0 ? [] : [`${start}: ${of.join('; ')}.`];
  const text = [
    ...sentence('A plain way comes nearer here', worse),
    ...sentence('No clear gain over a plain way here', even),
    ...sentence('Not enough data to compare', untold),
    ...(nearer.length === 0 ? [] : ['All else is beaten, beyond chance.']),
  ].join(' ');
  return { text, warm: true };
}
