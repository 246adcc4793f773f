/**
 * What a quote is asked with and what it answers. Figures not known are NaN in columns and null in what is asked and answered; a high end
 * that no past job bounds is Infinity and a low one 0, and the answer says that there is not enough data.
 */

/** Kinds of work as the log names them; any other text is a kind of its own. */
export type WorkType = string;

/** Columns of text whose names are numbered from 0; -1 stands for an empty cell. `job` names every row in turn. */
export const quoteNames = ['job', 'model', 'work', 'complaint', 'branch', 'currency', 'serial'] as const;
export type QuoteName = (typeof quoteNames)[number];

/** The shop's past jobs as columns of equal length, a row a job, in any order. Days are counted from 1970-01-01. */
export interface QuoteHistory {
  readonly names: Readonly<Record<QuoteName, readonly string[]>>;
  readonly model: Int32Array;
  readonly work: Int32Array;
  readonly complaint: Int32Array;
  readonly branch: Int32Array;
  readonly currency: Int32Array;
  readonly serial: Int32Array;
  /** Elements of the pump; models with as many elements are each other's kin. */
  readonly elements: Int32Array;
  /** Day received, and day finished: NaN while the job is open. */
  readonly received: Int32Array;
  readonly finished: Float64Array;
  /** Hours on the engine's meter, hours of labour [h]. */
  readonly engineHours: Float64Array;
  readonly labourHours: Float64Array;
  /** In the job's own currency, as written. */
  readonly partsCost: Float64Array;
  /** As received: largest phase error by size [deg], scatter at the light draw [percent], retention deficit and leak slope [mm3/stroke rpm]. */
  readonly phasingDeg: Float64Array;
  readonly scatterPercent: Float64Array;
  /** The worst element's: 1 - retention / baseline. */
  readonly retentionDeficit: Float64Array;
  readonly leakSlope: Float64Array;
  /** Whether the job had it: 1 yes, 0 no, -1 where the job does not tell. */
  readonly newBarrels: Int32Array;
  readonly camshaft: Int32Array;
  readonly rerun: Int32Array;
}

/** What stands on the counter. Only model and work are needed. */
export interface Asked {
  readonly model: string;
  readonly work: WorkType;
  /** Elements, where the log does not have the model; else the log's are used. */
  readonly elements?: number | null;
  readonly complaint?: string | null;
  readonly branch?: string | null;
  readonly engineHours?: number | null;
  readonly phasingDeg?: number | null;
  readonly scatterPercent?: number | null;
  readonly retentionDeficit?: number | null;
  readonly leakSlope?: number | null;
}

/** What the person sets; everything is told by its own answer again. */
export interface Choices {
  /** yyyy-mm-dd: the day the quote is for. Jobs count that were finished before it. */
  readonly today: string;
  /** Of parts and of the cost; null: jobs without a currency. */
  readonly currency: string | null;
  /** In that currency an hour; null: no cost is told. */
  readonly hourRate?: number | null;
  /** By how much parts rise a year: 0.03 is 3 percent. 0 where left out. */
  readonly partsIndexPerYear?: number;
  /** After so many years a job counts half. HALF_LIFE_YEARS where left out. */
  readonly halfLifeYears?: number;
}

export const COVERAGES = [0.5, 0.8, 0.95] as const;
export type Coverage = (typeof COVERAGES)[number];

/** From the nearest to the farthest. Kin are models with as many elements, in for the same work. */
export const levels = ['model and complaint', 'model', 'kin', 'work', 'all'] as const;
export type Level = (typeof levels)[number];

/** Jobs that are taken together. */
export interface Group {
  readonly level: Level;
  /** Null where the level spans them. */
  readonly model: string | null;
  readonly work: string | null;
  readonly elements: number | null;
  readonly complaint: string | null;
}

/** Why a figure is missing. */
export type NotEnough =
  | 'no past jobs'
  | 'too few past jobs'
  | 'too few models'
  | 'too many still open'
  | 'no clear difference'
  | 'no rate set';

export interface Range {
  readonly coverage: Coverage;
  /** Infinity or 0 (`notEnough` says why) where the jobs do not bound that side. */
  readonly low: number;
  readonly high: number;
  /** The jobs whose misses set the width. */
  readonly group: Group;
  readonly n: number;
  /** Sum of their weights, that of a job finished today being 1. */
  readonly effectiveN: number;
  /** Whether the width is another group's than the one that sets the middle. */
  readonly borrowed: boolean;
  readonly notEnough: NotEnough | null;
}

