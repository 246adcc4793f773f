import { difference, FEWEST_ROWS, mayBeBeyond, pBeyond, type Difference, type Sides } from './compare';
import { pairedObservations, pairedDifference, type Paired } from './elements';
import type { History } from './history';
import { rules, USUAL_PART } from './measures';
import { observe, type Observations, type Pieces } from './observations';
import type { Factor, Measure } from './types';

/** One comparison: a level against all like it, of one model (-1: of all), in some pieces of the log's time. */
export interface Comparison {
  readonly measure: Measure;
  readonly factor: Factor;
  readonly level: number;
  readonly model: number;
  /** First piece, and the one after the last. */
  readonly from: number;
  readonly to: number;
}

export interface Tested extends Comparison {
  /** p of the difference being within what shops differ by anyway, and within the margin. */
  readonly pUsual: number;
  readonly pMargin: number;
}

/** All that is asked of one measure, made once. */
export interface Asked {
  readonly measure: Measure;
  readonly obs: Observations;
  /** Elements within their pump; null where the measure is not told by element. */
  readonly paired: Paired | null;
}

export function ask(measure: Measure, history: History, pieces: Pieces, technicians: boolean): Asked {
  const byElement = rules[measure].factors.includes('element');
  return {
    measure,
    obs: observe(measure, history, pieces, technicians),
    paired: byElement ? pairedObservations(measure, history, pieces) : null,
  };
}

/** Stretches of time that are compared: the whole log, each piece on to the end, each piece alone. */
export function windowsOf(count: number): readonly (readonly [number, number])[] {
  const windows: [number, number][] = [[0, count]];
  for (let k = 1; k < count; k += 1) windows.push([k, count]);
  for (let k = 0; k < count - 1; k += 1) windows.push([k, k + 1]);
  return windows;
}

/** Weight of a comparison below which its strata hold next to nothing on one side. */
const LEAST_WEIGHT = 5;
/** Comparisons that a quick look puts beyond this are not looked at closer: their p stands as 1. */
const LOOK_CLOSER = 0.05;

/** Rows of a comparison: group, rest, or neither. */
export function sidesOf(obs: Observations, at: Comparison, leftOut: Uint8Array | null): Sides {
  const sides = new Int8Array(obs.n).fill(-1);
  const levels = obs.levels.get(at.factor);
  if (levels === undefined) return sides;
  for (let i = 0; i < obs.n; i += 1) {
    const level = levels[i] ?? -1;
    const piece = obs.piece[i] ?? 0;
    if (level < 0 || piece < at.from || piece >= at.to) continue;
    if (at.model >= 0 && obs.model[i] !== at.model) continue;
    if (leftOut !== null && leftOut[obs.job[i] ?? 0] === 1) continue;
    sides[i] = level === at.level ? 1 : 0;
  }
  return sides;
}

/** What was found before and is held out of a comparison: its jobs, and elements of a model. */
export interface Out {
  readonly jobs: Uint8Array | null;
  readonly elements: ReadonlySet<number>;
}
export const nothingOut: Out = { jobs: null, elements: new Set() };

export function differenceAt(asked: Asked, at: Comparison, out: Out = nothingOut): Difference | null {
  if (at.factor === 'element') {
    return asked.paired === null ? null : pairedDifference(asked.paired, at, out.jobs, out.elements);
  }
  return difference(asked.obs, sidesOf(asked.obs, at, out.jobs));
}

export function tested(asked: Asked, at: Comparison, out: Out = nothingOut): Tested | null {
  const d = differenceAt(asked, at, out);
  if (d === null || d.nGroup < FEWEST_ROWS || d.nRest < FEWEST_ROWS) return null;
  const rule = rules[at.measure];
  const pUsual = pBeyond(d, rule.margin * USUAL_PART, rule);
  // What is not surely beyond half the margin is not beyond the whole.
  return { ...at, pUsual, pMargin: pUsual > LOOK_CLOSER ? 1 : pBeyond(d, rule.margin, rule) };
}

/** Sums over the strata of one model and piece, for one level. */
const CELL = { weight: 0, group: 1, rest: 2, groupPart: 3, restPart: 4, variance: 5, nGroup: 6, nRest: 7 } as const;
const CELLS = 8;

interface LevelSums {
  readonly cells: Float64Array;
  readonly models: number;
  readonly pieces: number;
}

