/** What the search for recurring faults is given and what it answers. Numbers not known are NaN. */

/** What jobs can have in common. `technician` takes part only where someone asks for it. */
export const factors = [
  'model',
  'element',
  'work type',
  'complaint',
  'bench',
  'branch',
  'shim batch',
  'gauge',
  'season',
  'technician',
] as const;
export type Factor = (typeof factors)[number];

/** What is compared. Rates are of jobs; the others are readings, each in a unit of its own. */
export const measures = [
  'timing and phasing fails first',
  'a test point fails first',
  'governor fails first',
  'comes back early',
  'shim changed the wrong way',
  'superseded revision',
  'gauge past its date',
  'phase error as first measured',
  'delivery as received',
  'low-speed retention deficit',
  'shim does what is marked',
  'bench hours',
] as const;
export type Measure = (typeof measures)[number];

export interface Level {
  readonly factor: Factor;
  readonly level: string;
}
export interface Side {
  readonly n: number;
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/** What a fault costs a year; where it is over, what it cost in all. */
export interface Cost {
  readonly over: boolean;
  /** How many jobs it touches. */
  readonly jobs: number;
  /** Hours of labour; null where too few jobs tell. */
  readonly hours: { readonly low: number; readonly high: number } | null;
  /** Parts, each currency by itself; null for cards without one. */
  readonly parts: readonly { readonly currency: string | null; readonly low: number; readonly high: number }[];
}

/** One recurring fault. */
export interface Found {
  /** Stays the same for the same fault: measure, model, factor and level. */
  readonly id: string;
  readonly measure: Measure;
  /** What the jobs behind it have in common, the narrowest last; the model, where it is of one model, first. */
  readonly where: readonly Level[];
  /** Surely more than matters, or more than chance alone would show. */
  readonly certainty: 'certain' | 'worth a look';
  /** Jobs (or elements) of the fault, and those like them without it. */
  readonly group: Side;
  readonly rest: Side;
  /** group less rest, with its interval at 95 %. */
  readonly difference: { readonly value: number; readonly low: number; readonly high: number };
  readonly p: number;
  /** After all comparisons of the search. */
  readonly adjusted: number;
  /** Day that it began, as yyyy-mm-dd, with the p-value of the change; null where it was there all the time. */
  readonly since: { readonly day: string; readonly p: number } | null;
  readonly until: string | null;
  /** What else could explain it, and how much of the difference is left with that held even. */
  readonly others: readonly { readonly level: Level; readonly left: number }[];
  readonly cost: Cost | null;
  /** Numbers of the jobs behind it. */
  readonly jobs: readonly number[];
  /** For its plot: one point a job (or a serial), in order of time. */
  readonly points: readonly {
    readonly job: number;
    readonly day: string;
    readonly value: number;
    readonly inGroup: boolean;
  }[];
}

export interface SearchAnswer {
  readonly found: readonly Found[];
  /** How many comparisons were made, and how many could not be since too few jobs were alike. */
  readonly comparisons: number;
  readonly tooFew: number;
  readonly jobs: number;
}
