import { type Difference, FEWEST_PUMPS, FEWEST_ROWS } from './compare';
import type { History } from './history';
import { pumpsOf, type Pieces } from './observations';
import { broughtIn } from './robust';
import type { Factor, Measure } from './types';

/** Elements against the others of their own pump: the pump is its own measure, so that nothing else need be held even. */
export interface Paired {
  readonly measure: Measure;
  readonly n: number;
  readonly job: Int32Array;
  readonly element: Int32Array;
  readonly y: Float64Array;
  readonly model: Int32Array;
  readonly serial: Int32Array;
  /** One more than the largest number of a pump. */
  readonly pumps: number;
  readonly piece: Int32Array;
  /** Where the rows of each job begin, and the end. */
  readonly starts: readonly number[];
  readonly kinds: readonly { readonly model: number; readonly element: number }[];
  /** Rows of an element with nothing left out, by `elementKey`: made at their first use. */
  readonly made: Map<number, readonly PairedRow[]>;
}

export function pairedObservations(measure: Measure, history: History, pieces: Pieces): Paired {
  const rows =
    measure === 'phase error as first measured'
      ? { job: history.elements.job, element: history.elements.element, y: history.elements.error_deg }
      : { job: history.retentions.job, element: history.retentions.element, y: history.retentions.deficit };
  const order = Array.from(rows.job, (_, i) => i)
    .filter((i) => (rows.job[i] ?? -1) >= 0 && Number.isFinite(rows.y[i]))
    .sort((a, b) => (rows.job[a] ?? 0) - (rows.job[b] ?? 0) || (rows.element[a] ?? 0) - (rows.element[b] ?? 0));
  const job = Int32Array.from(order, (i) => rows.job[i] ?? 0);
  const element = Int32Array.from(order, (i) => rows.element[i] ?? 0);
  const of = (column: Int32Array): Int32Array => job.map((place) => column[place] ?? 0);
  const model = of(history.jobs.model);
  const starts: number[] = [];
  job.forEach((place, i) => {
    if (i === 0 || place !== job[i - 1]) starts.push(i);
  });
  starts.push(job.length);
  const kinds = new Map<string, { model: number; element: number }>();
  model.forEach((m, i) => kinds.set(`${m} ${element[i] ?? 0}`, { model: m, element: element[i] ?? 0 }));
  return {
    measure,
    n: job.length,
    job,
    element,
    y: Float64Array.from(order, (i) => rows.y[i] ?? Number.NaN),
    model,
    serial: of(history.jobs.serial),
    pumps: pumpsOf(history.jobs),
    piece: of(pieces.ofJob),
    starts,
    kinds: [...kinds.values()].sort((a, b) => a.model - b.model || a.element - b.element),
    made: new Map(),
  };
}

export interface PairedRow {
  readonly job: number;
  readonly serial: number;
  readonly piece: number;
  readonly own: number;
  readonly others: number;
}

interface Which {
  readonly model: number;
  readonly level: number;
  readonly factor: Factor;
  readonly from: number;
  readonly to: number;
}

/** Elements that were found already, as `model * 100 + element`: they do not count among the others. */
export const elementKey = (model: number, element: number): number => model * 100 + element;

function makeRows(paired: Paired, model: number, level: number, foundAlready: ReadonlySet<number>): PairedRow[] {
  const rows: PairedRow[] = [];
  for (let k = 0; k + 1 < paired.starts.length; k += 1) {
    const start = paired.starts[k] ?? 0;
    const end = paired.starts[k + 1] ?? 0;
    if (paired.model[start] !== model) continue;
    let [own, sum, n] = [Number.NaN, 0, 0];
    for (let i = start; i < end; i += 1) {
      const element = paired.element[i] ?? 0;
      if (element === level) own = paired.y[i] ?? Number.NaN;
      else if (!foundAlready.has(elementKey(model, element))) {
        sum += paired.y[i] ?? 0;
        n += 1;
      }
    }
    if (n === 0 || !Number.isFinite(own)) continue;
    const [job, serial, piece] = [paired.job[start] ?? 0, paired.serial[start] ?? 0, paired.piece[start] ?? 0];
    rows.push({ job, serial, piece, own, others: sum / n });
  }
  return rows;
}

/** One row a job: the element, and the mean of the others. */
export function pairedRows(
  paired: Paired,
  { model, level, from, to }: Which,
  leftOut: Uint8Array | null,
  foundAlready: ReadonlySet<number> = new Set(),
): readonly PairedRow[] {
  const key = elementKey(model, level);
  const plain = foundAlready.size === 0;
  const rows = (plain ? paired.made.get(key) : undefined) ?? makeRows(paired, model, level, foundAlready);
  if (plain) paired.made.set(key, rows);
  return rows.filter(({ job, piece }) => piece >= from && piece < to && leftOut?.[job] !== 1);
}

/**
 * Mean of the element less the others of its pump, wild readings brought in; its error over pumps, visits of one pump taken
 * together. Null for fewer than 8 pumps.
 */
export function pairedDifference(
  paired: Paired,
  at: Which,
  leftOut: Uint8Array | null,
  foundAlready: ReadonlySet<number> = new Set(),
): Difference | null {
  const rows = pairedRows(paired, at, leftOut, foundAlready);
  if (rows.length < FEWEST_ROWS) return null;
  const n = rows.length;
  const apart = new Float64Array(n);
  let [others, serials, variance, value] = [0, 0, 0, 0];
  for (const [i, row] of rows.entries()) {
    apart[i] = row.own - row.others;
    others += row.others / n;
  }
  const tame = broughtIn(apart);
  for (const d of tame) value += d / n;
  const byPump = new Float64Array(paired.pumps).fill(Number.NaN);
  for (const [i, { serial }] of rows.entries()) {
    const before = byPump[serial] ?? Number.NaN;
    if (Number.isNaN(before)) serials += 1;
    byPump[serial] = (Number.isNaN(before) ? 0 : before) + ((tame[i] ?? 0) - value) / n;
  }
  if (serials < FEWEST_PUMPS) return null;
  for (const part of byPump) if (!Number.isNaN(part)) variance += part * part;
  return {
    value,
    error: Math.sqrt((variance * serials) / (serials - 1)),
    freedom: serials - 1,
    group: others + value,
    rest: others,
    groupWorth: n,
    restWorth: n,
    nGroup: n,
    nRest: n,
    serials,
    weight: n / 2,
  };
}
