import { familyError } from '../stats/familyError';
import { differenceAt, sidesOf, tested, type Asked, type Out, type Tested } from './candidates';
import { difference, sideOf } from './compare';
import { elementKey, pairedRows } from './elements';
import type { History } from './history';
import { rules } from './measures';
import { levelsOfJobs } from './observations';
import { periodOf, type Period, type SeriesRow } from './period';
import type { Factor } from './types';

/** A comparison that stands out, with its p-values after all comparisons of the search. */
export interface Candidate extends Tested {
  readonly adjustedUsual: number;
  readonly adjustedMargin: number;
}

/** Share of logs in which chance alone may list anything untrue. */
export const LEVEL = 0.05;

/**
 * Which comparisons ask after one and the same fault: a level of a factor in one measure, over all stretches of time and models. A fault
 * shows in dozens of them. To count each as a finding of its own would let chance bring in as many untrue ones beside it.
 */
function groupsOf(results: readonly Tested[]): Int32Array {
  const numbers = new Map<string, number>();
  return Int32Array.from(results, ({ measure, factor, level, model }) => {
    // Element 3 of one model has nothing to do with that of another.
    const key = `${measure}|${factor}|${level}|${factor === 'element' ? model : ''}`;
    const number = numbers.get(key) ?? numbers.size;
    numbers.set(key, number);
    return number;
  });
}

/** What stands out of all comparisons: of each level the stretch of time that shows it most surely. */
export function standingOut(results: readonly Tested[]): Candidate[] {
  const group = groupsOf(results);
  const usual = familyError(
    results.map(({ pUsual }) => pUsual),
    group,
  );
  const margin = familyError(
    results.map(({ pMargin }) => pMargin),
    group,
  );
  const best = new Map<string, Candidate>();
  results.forEach((result, i) => {
    const adjustedUsual = usual[i] ?? 1;
    if (!(adjustedUsual <= LEVEL)) return;
    const key = `${result.measure}|${result.factor}|${result.level}|${result.model}`;
    const candidate = { ...result, adjustedUsual, adjustedMargin: margin[i] ?? 1 };
    const before = best.get(key);
    if (before === undefined || surer(candidate, before) < 0) best.set(key, candidate);
  });
  return [...best.values()].sort(surer);
}

const surer = (a: Tested, b: Tested): number => a.pMargin - b.pMargin || a.pUsual - b.pUsual;

/** One that was believed, with the time it lasted and its jobs. */
export interface Believed extends Candidate {
  readonly certain: boolean;
  readonly period: Period;
  /** Sides of the measure's rows within that time; of an element, none. */
  readonly sides: Int8Array | null;
  /** 1 for each job of the history on the fault's side. */
  readonly jobs: Uint8Array;
}

/** Part of a difference that must be left with the others' jobs out for it to be believed as its own (ours). */
const OWN_PART = 0.6;

function outFor(candidate: Candidate, believed: readonly Believed[], jobs: number): Out {
  const { after } = rules[candidate.measure];
  const causes = believed.filter(({ measure }) => measure === candidate.measure || after.includes(measure));
  const byElement = causes.filter(({ factor }) => factor === 'element');
  const elements = new Set(
    byElement
      .filter(({ measure }) => measure === candidate.measure)
      .map(({ model, level }) => elementKey(model, level)),
  );
  const others = causes.filter(({ factor }) => factor !== 'element');
  // Who compares within a pump has nothing to fear of what holds for the whole pump.
  if (candidate.factor === 'element' || others.length === 0) return { jobs: null, elements };
  const out = new Uint8Array(jobs);
  for (const cause of others) cause.jobs.forEach((is, job) => (out[job] = is === 1 ? 1 : (out[job] ?? 0)));
  return { jobs: out, elements };
}

/** Largest raw p-values that the correction for all comparisons let through. */
export interface Cuts {
  readonly usual: number;
  readonly margin: number;
}

export const cutsOf = (candidates: readonly Candidate[]): Cuts => ({
  usual: Math.max(0, ...candidates.map(({ pUsual }) => pUsual)),
  margin: Math.max(0, ...candidates.map(({ pMargin, adjustedMargin }) => (adjustedMargin <= LEVEL ? pMargin : 0))),
});

