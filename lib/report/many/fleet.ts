import { codes } from '../../calc/layout';
import type { QueuedJob } from '../../store/questions/auditQueue';
import type { TrendPeriod, TrendRow } from '../../store/questions/trendPeriods';
import { readinessOf, readinessStates, supplyOf, wouldHold, type Readiness, type ReadinessState } from './readiness';
import { reasonCodes, reasonFacts, type ReasonCode, type Supply } from './reasons';

/** Many claims together: what share would hold, where, since when, and what recurs. Pure, over the rows of the queue. */

export interface JudgedJob extends Readiness {
  readonly job: QueuedJob;
  readonly supply: Supply | null;
}

const gravity = ({ state }: JudgedJob): number => -readinessStates.indexOf(state);

/** Each job with its state and reasons: those that would not hold first, in the order they came otherwise. */
export const judgedJobs = (rows: readonly QueuedJob[]): readonly JudgedJob[] =>
  rows
    .map((job): JudgedJob => {
      const readiness = readinessOf(job);
      return { job, ...readiness, supply: supplyOf(readiness) };
    })
    .toSorted((a, b) => gravity(a) - gravity(b));

/** How many jobs are in each state. */
export const stateCounts = (judged: readonly JudgedJob[]): Readonly<Record<ReadinessState, number>> => ({
  ready: judged.filter(({ state }) => state === 'ready').length,
  'ready with remarks': judged.filter(({ state }) => state === 'ready with remarks').length,
  'not ready': judged.filter(({ state }) => state === 'not ready').length,
});

/** What of a job is counted: that its record would hold as it is, or that a reason stands in it. */
export type Counted = 'holds' | ReasonCode;
const counts = (judged: JudgedJob, what: Counted): boolean =>
  what === 'holds' ? wouldHold(judged) : judged.reasons.some(({ code }) => code === what);

export const fleetSplits = ['none', 'model', 'bench'] as const;
export type FleetSplit = (typeof fleetSplits)[number];
const partOf = ({ job }: JudgedJob, split: FleetSplit): string | null =>
  split === 'none' ? '' : split === 'model' ? job.pump_model : job.bench_id;

const byText = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

function grouped(judged: readonly JudgedJob[], keyOf: (each: JudgedJob) => string | null): Map<string, JudgedJob[]> {
  const groups = new Map<string, JudgedJob[]>();
  for (const each of judged) {
    const key = keyOf(each);
    if (key === null) continue;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [each]);
    else group.push(each);
  }
  return groups;
}

export interface PartCount {
  readonly part: string;
  /** Jobs that count, of all of the part. */
  readonly k: number;
  readonly n: number;
}

/** So many of so many by model or bench, the lowest share first; jobs without the part written down are left out. */
export const partCounts = (judged: readonly JudgedJob[], split: FleetSplit, what: Counted): readonly PartCount[] =>
  [...grouped(judged, (each) => partOf(each, split))]
    .map(([part, own]) => ({ part, k: own.filter((each) => counts(each, what)).length, n: own.length }))
    .sort((a, b) => a.k / a.n - b.k / b.n || byText(a.part, b.part));

export interface ReasonCount extends Omit<ReturnType<typeof reasonFacts>, 'says'> {
  readonly code: ReasonCode;
  readonly says: string;
  readonly jobs: number;
  /** Jobs in which it stands alone against the record. */
  readonly alone: number;
  /** Days on which the first and the last pump with it came in. */
  readonly first: string;
  readonly last: string;
}

const against = ({ reasons }: JudgedJob) => reasons.filter(({ severity }) => severity !== 'for information');

/** Each reason with the jobs it stands in, the gravest severity first and the most jobs first within it. */
export const reasonCounts = (judged: readonly JudgedJob[]): readonly ReasonCount[] =>
  reasonCodes
    .flatMap((code) => {
      const own = judged.filter((each) => counts(each, code));
      const days = own.map(({ job }) => job.received_on).toSorted(byText);
      const [first, last] = [days[0], days.at(-1)];
      if (first === undefined || last === undefined) return [];
      const alone = own.filter((each) => against(each).length === 1 && against(each)[0]?.code === code).length;
      return [{ code, ...reasonFacts(code), jobs: own.length, alone, first, last }];
    })
    .sort((a, b) => codes.severity.indexOf(a.severity) - codes.severity.indexOf(b.severity) || b.jobs - a.jobs);

/** The reason that keeps most records from holding; null where none does. */
export const mostFrequent = (reasons: readonly ReasonCount[]): ReasonCount | null =>
  reasons
    .filter(({ severity }) => severity !== 'for information')
    .reduce<ReasonCount | null>((most, each) => (most === null || each.jobs > most.jobs ? each : most), null);

/** The first day of the month or quarter of a day written yyyy-mm-dd. */
export function periodOf(day: string, period: TrendPeriod): string {
  const month = Number(day.slice(5, 7));
  const first = period === 'month' ? month : month - ((month - 1) % 3);
  return `${day.slice(0, 4)}-${String(first).padStart(2, '0')}-01`;
}

/** Shares by part and month or quarter received, as control charts take them. */
export const fleetPeriods = (
  judged: readonly JudgedJob[],
  split: FleetSplit,
  period: TrendPeriod,
  what: Counted,
): readonly TrendRow[] =>
  [...grouped(judged, (each) => partOf(each, split))]
    .sort(([a], [b]) => byText(a, b))
    .flatMap(([part, own]) =>
      [...grouped(own, ({ job }) => periodOf(job.received_on, period))]
        .sort(([a], [b]) => byText(a, b))
        .map(([first, some]) => {
          const k = some.filter((each) => counts(each, what)).length;
          const n = some.length;
          return { part, period: first, n, k, mean: k / n, median: k / n < 0.5 ? 0 : k / n > 0.5 ? 1 : 0.5 };
        }),
    );