/** One group that the middle rests on, nearest first; weights add up to 1. */
export interface Layer {
  readonly group: Group;
  readonly n: number;
  readonly effectiveN: number;
  /** Its own middle (the mean of the middle half, by ratios), in the unit of the figure; of days the median, free of what was asked of its jobs. */
  readonly median: number;
  readonly weight: number;
}

export const features = [
  'complaint',
  'branch',
  'phasingDeg',
  'scatterPercent',
  'retentionDeficit',
  'engineHours',
] as const;
export type Feature = (typeof features)[number];

/** What one thing asked does to the middle: it is multiplied by `factor`; of days, parts and cost one more than the middle. */
export interface Adjustment {
  readonly feature: Feature;
  readonly factor: number;
  /** Jobs that this rests on. */
  readonly n: number;
}

/** Whether jobs of late took longer, or cost more, than they would have been quoted: as a factor, 1 is as quoted. */
export interface Drift {
  /** Null where fewer than FEWEST_FOR_DRIFT jobs tell. */
  readonly factor: number | null;
  readonly low: number | null;
  readonly high: number | null;
  /** Jobs of the group finished in the last DRIFT_DAYS days of the log. */
  readonly n: number;
  /** Whether 1 lies outside low to high. */
  readonly drifts: boolean;
}

export interface RangeSet {
  /** The middle that is quoted. Null where `notEnough` says why. */
  readonly median: number | null;
  /** One for each of COVERAGES. */
  readonly ranges: readonly Range[];
  readonly n: number;
  readonly effectiveN: number;
  /** The group that the middle is told for. */
  readonly group: Group;
  /** Whether that group is not the nearest, as there are too few such jobs (`nearestN`). */
  readonly borrowed: boolean;
  readonly nearestN: number;
  readonly notEnough: NotEnough | null;
  readonly layers: readonly Layer[];
  readonly adjustments: readonly Adjustment[];
  /** Null where no middle is told. */
  readonly drift: Drift | null;
  /** First and last day on which the group's jobs were finished (yyyy-mm-dd); null without a job. For days: were received. */
  readonly since: string | null;
  readonly until: string | null;
}

export const extraKinds = ['newBarrels', 'camshaft', 'rerun'] as const;
export type ExtraKind = (typeof extraKinds)[number];

/** A figure with the interval that it lies in. */
export interface Between {
  readonly figure: number;
  readonly low: number;
  readonly high: number;
}

/** What past jobs with an extra took more than those without it, of the same model in for the same work. */
export interface Added {
  /** Jobs that had it, and jobs without it that these are held against. */
  readonly n: number;
  readonly against: number;
  /** Medians with their intervals, which hold together at 95 %: labour [h], parts in the chosen currency in today's money. */
  readonly hours: Between | null;
  readonly parts: Between | null;
  /** Those hours at today's rate with those parts. Null where `notEnough` says why. */
  readonly cost: Between | null;
  readonly group: Group;
  readonly borrowed: boolean;
  readonly notEnough: NotEnough | null;
}

export interface ExtraChance {
  readonly kind: ExtraKind;
  /** Jobs that had it, of those that tell. */
  readonly k: number;
  readonly n: number;
  /** Share with its Wilson interval at 95 %; null where no job tells. */
  readonly share: number | null;
  readonly low: number | null;
  readonly high: number | null;
  readonly group: Group;
  readonly borrowed: boolean;
  /** Whether only jobs with like engine hours were counted (within LIKE_HOURS either way). */
  readonly likeHours: boolean;
  readonly added: Added;
}

export interface Estimate {
  readonly asked: Asked;
  readonly choices: Required<Choices>;
  /** Labour [h]. */
  readonly hours: RangeSet;
  /** In the chosen currency, in today's money. */
  readonly parts: RangeSet;
  /** Days from received to finished. */
  readonly days: RangeSet;
  /** Labour at the rate, and parts; in the chosen currency, in today's money. */
  readonly cost: RangeSet;
  readonly extra: readonly ExtraChance[];
}

export const targets = ['hours', 'parts', 'days', 'cost'] as const;
export type Target = (typeof targets)[number];

/** Plain ways to quote that the estimate has to beat. */
export const plainWays = [
  'mean of the model',
  'last five of the model',
  'median of all',
  'mean of model and work',
] as const;
export type PlainWay = (typeof plainWays)[number];