function sumsByLevel(obs: Observations, levels: Int32Array, pieces: number, models: number): LevelSums[] {
  const most = levels.reduce((a, b) => Math.max(a, b), -1) + 1;
  const n = new Float64Array(obs.cells);
  const sum = new Float64Array(obs.cells);
  const squares = new Float64Array(obs.cells);
  const ng = new Float64Array(obs.cells * most);
  const sg = new Float64Array(obs.cells * most);
  for (let i = 0; i < obs.n; i += 1) {
    const level = levels[i] ?? -1;
    if (level < 0) continue;
    const s = obs.cell[i] ?? 0;
    const y = obs.tame[i] ?? 0;
    n[s] = (n[s] ?? 0) + 1;
    sum[s] = (sum[s] ?? 0) + y;
    squares[s] = (squares[s] ?? 0) + y * y;
    const k = s * most + level;
    ng[k] = (ng[k] ?? 0) + 1;
    sg[k] = (sg[k] ?? 0) + y;
  }
  const perModel = obs.cells / models;
  // Scatter of a model's work over all its years: a single stratum may hold too few rows to tell its own.
  const scatter = new Float64Array(obs.cells / pieces);
  for (let k = 0; k < scatter.length; k += 1) {
    let [about, rows] = [0, 0];
    for (let s = k * pieces; s < (k + 1) * pieces; s += 1) {
      if ((n[s] ?? 0) === 0) continue;
      about += (squares[s] ?? 0) - (sum[s] ?? 0) ** 2 / (n[s] ?? 1);
      rows += (n[s] ?? 0) - 1;
    }
    scatter[k] = rows > 0 ? Math.max(0, about) / rows : 0;
  }
  return Array.from({ length: most }, (_, level): LevelSums => {
    const cells = new Float64Array(models * pieces * CELLS);
    for (let s = 0; s < obs.cells; s += 1) {
      const g = ng[s * most + level] ?? 0;
      const r = (n[s] ?? 0) - g;
      if (g === 0 || r === 0) continue;
      const w = (g * r) / (g + r);
      const gs = sg[s * most + level] ?? 0;
      const at = (Math.floor(s / perModel) * pieces + (s % pieces)) * CELLS;
      const add = (what: number, value: number) => {
        cells[at + what] = (cells[at + what] ?? 0) + value;
      };
      add(CELL.weight, w);
      add(CELL.group, (w * gs) / g);
      add(CELL.rest, (w * ((sum[s] ?? 0) - gs)) / r);
      add(CELL.groupPart, (w * w) / g);
      add(CELL.restPart, (w * w) / r);
      add(CELL.variance, w * (scatter[Math.floor(s / pieces)] ?? 0));
      add(CELL.nGroup, g);
      add(CELL.nRest, r);
    }
    return { cells, models, pieces };
  });
}

/** The difference as a quick look has it: every row as if of a pump of its own. */
function glance({ cells, models, pieces }: LevelSums, { model, from, to }: Comparison): Difference | null {
  const total = new Float64Array(CELLS);
  for (let m = model < 0 ? 0 : model; m < (model < 0 ? models : model + 1); m += 1) {
    for (let piece = from; piece < to; piece += 1) {
      const at = (m * pieces + piece) * CELLS;
      for (let k = 0; k < CELLS; k += 1) total[k] = (total[k] ?? 0) + (cells[at + k] ?? 0);
    }
  }
  const of = (what: number): number => total[what] ?? 0;
  const weight = of(CELL.weight);
  if (of(CELL.nGroup) < FEWEST_ROWS || of(CELL.nRest) < FEWEST_ROWS || weight < LEAST_WEIGHT) return null;
  return {
    value: (of(CELL.group) - of(CELL.rest)) / weight,
    error: Math.sqrt(of(CELL.variance)) / weight,
    freedom: Infinity,
    group: of(CELL.group) / weight,
    rest: of(CELL.rest) / weight,
    groupWorth: weight ** 2 / of(CELL.groupPart),
    restWorth: weight ** 2 / of(CELL.restPart),
    nGroup: of(CELL.nGroup),
    nRest: of(CELL.nRest),
    serials: of(CELL.nGroup),
    weight,
  };
}

/** Whether a quick look leaves room for a difference: one error of a fifth less than seen, so that nothing near is passed over. */
function mayDiffer(d: Difference, asked: Asked): boolean {
  const rule = rules[asked.measure];
  if (rule.kind === 'rate') return mayBeBeyond(d, rule.margin * USUAL_PART, LOOK_CLOSER);
  const off = (rule.way === 'either' ? Math.abs(d.value) : d.value) - rule.margin * USUAL_PART;
  return off > d.error;
}

/** Counts and results of all comparisons of one measure. */
export interface Swept {
  readonly results: readonly Tested[];
  readonly tooFew: number;
}

export function sweep(asked: Asked, history: History, pieces: Pieces): Swept {
  const results: Tested[] = [];
  let tooFew = 0;
  const models = history.names.model.length;
  const windows = windowsOf(pieces.count);
  const note = (at: Comparison, look: () => boolean | null): void => {
    const near = look();
    const close = near === true ? tested(asked, at) : null;
    if (near === null || (near && close === null)) tooFew += 1;
    else results.push(close ?? { ...at, pUsual: 1, pMargin: 1 });
  };
  for (const [factor, levels] of asked.obs.levels) {
    const sums = sumsByLevel(asked.obs, levels, pieces.count, models);
    sums.forEach((level, number) => {
      // A batch is used up within months: to cut its time further tells nothing.
      for (const [from, to] of factor === 'shim batch' ? windows.slice(0, 1) : windows) {
        for (let model = -1; model < models; model += 1) {
          // With one model alone there is nothing to hold it apart from the whole.
          if (models === 1 && model === 0) continue;
          const at: Comparison = { measure: asked.measure, factor, level: number, model, from, to };
          note(at, () => {
            const seen = glance(level, at);
            return seen === null ? null : mayDiffer(seen, asked);
          });
        }
      }
    });
  }
  for (const { model, element } of asked.paired?.kinds ?? []) {
    for (const [from, to] of windows) {
      const at: Comparison = { measure: asked.measure, factor: 'element', level: element, model, from, to };
      note(at, () => true);
    }
  }
  return { results, tooFew };
}
