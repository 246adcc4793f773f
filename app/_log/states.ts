import type { FileReport, ReplaceAnswer } from '../../lib/store/load';
import type { Replacements } from '../../lib/store/replacements';
import type { MixAnswer, Mixing } from './apart';
import type { Arrived, CameCounts } from './incoming';

/** What the open log tells those who listen to it. */

/** What a load waits to hear from the person. */
export type Question =
  | {
      /** Whether it may replace rows of the log. */
      readonly about: 'rows';
      readonly replacements: Replacements;
      readonly answer: (answer: ReplaceAnswer) => void;
    }
  | {
      /** Whether it may bring the demo log and files of a shop's own together. */
      readonly about: 'mixing';
      readonly mixing: Mixing;
      readonly answer: (answer: MixAnswer) => void;
    };

export type LogState =
  | { readonly phase: 'empty' }
  | { readonly phase: 'starting' }
  | { readonly phase: 'loading'; readonly file: string | null; readonly share: number | null; readonly step: string }
  | { readonly phase: 'asking'; readonly question: Question }
  | { readonly phase: 'calculating'; readonly done: number; readonly total: number }
  | { readonly phase: 'open' }
  | { readonly phase: 'failed'; readonly message: string };

export interface LoadReport {
  readonly files: readonly FileReport[];
  /** What was read of them, as a person counts. */
  readonly counts: CameCounts;
  readonly recalculated: number;
  readonly unchanged: number;
  /** Whether the calculation was called off before all jobs were done. */
  readonly cancelled: boolean;
  /** Files that were refused and look like sheets of a shop's own, which a mapping could read. */
  readonly foreign: readonly Arrived[];
}

export interface LogSnapshot {
  readonly state: LogState;
  /** Rises whenever what the log holds, or what was worked out from it, has changed. */
  readonly version: number;
  /** Rises with rows that were added beside the pages: no result and hardly a question rests on them. */
  readonly beside: number;
  readonly report: LoadReport | null;
  /** A log is kept and was not opened: its opening was called off or failed. */
  readonly unopened: boolean;
}

/** Before anything is begun: what the pages were written with, and so what they have to take hold of their parts with. */
export const AT_FIRST: LogSnapshot = {
  state: { phase: 'empty' },
  version: 0,
  beside: 0,
  report: null,
  unopened: false,
};