export interface Coverages {
  readonly coverage: Coverage;
  /** Past jobs that fell in their range, of those whose range was bounded. */
  readonly k: number;
  readonly n: number;
  readonly share: number | null;
  /** Wilson interval of the share at 95 %. */
  readonly low: number | null;
  readonly high: number | null;
  /** Jobs for which there was not enough data for a range. */
  readonly unbounded: number;
  /** Median of high less low over the bounded ranges, in the unit of the target. */
  readonly medianWidth: number | null;
}

export interface AgainstPlain {
  readonly way: PlainWay;
  /** Jobs that both ways could quote. */
  readonly n: number;
  /** Median absolute error of either over these jobs, in the unit of the target. */
  readonly own: number | null;
  readonly plain: number | null;
  /** Mean of (plain error - own error) over the jobs, each pair of the same job, with its 95 % interval; positive: ours is nearer. */
  readonly difference: number | null;
  readonly low: number | null;
  readonly high: number | null;
  /** yes: the interval is above 0; no: below 0; even: 0 lies within. */
  readonly beats: 'yes' | 'even' | 'no' | 'not enough data';
}

export interface TargetTest {
  readonly target: Target;
  /** Jobs that were quoted as they came in and are finished since. */
  readonly n: number;
  readonly medianError: number | null;
  readonly coverages: readonly Coverages[];
  readonly against: readonly AgainstPlain[];
  readonly byModel: readonly {
    readonly model: string;
    readonly n: number;
    readonly medianError: number | null;
    readonly coverages: readonly Coverages[];
  }[];
  readonly byYear: readonly {
    readonly year: number;
    readonly n: number;
    readonly medianError: number | null;
    readonly coverages: readonly Coverages[];
  }[];
}

/** Every past job quoted on the day it came in, from jobs finished before the first of that month. */
export interface BackTest {
  readonly choices: Required<Choices>;
  /** Jobs in the history, and those that were still open and could not be compared. */
  readonly jobs: number;
  readonly open: number;
  readonly tests: readonly TargetTest[];
}

/** What two jobs have in common or how they differ. `far` is 0 where alike, 1 where as far apart as counts. */
export interface Nearness {
  readonly feature: 'model' | 'kin' | 'work' | 'leakSlope' | Feature;
  readonly agrees: boolean;
  readonly far: number;
}

export interface SimilarJob {
  /** Row of the history. */
  readonly row: number;
  readonly job: string;
  readonly serial: string;
  readonly model: string;
  readonly work: string;
  readonly complaint: string | null;
  readonly branch: string | null;
  readonly receivedOn: string;
  readonly finishedOn: string;
  readonly yearsAgo: number;
  /** Sum over features; 0 is alike in all that is asked. */
  readonly distance: number;
  /** Of what is asked and known of the job. */
  readonly why: readonly Nearness[];
  /** As received, null where not read. */
  readonly engineHours: number | null;
  readonly phasingDeg: number | null;
  readonly scatterPercent: number | null;
  readonly retentionDeficit: number | null;
  readonly leakSlope: number | null;
  /** What came of it. */
  readonly extra: readonly ExtraKind[];
  readonly labourHours: number | null;
  /** As written, in `currency`; and in the chosen currency in today's money, null where the currency is another. */
  readonly partsCost: number | null;
  readonly currency: string | null;
  readonly partsToday: number | null;
  readonly days: number;
  /** Labour at today's rate and indexed parts; null without either. */
  readonly cost: number | null;
}

export interface Overrun {
  readonly price: number;
  /** Past jobs of the group that would have cost more, of those with hours and parts. */
  readonly k: number;
  readonly n: number;
  readonly share: number | null;
  readonly low: number | null;
  readonly high: number | null;
  readonly group: Group;
  readonly borrowed: boolean;
  readonly notEnough: NotEnough | null;
}

export interface PriceAt {
  /** Chance that the next job costs more, at most. */
  readonly chance: number;
  /** Null where the jobs are too few for so small a chance. */
  readonly price: number | null;
  /** Interval at 95 % of the price that truly holds it; ends open (0, Infinity) where the jobs do not bound them. */
  readonly low: number;
  readonly high: number;
  readonly n: number;
  readonly group: Group;
  readonly borrowed: boolean;
  readonly notEnough: NotEnough | null;
}
