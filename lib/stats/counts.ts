import normalQuantile from '@stdlib/stats-base-dists-normal-quantile';

/** So many of so many: cases with the mark, of all that were counted. */
export interface Proportion {
  readonly successes: number;
  readonly trials: number;
}

/** Whether the counts make a proportion: whole numbers, at least one trial, no more successes than trials. */
export const isProportion = ({ successes, trials }: Proportion): boolean =>
  Number.isInteger(successes) && Number.isInteger(trials) && trials >= 1 && successes >= 0 && successes <= trials;

/** Whether a confidence lies between 0 and 1, both left out. */
export const isConfidence = (confidence: number): boolean => confidence > 0 && confidence < 1;

/** Standard normal quantile of a two-sided interval at `confidence` (0.95: 1.96). */
export const normalFactor = (confidence: number): number => normalQuantile((1 + confidence) / 2, 0, 1);
