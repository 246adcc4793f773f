import { deviation, mean } from 'd3-array';
import type { SamePumpElement, SamePumpFinding, SamePumpJob } from '../../store/questions/samePump';

/**
 * A pump that is here again, set beside its last repair: what speaks for a fault of that repair and what speaks for wear or another
 * cause. Nothing is weighed and no verdict given: the practitioner decides. Where a figure is missing its line is missing too.
 */

/** Engine hours up to which a pump was little used between two jobs: common practice, no source. */
export const FEW_HOURS = 1000;
/** Retention lower by less than this, from 0 to 1, is not told: reading small draws moves it as much (common practice, no source). */
export const LEAST_RETENTION = 0.02;
/** Leak slope greater by less than this share of what it was is not told (common practice, no source). */
export const LEAST_LEAK_SHARE = 0.1;
/** With fewer elements a scatter over them says nothing. */
export const FEWEST_ELEMENTS = 3;
/** How near a change of a stack comes to undoing the last one, to be told as moved back: a hundredth read on either side [mm]. */
export const MOVED_BACK_MM = 0.02;
/** Half of the last decimal of a stack: what is less is no change [mm]. */
const NO_CHANGE_MM = 0.005;

/** Findings that tell of something that was not measured. */
const LEFT_OUT: ReadonlySet<SamePumpFinding['finding']> = new Set([
  'element missing',
  'test point missing',
  'timing and phasing missing',
  'governor missing',
  'lift not read',
]);

export interface PumpHistory {
  /** In the order received. */
  readonly jobs: readonly SamePumpJob[];
  readonly elements: readonly SamePumpElement[];
  readonly findings: readonly SamePumpFinding[];
}

/** A figure of wear over the elements of a pump at one job, as received and as left. */
export interface Level {
  readonly received: number | null;
  readonly left: number | null;
}

export interface PumpVisit {
  readonly job: SamePumpJob;
  /** Engine hours since the job before it; null where either is not stated, or the meter went back. */
  readonly hours: number | null;
  /** Days from the day that the job before it left; null for the first. */
  readonly days: number | null;
  readonly sameComplaint: boolean;
  readonly shimsMoved: number;
  /** The largest change of a stack, with its sign [mm]. */
  readonly shimMost: number | null;
  readonly barrelsTurned: number;
  readonly turnedMost: number | null;
  readonly renewed: number;
  /** Means over the elements: low-speed retention 0 to 1, leak slope [mm3/stroke times rpm]. */
  readonly retention: Level;
  readonly leak: Level;
  /** Scatter over the elements at the light draw [percent]. */
  readonly scatter: Level;
  /** The largest rotation used since the last new barrel, with its sign [deg]. */
  readonly rotationUsed: number | null;
}

/** From what to what an indicator of wear went between the two jobs. */
export interface Worse {
  readonly from: number;
  readonly to: number;
  /** The change, of which worse is the direction told, and what it was held against; both in the indicator's own unit. */
  readonly change: number;
  readonly scatter: number;
  readonly n: number;
  /** Whether the earlier figures are as left; else as received, because the earlier job has none as left. */
  readonly since: 'left' | 'received';
}

export type RepairLine =
  | {
      readonly kind: 'same complaint';
      readonly then: string;
      readonly now: string;
      readonly months: number;
      readonly days: number;
      readonly hours: number | null;
    }
  | { readonly kind: 'back soon'; readonly months: number; readonly days: number; readonly hours: number | null }
  | { readonly kind: 'left out'; readonly finding: SamePumpFinding['finding']; readonly element: number | null }
  | {
      readonly kind: 'open finding';
      readonly finding: SamePumpFinding['finding'];
      readonly severity: SamePumpFinding['severity'];
    }
  | { readonly kind: 'left out of tolerance' }
  | {
      readonly kind: 'moved back';
      readonly elements: readonly { readonly element: number; readonly then: number; readonly now: number }[];
    }
  | { readonly kind: 'warranty' }
  | { readonly kind: 'worn, not noted'; readonly retention: number; readonly stated: number; readonly n: number };

