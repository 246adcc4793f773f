import { code } from '../layout';
import { IN, NOT_MEASURED, OUT } from './verdict';

export const YES = code('answer', 'yes');
export const NO = code('answer', 'no');
export const NOT_COUNTED = code('answer', 'not counted');

/** The run that decides first pass: the first measurement after assembly, before any correction. */
export const FIRST_RUN = 1;

/** First pass of a stage from its verdict at run 1: in is yes, out is no, anything else is not counted. */
export function stageFirstPass(firstVerdict: number): number {
  if (firstVerdict === IN) return YES;
  return firstVerdict === OUT ? NO : NOT_COUNTED;
}

/** First pass of two stages together: no where either is no, else not counted where either is not, else yes. */
export function bothPass(a: number, b: number): number {
  if (a === NO || b === NO) return NO;
  return a === NOT_COUNTED || b === NOT_COUNTED ? NOT_COUNTED : YES;
}

/**
 * What one job did, stage by stage: place 0 is timing and phasing, place 1 + k the specification's test point k. Used again
 * for every job; each array is as long as the largest specification needs.
 */
export class StageTally {
  readonly runs: Int32Array;
  readonly firstVerdict: Int32Array;
  readonly lastRun: Int32Array;
  readonly lastVerdict: Int32Array;
  readonly changes: Int32Array;
  readonly needless: Int32Array;

  constructor(stages: number) {
    this.runs = new Int32Array(stages);
    this.firstVerdict = new Int32Array(stages);
    this.lastRun = new Int32Array(stages);
    this.lastVerdict = new Int32Array(stages);
    this.changes = new Int32Array(stages);
    this.needless = new Int32Array(stages);
  }

  reset(): void {
    this.runs.fill(0);
    this.firstVerdict.fill(NOT_MEASURED);
    this.lastRun.fill(-1);
    this.lastVerdict.fill(NOT_MEASURED);
    this.changes.fill(0);
    this.needless.fill(0);
  }

  /** A run in which the stage was measured; runs come in ascending order. */
  addRun(stage: number, run: number, verdict: number): void {
    this.runs[stage] = (this.runs[stage] ?? 0) + 1;
    if (run === FIRST_RUN) this.firstVerdict[stage] = verdict;
    this.lastRun[stage] = run;
    this.lastVerdict[stage] = verdict;
  }

  /** Whether a stage was measured at all after assembly, so that what was read as received no longer speaks for the pump. */
  workedOn(): boolean {
    return this.lastRun.some((run) => run >= FIRST_RUN);
  }

  /** Verdict of a stage as left: that of its last run; not measured where that was as received and others went on. */
  leftVerdict(stage: number): number {
    const isStale = (this.lastRun[stage] ?? -1) < FIRST_RUN && this.workedOn();
    return isStale ? NOT_MEASURED : (this.lastVerdict[stage] ?? NOT_MEASURED);
  }

  /** An element changed after `run`, whose verdict is told. What is done before run 1 is the job itself, not rework. */
  addChange(stage: number, run: number, verdict: number): void {
    if (run < FIRST_RUN) return;
    this.changes[stage] = (this.changes[stage] ?? 0) + 1;
    if (verdict === IN) this.needless[stage] = (this.needless[stage] ?? 0) + 1;
  }
}
