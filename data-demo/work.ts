import type { Faults } from './faults';
import type { Pump } from './pump';
import type { Dice } from './random';
import type { CleanRows, JobTable } from './rows';
import type { Sheet } from './sheets';
import type { Bench, Shop, Technician } from './shop';

/** One job under way: who does it, where, to which sheet, and what has been written down so far. */
export interface Work {
  readonly job_id: string;
  readonly pump: Pump;
  readonly sheet: Sheet;
  readonly bench: Bench;
  readonly technician: Technician;
  readonly shop: Shop;
  readonly faults: Faults;
  readonly chance: Dice;
  readonly rows: CleanRows<JobTable>;
  /** Where this job's lines begin in the table of parts. */
  readonly firstPart: number;
  /** The day on which the work stands, and how many minutes of it are gone. */
  day: number;
  minutes: number;
  benchMinutes: number;
  /** Barrels or tappets that came out for a shim, barrels turned, and measurements beyond the first, for the hours. */
  reshimmed: number;
  turned: number;
  repeats: number;
}

export function spend(work: Work, minutes: number): void {
  work.minutes += minutes;
  work.benchMinutes += minutes;
}

/** Runs after which nobody goes on. */
export const LAST_RUN = 4;

/** Whether the customer or the clock puts an end to corrections after `run`. */
export const givesUp = (work: Work, run: number): boolean => run >= LAST_RUN || (run >= 2 && work.chance.chance(0.12));

export type Verdict = 'in' | 'out' | 'not measured';

export function together(verdicts: readonly Verdict[]): Verdict {
  if (verdicts.includes('out')) return 'out';
  return verdicts.includes('not measured') ? 'not measured' : 'in';
}