export type OtherLine =
  | { readonly kind: 'hours run'; readonly hours: number; readonly few: number }
  | { readonly kind: 'other complaint'; readonly then: string; readonly now: string }
  | ({ readonly kind: 'retention lower' } & Worse)
  | ({ readonly kind: 'leak slope greater' } & Worse)
  | ({ readonly kind: 'scatter greater'; readonly point: string } & Worse)
  | {
      readonly kind: 'slot used up';
      readonly elements: readonly { readonly element: number; readonly used: number; readonly slot: number }[];
    }
  | { readonly kind: 'renewed now'; readonly elements: readonly number[] }
  | { readonly kind: 'proof stands' }
  | {
      readonly kind: 'worn, noted';
      readonly retention: number;
      readonly stated: number;
      readonly n: number;
      readonly note: string;
    };

export interface SamePump {
  readonly visits: readonly PumpVisit[];
  /** The last job before this one that was more than a test; null where there is none. */
  readonly repair: SamePumpJob | null;
  readonly fault: readonly RepairLine[];
  readonly other: readonly OtherLine[];
}

/**
 * Whether two complaints say the same: letters and figures alone, in small letters, as a set of words. So case, punctuation, order and a
 * word said twice do not matter; another word or another ending of it does. Null where either says nothing.
 */
export function sameComplaint(one: string | null, other: string | null): boolean | null {
  const [a, b] = [one, other].map(complaintWords);
  return a === undefined || b === undefined || a === '' || b === '' ? null : a === b;
}

const complaintWords = (complaint: string | null): string => {
  const words = (complaint ?? '')
    .normalize('NFKC')
    .toLowerCase()
    .split(/[^\p{L}\p{M}\p{N}]+/u);
  return [...new Set(words.filter((word) => word !== ''))].sort().join(' ');
};

const DAY_MS = 86_400_000;
const daysBetween = (from: string, to: string): number =>
  Math.round((Date.parse(`${to}T00:00:00Z`) - Date.parse(`${from}T00:00:00Z`)) / DAY_MS);

/** A day so many calendar months later; the last of its month where that month is shorter. */
function monthsAfter(day: string, months: number): string {
  const date = new Date(`${day}T00:00:00Z`);
  const at = date.getUTCDate();
  date.setUTCDate(1);
  date.setUTCMonth(date.getUTCMonth() + months);
  const last = new Date(Date.UTC(date.getUTCFullYear(), date.getUTCMonth() + 1, 0)).getUTCDate();
  date.setUTCDate(Math.min(at, last));
  return date.toISOString().slice(0, day.length);
}

const hoursBetween = (from: SamePumpJob, to: SamePumpJob): number | null => {
  const hours = from.engine_hours === null || to.engine_hours === null ? null : to.engine_hours - from.engine_hours;
  return hours === null || hours < 0 ? null : hours;
};

const present = (values: readonly (number | null)[]): number[] => values.filter((value) => value !== null);
const meanOf = (values: readonly (number | null)[]): number | null => mean(present(values)) ?? null;
const largest = (values: readonly (number | null)[]): number | null =>
  present(values).reduce<number | null>(
    (most, value) => (most === null || Math.abs(value) > Math.abs(most) ? value : most),
    null,
  );

function visitOf(job: SamePumpJob, before: SamePumpJob | null, shown: SamePumpJob, all: PumpHistory): PumpVisit {
  const elements = all.elements.filter(({ job_id }) => job_id === job.job_id);
  const moved = elements.map(({ shim_mm }) => shim_mm).filter((mm) => mm !== null && Math.abs(mm) >= NO_CHANGE_MM);
  const turned = elements.map(({ turned_deg }) => turned_deg).filter((deg) => deg !== null && deg !== 0);
  const over = (pick: (element: SamePumpElement) => number | null): number | null => meanOf(elements.map(pick));
  return {
    job,
    hours: before === null ? null : hoursBetween(before, job),
    days: before === null ? null : Math.max(0, daysBetween(before.left_on, job.received_on)),
    sameComplaint: job !== shown && sameComplaint(job.complaint, shown.complaint) === true,
    shimsMoved: moved.length,
    shimMost: largest(moved),
    barrelsTurned: turned.length,
    turnedMost: largest(turned),
    renewed: elements.filter(({ fitted }) => fitted).length,
    retention: { received: over((e) => e.retention_received), left: over((e) => e.retention_left) },
    leak: { received: over((e) => e.leak_received), left: over((e) => e.leak_left) },
    scatter: { received: job.scatter_received, left: job.scatter_left },
    rotationUsed: largest(elements.map((e) => e.rotation_used_deg)),
  };
}

