import { emptyNames, quoteHistoryOf } from '../../lib/quote/history';
import type { Choices, QuoteHistory } from '../../lib/quote/types';
import { seededChance } from '../../lib/stats/shuffle';

/** Histories for tests, out of jobs written one by one. */

export interface Job {
  readonly model: string;
  readonly work?: string;
  readonly received: string;
  /** Null while it is open. */
  readonly finished?: string | null;
  readonly hours?: number;
  readonly parts?: number;
  readonly currency?: string | null;
  readonly complaint?: string | null;
  readonly branch?: string | null;
  readonly elements?: number;
  readonly engineHours?: number;
  readonly phasingDeg?: number;
  readonly scatterPercent?: number;
  readonly retentionDeficit?: number;
  readonly newBarrels?: number;
  readonly camshaft?: number;
  readonly rerun?: number;
  readonly job?: string;
}

const DAY_MS = 86_400_000;
export const dayNumber = (day: string): number => Date.parse(day) / DAY_MS;
export const dayText = (day: number): string => new Date(day * DAY_MS).toISOString().slice(0, 10);
/** So many days after a day. */
export const after = (day: string, days: number): string => dayText(dayNumber(day) + days);

export function historyOfJobs(jobs: readonly Job[]): QuoteHistory {
  const names = emptyNames();
  const number = (kind: keyof typeof names, name: string | null | undefined): number => {
    if (name === null || name === undefined) return -1;
    const had = names[kind].indexOf(name);
    return had >= 0 ? had : names[kind].push(name) - 1;
  };
  const ints = (of: (job: Job, k: number) => number) => Int32Array.from(jobs, of);
  const reals = (of: (job: Job) => number | undefined) => Float64Array.from(jobs, (job) => of(job) ?? NaN);
  names.job.push(...jobs.map(({ job }, k) => job ?? `J${String(k).padStart(6, '0')}`));
  const columns = {
    model: ints((job) => number('model', job.model)),
    work: ints((job) => number('work', job.work ?? 'recalibrate')),
    complaint: ints((job) => number('complaint', job.complaint)),
    branch: ints((job) => number('branch', job.branch)),
    currency: ints((job) => number('currency', job.currency === undefined ? 'EUR' : job.currency)),
    serial: ints((_, k) => number('serial', `S${k}`)),
    elements: ints((job) => job.elements ?? 6),
    received: ints((job) => dayNumber(job.received)),
    finished: reals((job) => (job.finished === null ? NaN : dayNumber(job.finished ?? after(job.received, 3)))),
    engine_hours: reals((job) => job.engineHours),
    labour_hours: reals((job) => job.hours),
    parts_cost: reals((job) => job.parts),
    phasing_deg: reals((job) => job.phasingDeg),
    scatter_percent: reals((job) => job.scatterPercent),
    retention_deficit: reals((job) => job.retentionDeficit),
    leak_slope: reals(() => NaN),
    new_barrels: ints((job) => job.newBarrels ?? -1),
    camshaft: ints((job) => job.camshaft ?? -1),
    rerun: ints((job) => job.rerun ?? -1),
  };
  return quoteHistoryOf(columns, names);
}

export const CHOICES: Choices = { today: '2025-01-01', currency: 'EUR', hourRate: 60, partsIndexPerYear: 0.03 };

/** Each hour of the list is one Heron's, a week apart, the last received two weeks before the day of `CHOICES`. */
export const weekly = (hours: readonly number[], more: Partial<Job> = {}): Job[] =>
  hours.map((each, k) => ({
    model: 'Heron',
    received: after(CHOICES.today, -7 * (hours.length - k) - 7),
    hours: each,
    parts: 10 * each,
    ...more,
  }));

export const normal = (chance: () => number): number =>
  Math.sqrt(-2 * Math.log(1 - chance())) * Math.cos(2 * Math.PI * chance());

const MODELS = ['Heron', 'Kestrel', 'Plover'] as const;

/** A small shop: three models, two kinds of work, hours that follow the phase error; the same seed gives the same jobs. */
export function shopOf(count: number, seed: number): Job[] {
  const chance = seededChance(seed);
  const pick = <T>(list: readonly T[], fallback: T): T => list[Math.floor(chance() * list.length)] ?? fallback;
  return Array.from({ length: count }, (_, k): Job => {
    const model = pick(MODELS, 'Heron');
    const work = chance() < 0.3 ? 'rebuild' : 'recalibrate';
    const received = after('2021-01-01', Math.floor((k * 1450) / count));
    const phasingDeg = chance() < 0.6 ? Math.abs(normal(chance)) : NaN;
    const base = (work === 'rebuild' ? 16 : 6) + MODELS.indexOf(model);
    const hours = base * (1 + 0.25 * (Number.isNaN(phasingDeg) ? 0.6 : phasingDeg)) * Math.exp(0.12 * normal(chance));
    return {
      model,
      work,
      received,
      finished: chance() < 0.03 ? null : after(received, 1 + Math.floor(12 * chance())),
      hours: Math.round(hours * 4) / 4,
      parts: work === 'rebuild' ? Math.round(300 + 400 * chance()) : chance() < 0.3 ? 0 : Math.round(30 * chance()),
      currency: chance() < 0.9 ? 'EUR' : 'SEK',
      complaint: pick(['leaks', 'knock', 'low power', null], null),
      elements: model === 'Heron' ? 6 : 4,
      engineHours: chance() < 0.8 ? Math.round(12_000 * chance()) : NaN,
      phasingDeg,
      newBarrels: work === 'rebuild' ? Number(chance() < 0.6) : 0,
      rerun: Number(chance() < 0.3),
      branch: pick(['Millrace', 'Northgate'], 'Millrace'),
    };
  });
}

/** A history of the rows told, in that order. */
export function rowsOf(history: QuoteHistory, rows: readonly number[]): QuoteHistory {
  const ints = (column: Int32Array) => Int32Array.from(rows, (row) => column[row] ?? -1);
  const reals = (column: Float64Array) => Float64Array.from(rows, (row) => column[row] ?? NaN);
  return {
    names: { ...history.names, job: rows.map((row) => history.names.job[row] ?? '') },
    model: ints(history.model),
    work: ints(history.work),
    complaint: ints(history.complaint),
    branch: ints(history.branch),
    currency: ints(history.currency),
    serial: ints(history.serial),
    elements: ints(history.elements),
    received: ints(history.received),
    finished: reals(history.finished),
    engineHours: reals(history.engineHours),
    labourHours: reals(history.labourHours),
    partsCost: reals(history.partsCost),
    phasingDeg: reals(history.phasingDeg),
    scatterPercent: reals(history.scatterPercent),
    retentionDeficit: reals(history.retentionDeficit),
    leakSlope: reals(history.leakSlope),
    newBarrels: ints(history.newBarrels),
    camshaft: ints(history.camshaft),
    rerun: ints(history.rerun),
  };
}
