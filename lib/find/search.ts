import { ask, differenceAt, sweep, type Asked, type Tested } from './candidates';
import { difference, intervals, type Difference } from './compare';
import { costOf, type Lasted } from './cost';
import { pairedRows } from './elements';
import type { History } from './history';
import { measureOrder, rules } from './measures';
import { levelName, piecesOf, type Pieces } from './observations';
import { othersOf, sift, standingOut, type Believed } from './sift';
import type { Found, Level, SearchAnswer } from './types';

export interface SearchOptions {
  /** Whether people are compared, too: only where someone asks for it. */
  readonly technicians: boolean;
}

export interface Progress {
  readonly done: number;
  readonly total: number;
}

/** Measures are asked first and sifted after; each is a step of either. */
const STEPS = 2 * measureOrder.length;

/**
 * The search a step at a time, so that who runs it can look up in between: for each measure all comparisons, then, with the
 * p-values of all of them at hand, what stands out and is not explained by another.
 */
export function* searchSteps(history: History, options: SearchOptions): Generator<Progress, SearchAnswer> {
  const pieces = piecesOf(history.jobs);
  const asked: Asked[] = [];
  const results: Tested[] = [];
  let tooFew = 0;
  let done = 0;
  yield { done, total: STEPS };
  for (const measure of measureOrder) {
    const one = ask(measure, history, pieces, options.technicians);
    asked.push(one);
    const swept = sweep(one, history, pieces);
    for (const result of swept.results) results.push(result);
    tooFew += swept.tooFew;
    yield { done: (done += 1), total: STEPS };
  }
  const candidates = standingOut(results);
  const believed: Believed[] = [];
  const found: Found[] = [];
  for (const one of asked) {
    for (const fault of sift(one, candidates, history, believed)) {
      believed.push(fault);
      found.push(foundOf(one, fault, history, pieces));
    }
    yield { done: (done += 1), total: STEPS };
  }
  return { found: found.sort(byCost), comparisons: results.length, tooFew, jobs: history.jobs.job_no.length };
}

/** Searches a history for recurring faults: those that cost most come first. The same history gives the same answer. */
export function search(
  history: History,
  options: SearchOptions,
  onProgress?: (progress: Progress) => void,
): SearchAnswer {
  const steps = searchSteps(history, options);
  for (;;) {
    const { value, done } = steps.next();
    if (done === true) return value;
    onProgress?.(value);
  }
}

/** How sure a finding is, as a factor on what it costs (ours). */
const SURENESS = { certain: 1, 'worth a look': 0.5 } as const;

const middleCost = ({ cost }: Found): number =>
  cost === null || cost.hours === null ? 0 : (cost.hours.low + cost.hours.high) / 2;
const byCost = (a: Found, b: Found): number =>
  middleCost(b) * SURENESS[b.certainty] - middleCost(a) * SURENESS[a.certainty] ||
  SURENESS[b.certainty] - SURENESS[a.certainty] ||
  a.p - b.p ||
  (a.id < b.id ? -1 : 1);

const DAY_MS = 86_400_000;
const dayText = (day: number): string => new Date(day * DAY_MS).toISOString().slice(0, 10);

function foundOf(asked: Asked, fault: Believed, history: History, pieces: Pieces): Found {
  const rule = rules[fault.measure];
  const named = (factor: Level['factor'], level: number): Level => ({
    factor,
    level: levelName(history, factor, level),
  });
  const where = [...(fault.model >= 0 ? [named('model', fault.model)] : []), named(fault.factor, fault.level)];
  const d = (fault.sides === null ? null : difference(asked.obs, fault.sides)) ?? differenceAt(asked, fault);
  const behind = jobsBehind(asked, fault);
  const { day, job_no } = history.jobs;
  const byDay = [...behind].sort((a, b) => (day[a] ?? 0) - (day[b] ?? 0) || a - b);
  const lasted = lastedOf(fault, byDay, history, pieces);
  return {
    id: [fault.measure, ...where.map(({ factor, level }) => `${factor} ${level}`)].join('|'),
    measure: fault.measure,
    where,
    certainty: fault.certain ? 'certain' : 'worth a look',
    ...sidesTold(d, rule.kind),
    p: fault.certain ? fault.pMargin : fault.pUsual,
    adjusted: fault.certain ? fault.adjustedMargin : fault.adjustedUsual,
    since: fault.period.since === null ? null : { day: dayText(fault.period.since.day), p: fault.period.since.p },
    until: fault.period.until === null ? null : dayText(fault.period.until),
    others: othersOf(asked, fault).map(({ factor, level, left }) => ({ level: named(factor, level), left })),
    cost: costOf(history, pieces, costSides(fault, behind, history), lasted),
    jobs: byDay.map((job) => job_no[job] ?? 0),
    points: pointsOf(asked, fault, history),
  };
}