/** One element at the repair and now; neither is there without the other. */
interface Pair {
  readonly then: SamePumpElement;
  readonly now: SamePumpElement;
}

/**
 * The change of an indicator by element from the repair to now as received: from as left where any element has that, else from as
 * received, and then without elements that the repair renewed. Told where the mean change goes the way of wear by more than the
 * changes scatter over the elements (their standard deviation), and by more than `least` of the mean before.
 */
function worsened(
  pairs: readonly Pair[],
  sign: 1 | -1,
  least: (before: number) => number,
  pick: {
    readonly received: (e: SamePumpElement) => number | null;
    readonly left: (e: SamePumpElement) => number | null;
  },
): Worse | null {
  const told = pairs.filter(({ now }) => pick.received(now) !== null);
  const since = told.some(({ then }) => pick.left(then) !== null) ? 'left' : 'received';
  const both = told.flatMap(({ then, now }) => {
    const [from, to] = [since === 'left' || !then.fitted ? pick[since](then) : null, pick.received(now)];
    return from === null || to === null ? [] : [{ from, to }];
  });
  if (both.length < FEWEST_ELEMENTS) return null;
  const from = mean(both, (each) => each.from) ?? NaN;
  const to = mean(both, (each) => each.to) ?? NaN;
  const scatter = deviation(both, (each) => each.to - each.from) ?? NaN;
  const change = to - from;
  return sign * change > Math.max(scatter, least(from)) ? { from, to, change, scatter, n: both.length, since } : null;
}

/**
 * Scatter over the elements is itself a standard deviation of n readings, which chance alone moves by 1 / sqrt(2 (n - 1)) of
 * itself (standard error of a standard deviation, normal readings).
 */
function scatterWorsened(then: SamePumpJob, now: SamePumpJob): OtherLine | null {
  if (then.light_point === null || then.light_point !== now.light_point || now.scatter_received === null) return null;
  const since = then.scatter_left === null ? 'received' : 'left';
  const from = then.scatter_left ?? then.scatter_received;
  const n = Math.min(then.elements, now.elements);
  if (from === null || n < FEWEST_ELEMENTS) return null;
  const scatter = Math.max(from, now.scatter_received) / Math.sqrt(2 * (n - 1));
  const change = now.scatter_received - from;
  return change > scatter
    ? { kind: 'scatter greater', point: now.light_point, from, to: now.scatter_received, change, scatter, n, since }
    : null;
}

/** Retention as left at the repair, held against what the sheet states of a sound element; null where it is no worse. */
function wornThen(repair: SamePumpJob, elements: readonly SamePumpElement[]) {
  const kept = present(elements.map(({ retention_left }) => retention_left));
  const stated = repair.stated_retention;
  if (stated === null || kept.length < FEWEST_ELEMENTS) return null;
  const retention = mean(kept) ?? NaN;
  const short = stated - retention;
  return short > Math.max(deviation(kept) ?? NaN, LEAST_RETENTION) ? { retention, stated, n: kept.length } : null;
}

const NOTED = /\b(worn|wear|wore|barrels?|plungers?)\b/iu;

function faultLines(
  repair: SamePumpJob,
  now: SamePumpJob,
  all: PumpHistory,
  pairs: readonly Pair[],
  months: number,
): RepairLine[] {
  const lines: RepairLine[] = [];
  const days = Math.max(0, daysBetween(repair.left_on, now.received_on));
  const hours = hoursBetween(repair, now);
  const soon = now.received_on <= monthsAfter(repair.left_on, months) && (hours === null || hours <= FEW_HOURS);
  if (soon) {
    if (sameComplaint(repair.complaint, now.complaint) === true) {
      lines.push({
        kind: 'same complaint',
        then: repair.complaint ?? '',
        now: now.complaint ?? '',
        months,
        days,
        hours,
      });
    } else lines.push({ kind: 'back soon', months, days, hours });
  }
  if (now.warranty === true) lines.push({ kind: 'warranty' });
  if (repair.as_left === 'out') lines.push({ kind: 'left out of tolerance' });
  for (const { finding, severity, element } of all.findings.filter(({ job_id }) => job_id === repair.job_id)) {
    lines.push(
      LEFT_OUT.has(finding) ? { kind: 'left out', finding, element } : { kind: 'open finding', finding, severity },
    );
  }
  const back = pairs.flatMap(({ then, now: here }) => {
    const [was, is] = [then.shim_mm, here.shim_mm];
    // Another barrel may ask for another stack.
    const undone =
      !here.fitted &&
      was !== null &&
      is !== null &&
      Math.abs(was) > MOVED_BACK_MM &&
      Math.abs(was + is) <= MOVED_BACK_MM + 1e-9;
    return undone ? [{ element: here.element, then: was, now: is }] : [];
  });
  if (back.length > 0) lines.push({ kind: 'moved back', elements: back });
  return lines;
}