/** Whether a candidate still stands with all out that was believed before it; and whether surely beyond its margin. */
function ownWeight(asked: Asked, candidate: Candidate, out: Out, cuts: Cuts): 'none' | 'some' | 'certain' {
  const whole = differenceAt(asked, candidate);
  const left = differenceAt(asked, candidate, out);
  const again = tested(asked, candidate, out);
  if (whole === null || left === null || again === null) return 'none';
  if (left.value / whole.value < OWN_PART || again.pUsual > cuts.usual) return 'none';
  return again.pMargin <= cuts.margin ? 'certain' : 'some';
}

const byTime = ({ jobs }: History, a: number, b: number): number =>
  (jobs.day[a] ?? 0) - (jobs.day[b] ?? 0) || (jobs.job_no[a] ?? 0) - (jobs.job_no[b] ?? 0);

/** The group's series in order of time, against the rest of its own stratum where that has any. */
function seriesOf(asked: Asked, candidate: Candidate, history: History, out: Out): { rows: SeriesRow[]; rest: number } {
  const { day } = history.jobs;
  if (candidate.factor === 'element') {
    if (asked.paired === null) return { rows: [], rest: 0 };
    const pairs = pairedRows(asked.paired, { ...candidate, from: 0, to: Infinity }, out.jobs, out.elements);
    const inOrder = [...pairs].sort((a, b) => byTime(history, a.job, b.job));
    return { rows: inOrder.map(({ job, own, others }) => ({ day: day[job] ?? 0, value: own - others })), rest: 0 };
  }
  const { obs } = asked;
  const sides = sidesOf(obs, { ...candidate, from: 0, to: Infinity }, out.jobs);
  const rate = rules[candidate.measure].kind === 'rate';
  const sum = new Float64Array(obs.strata);
  const n = new Float64Array(obs.strata);
  let [all, cases] = [0, 0];
  sides.forEach((side, i) => {
    if (side !== 0) return;
    const s = obs.stratum[i] ?? 0;
    sum[s] = (sum[s] ?? 0) + (obs.tame[i] ?? 0);
    n[s] = (n[s] ?? 0) + 1;
    all += 1;
    cases += obs.tame[i] ?? 0;
  });
  const mine: number[] = [];
  sides.forEach((side, i) => {
    if (side === 1 && (rate || (n[obs.stratum[i] ?? 0] ?? 0) > 0)) mine.push(i);
  });
  mine.sort((a, b) => byTime(history, obs.job[a] ?? 0, obs.job[b] ?? 0));
  const rows = mine.map((i): SeriesRow => {
    const s = obs.stratum[i] ?? 0;
    const value = obs.tame[i] ?? 0;
    return { day: day[obs.job[i] ?? 0] ?? 0, value: rate ? value : value - (sum[s] ?? 0) / (n[s] ?? 1) };
  });
  return { rows, rest: rate && all > 0 ? cases / all : 0 };
}

function believe(asked: Asked, candidate: Candidate, history: History, out: Out, certain: boolean): Believed {
  const { day, job_no } = history.jobs;
  const jobs = new Uint8Array(job_no.length);
  const { rows, rest } = seriesOf(asked, candidate, history, out);
  const way = (differenceAt(asked, candidate, out)?.value ?? 0) < 0 ? -1 : 1;
  // A batch is in use for some months only: its days are its own.
  const period: Period =
    candidate.factor === 'shim batch'
      ? { since: null, until: null }
      : periodOf(rows, { ...rules[candidate.measure], rest, way });
  const within = (job: number): boolean =>
    (day[job] ?? 0) >= (period.since?.day ?? -Infinity) && (day[job] ?? 0) <= (period.until ?? Infinity);
  if (candidate.factor === 'element') {
    for (const { job } of asked.paired === null
      ? []
      : pairedRows(asked.paired, { ...candidate, from: 0, to: Infinity }, out.jobs)) {
      if (within(job)) jobs[job] = 1;
    }
    return { ...candidate, certain, period, sides: null, jobs };
  }
  const { obs } = asked;
  const sides = sidesOf(obs, { ...candidate, from: 0, to: Infinity }, out.jobs).map((side, i) =>
    within(obs.job[i] ?? 0) ? side : -1,
  );
  sides.forEach((side, i) => {
    if (side === 1) jobs[obs.job[i] ?? 0] = 1;
  });
  // Jobs that do not tell this measure were on the same bench all the same; and a fault that faded may not be quite gone.
  const levels = levelsOfJobs(history, candidate.factor);
  levels.forEach((level, job) => {
    if (level !== candidate.level || (day[job] ?? 0) < (period.since?.day ?? -Infinity)) return;
    if (candidate.model < 0 || history.jobs.model[job] === candidate.model) jobs[job] = 1;
  });
  return { ...candidate, certain, period, sides, jobs };
}

