import type { Choices } from './types';

/** The figures that the estimate goes by; all are ours, common practice or none, and stand in docs/quote.md. */

/** After so many years a job counts half. */
export const HALF_LIFE_YEARS = 3;
/** A group's parent counts as many jobs finished today in the group's middle. */
export const PARENT_JOBS = 2;
/** With fewer jobs a group tells no middle of its own. */
export const FEWEST_JOBS = 3;
/** A model's own misses set a range from this times the weight that bounds it; until then they are too few to tell its ends well. */
export const OWN_TIMES = 2;
/** A complaint's offset is drawn towards none as by so many jobs. */
export const COMPLAINT_JOBS = 40;
/** A branch's offset is drawn towards none as by so many jobs. */
export const BRANCH_JOBS = 80;
/** A slope needs so many jobs for each thing read. */
export const JOBS_A_FEATURE = 60;
/** Slopes of days are drawn towards none as by so many jobs for each thing read: days stray nearly three times as far as hours, and of what they follow less is seen. */
export const DAYS_SLOPE_JOBS = 100;
/** Misses beyond a factor of two count as two in what features do, and features together move the middle by no more. */
export const MOST_ADJUSTMENT = Math.LN2;
/** A rate or a share is told for a group from so many jobs on. */
export const FEWEST_FOR_RATE = 20;
/** Days are told from the last so many jobs of a group. */
export const LAST_JOBS = 200;
/** Jobs finished within so many days before the log's last one tell the drift, from so many jobs on. */
export const DRIFT_DAYS = 365;
export const FEWEST_FOR_DRIFT = 10;
/** A drift is called one from so much on, the last place in which it is written: less is shown as 0 %. */
export const LEAST_DRIFT = 0.01;
/** Engine hours are like when they differ by no more than this factor. */
export const LIKE_HOURS = 4 / 3;

/** By how many jobs what complaint, branch and readings add is drawn towards none; of days. */
export const DRAWING = {
  ...{ complaintJobs: COMPLAINT_JOBS, branchJobs: BRANCH_JOBS, jobsAFeature: JOBS_A_FEATURE },
  slopeJobs: 0,
} as const;
export const DAYS_DRAWING = { ...DRAWING, slopeJobs: DAYS_SLOPE_JOBS } as const;

/** The choices with what was left out filled in. */
export const filled = (choices: Choices): Required<Choices> => ({
  today: choices.today,
  currency: choices.currency,
  hourRate: choices.hourRate ?? null,
  partsIndexPerYear: choices.partsIndexPerYear ?? 0,
  halfLifeYears: choices.halfLifeYears ?? HALF_LIFE_YEARS,
});