function otherLines(repair: SamePumpJob, now: SamePumpJob, pairs: readonly Pair[]): OtherLine[] {
  const lines: OtherLine[] = [];
  const hours = hoursBetween(repair, now);
  if (hours !== null && hours > FEW_HOURS) lines.push({ kind: 'hours run', hours, few: FEW_HOURS });
  if (sameComplaint(repair.complaint, now.complaint) === false) {
    lines.push({ kind: 'other complaint', then: repair.complaint ?? '', now: now.complaint ?? '' });
  }
  const samePoints = pairs.filter(({ then, now: here }) => then.points === here.points);
  const retention = worsened(samePoints, -1, () => LEAST_RETENTION, {
    received: (e) => e.retention_received,
    left: (e) => e.retention_left,
  });
  if (retention !== null) lines.push({ kind: 'retention lower', ...retention });
  const sameRack = pairs.filter(({ then, now: here }) => then.leak_rack_mm === here.leak_rack_mm);
  const leak = worsened(sameRack, 1, (before) => LEAST_LEAK_SHARE * Math.abs(before), {
    received: (e) => e.leak_received,
    left: (e) => e.leak_left,
  });
  if (leak !== null) lines.push({ kind: 'leak slope greater', ...leak });
  const scatter = scatterWorsened(repair, now);
  if (scatter !== null) lines.push(scatter);
  const atEnd = pairs.flatMap(({ then: { element, rotation_used_deg: used, slot_deg: slot } }) =>
    used !== null && slot !== null && slot > 0 && Math.abs(used) >= slot / 2 ? [{ element, used, slot }] : [],
  );
  if (atEnd.length > 0) lines.push({ kind: 'slot used up', elements: atEnd });
  const renewed = pairs.filter(({ now: here }) => here.fitted).map(({ now: here }) => here.element);
  if (renewed.length > 0) lines.push({ kind: 'renewed now', elements: renewed });
  if (repair.as_left === 'in' && repair.breaking === 0 && repair.weakening === 0) lines.push({ kind: 'proof stands' });
  return lines;
}

/**
 * @param history the jobs of one pump; answers no lines where it has no repair before the job
 * @param id the job that is looked at
 * @param months how soon a return speaks for a fault of the repair, in calendar months from the day it left
 */
export function samePump(history: PumpHistory, id: string, months: number): SamePump {
  const { jobs, elements } = history;
  const at = jobs.findIndex(({ job_id }) => job_id === id);
  const now = jobs[at];
  if (now === undefined) return { visits: [], repair: null, fault: [], other: [] };
  const visits = jobs.map((job, i) => visitOf(job, jobs[i - 1] ?? null, now, history));
  const repair = jobs.slice(0, at).findLast(({ work_type }) => work_type !== 'test') ?? null;
  if (repair === null) return { visits, repair, fault: [], other: [] };
  const then = new Map(elements.filter(({ job_id }) => job_id === repair.job_id).map((each) => [each.element, each]));
  const pairs = elements.flatMap((each): Pair[] => {
    const before = then.get(each.element);
    return each.job_id === id && before !== undefined ? [{ then: before, now: each }] : [];
  });
  const fault = faultLines(repair, now, history, pairs, months);
  const other = otherLines(repair, now, pairs);
  const worn = wornThen(repair, [...then.values()]);
  const noted = repair.note !== null && NOTED.test(repair.note) ? repair.note : null;
  if (worn !== null && noted !== null) other.push({ kind: 'worn, noted', ...worn, note: noted });
  if (worn !== null && noted === null) fault.push({ kind: 'worn, not noted', ...worn });
  return { visits, repair, fault, other };
}