/**
 * Takes candidates of one measure in the order of how sure they are. Each is held against what was believed before it: with those jobs
 * out, most of its difference must be left. So a bench that reads low only because another reads high is not listed, nor a
 * branch that sends its pumps to a faulty bench.
 */
export function sift(
  asked: Asked,
  candidates: readonly Candidate[],
  history: History,
  before: readonly Believed[],
): Believed[] {
  const cuts = cutsOf(candidates);
  const mine: Believed[] = [];
  const place = (factor: Factor): number => rules[asked.measure].factors.indexOf(factor);
  const ordered = candidates
    .filter(({ measure }) => measure === asked.measure)
    .sort((a, b) => surer(a, b) || place(a.factor) - place(b.factor) || a.model - b.model || a.level - b.level);
  for (const candidate of ordered) {
    const out = outFor(candidate, [...before, ...mine], history.jobs.job_no.length);
    const weight = ownWeight(asked, candidate, out, cuts);
    if (weight === 'none') continue;
    const certain = weight === 'certain' && candidate.adjustedMargin <= LEVEL;
    mine.push(believe(asked, candidate, history, out, certain));
  }
  // What holds for all models is not said again for one of them.
  return mine.filter(
    (one) =>
      one.model < 0 || !mine.some((all) => all.model < 0 && all.factor === one.factor && all.level === one.level),
  );
}

/** Part of the weight that must be left for a factor to be told apart from another. */
const APART = 0.2;
/** Less than this part left: the other is named. */
const NAMED = 0.75;
const MOST_NAMED = 3;

export interface Other {
  readonly factor: Factor;
  readonly level: number;
  readonly left: number;
}

/** What else the jobs of a fault have in common, with the part of the difference that is left when it is held even. */
export function othersOf(asked: Asked, believed: Believed): Other[] {
  const { obs } = asked;
  const { sides } = believed;
  if (sides === null) return [];
  const whole = difference(obs, sides);
  if (whole === null) return [];
  const others: Other[] = [];
  for (const [factor, levels] of obs.levels) {
    if (factor === believed.factor) continue;
    const numbers = new Map<string, number>();
    const stratum = obs.stratum.map((s, i) => {
      const key = `${s} ${levels[i] ?? -1}`;
      const number = numbers.get(key) ?? numbers.size;
      numbers.set(key, number);
      return number;
    });
    const even = difference({ ...obs, stratum, strata: numbers.size }, sides);
    const left =
      even === null || even.weight < APART * whole.weight ? 0 : Math.max(0, Math.min(1, even.value / whole.value));
    if (left < NAMED) others.push({ factor, level: mostIn(levels, sides), left });
  }
  return others.sort((a, b) => a.left - b.left).slice(0, MOST_NAMED);
}

/** The level that the group has most of, compared with the rest. */
function mostIn(levels: Int32Array, sides: Int8Array): number {
  const counts = [new Map<number, number>(), new Map<number, number>()] as const;
  const totals = [0, 0];
  levels.forEach((level, i) => {
    const side = sideOf(sides, i);
    if (side === null || level < 0) return;
    counts[side].set(level, (counts[side].get(level) ?? 0) + 1);
    totals[side] = (totals[side] ?? 0) + 1;
  });
  let best = -1;
  let most = -Infinity;
  for (const [level, n] of counts[1]) {
    const more = n / Math.max(1, totals[1] ?? 1) - (counts[0].get(level) ?? 0) / Math.max(1, totals[0] ?? 1);
    if (more > most) [best, most] = [level, more];
  }
  return best;
}