function sidesTold(d: Difference | null, kind: 'rate' | 'reading'): Pick<Found, 'group' | 'rest' | 'difference'> {
  const none = { n: 0, value: Number.NaN, low: Number.NaN, high: Number.NaN };
  if (d === null) return { group: none, rest: none, difference: none };
  const { group, rest, difference: both } = intervals(d, kind);
  return {
    group: { n: d.nGroup, value: d.group, low: group[0], high: group[1] },
    rest: { n: d.nRest, value: d.rest, low: rest[0], high: rest[1] },
    difference: { value: d.value, low: both[0], high: both[1] },
  };
}

/** Places of the jobs that show it: the cases of a rate, an element's jobs beyond the margin, else all of the group. */
function jobsBehind(asked: Asked, fault: Believed): ReadonlySet<number> {
  const rule = rules[fault.measure];
  if (fault.factor === 'element' && asked.paired !== null) {
    const way = (differenceAt(asked, fault)?.value ?? 0) < 0 ? -1 : 1;
    const rows = pairedRows(asked.paired, { ...fault, from: 0, to: Infinity }, null);
    return new Set(
      rows
        .filter(({ job, own, others }) => fault.jobs[job] === 1 && way * (own - others) > rule.margin)
        .map(({ job }) => job),
    );
  }
  const cases = new Set<number>();
  fault.sides?.forEach((side, i) => {
    if (side === 1 && (rule.kind === 'reading' || asked.obs.y[i] === 1)) cases.add(asked.obs.job[i] ?? 0);
  });
  return cases;
}

/** All jobs of the model in question: those that show the fault against those that do not. */
function costSides(fault: Believed, behind: ReadonlySet<number>, history: History): Int8Array {
  const { model } = history.jobs;
  return Int8Array.from(model, (m, i) => (fault.model >= 0 && m !== fault.model ? -1 : behind.has(i) ? 1 : 0));
}

/** Days without a job of its own after which a batch of shims counts as used up (ours). */
const USED_UP = 90;

/** How long it lasted and whether it is over: a batch from its first job to its last. */
function lastedOf(fault: Believed, byDay: readonly number[], history: History, pieces: Pieces): Lasted {
  const { day } = history.jobs;
  const end = pieces.edges.at(-1) ?? 0;
  if (fault.factor === 'shim batch') {
    const last = day[byDay.at(-1) ?? 0] ?? 0;
    return { days: last - (day[byDay[0] ?? 0] ?? 0), over: end - last > USED_UP };
  }
  const { since, until } = fault.period;
  return { days: (until ?? end) - (since?.day ?? pieces.edges[0] ?? 0), over: until !== null };
}

/** More points than this on a side say no more on a plot. */
const MOST_POINTS = 1500;

const thinned = <T>(points: readonly T[]): T[] => {
  const every = Math.ceil(points.length / MOST_POINTS);
  return points.filter((_, i) => i % Math.max(1, every) === 0);
};

/** Of an element its own readings in the group, and the mean of the others of its pump beside it. */
function pointsOf(asked: Asked, fault: Believed, history: History): Found['points'] {
  const { day, job_no } = history.jobs;
  const at = (job: number, value: number, inGroup: boolean) => ({
    job: job_no[job] ?? 0,
    day: dayText(day[job] ?? 0),
    value,
    inGroup,
  });
  const whole = { ...fault, from: 0, to: Infinity };
  const points =
    fault.factor === 'element' && asked.paired !== null
      ? pairedRows(asked.paired, whole, null).flatMap(({ job, own, others }) => [
          at(job, own, true),
          at(job, others, false),
        ])
      : rowPoints(asked, fault, at);
  const group = thinned(points.filter(({ inGroup }) => inGroup));
  const rest = thinned(points.filter(({ inGroup }) => !inGroup));
  return [...group, ...rest].sort((a, b) => (a.day < b.day ? -1 : a.day > b.day ? 1 : a.job - b.job));
}

type Point = Found['points'][number];

function rowPoints(
  asked: Asked,
  fault: Believed,
  at: (job: number, value: number, inGroup: boolean) => Point,
): Point[] {
  const { obs } = asked;
  const levels = obs.levels.get(fault.factor);
  const points: Point[] = [];
  for (let i = 0; i < obs.n; i += 1) {
    const level = levels?.[i] ?? -1;
    if (level < 0 || (fault.model >= 0 && obs.model[i] !== fault.model)) continue;
    points.push(at(obs.job[i] ?? 0, obs.y[i] ?? 0, level === fault.level));
  }
  return points;
}
