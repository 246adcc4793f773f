import { z } from 'zod';
import { wilson } from '../../stats/wilson';

/** Cells of answers. Counts are cast to INTEGER and days to VARCHAR in SQL, so that a row is plain numbers and text. */
export const int = z.int();
export const real = z.number();
export const maybeReal = z.number().nullable();
export const maybeInt = z.int().nullable();
export const text = z.string();
export const maybeText = z.string().nullable();
/** A day as yyyy-mm-dd; of a quarter, its first day. */
export const day = z.string();
export const verdict = z.enum(['in', 'out', 'cannot tell', 'not measured']);
export const answer = z.enum(['yes', 'no', 'not counted']);
/** Where closure is set; empty where the jobs told together differ. */
export const adjuster = z.enum(['barrel_shim', 'tappet_shim', 'tappet_screw']);
export const yesNo = z.enum(['yes', 'no']);

export type Verdict = z.infer<typeof verdict>;
export type Answer = z.infer<typeof answer>;

/** How high the stack of a row of shims holds its barrel [mm], of a split pair the mean of its halves, as lib/calc has it. */
export const stackHeight = (when: 'before' | 'after', table = ''): string => {
  const [first, second] = [`${table}${when}_mm`, `${table}${when}_second_mm`];
  return `coalesce((${first} + ${second}) / 2, ${first}, ${second})`;
};

/** A share with its Wilson score interval; all three are empty where nothing was counted. */
export interface Rate {
  /** Successes. */
  readonly k: number;
  /** Counted in all. */
  readonly n: number;
  /** k / n, 0 to 1. */
  readonly share: number | null;
  readonly low: number | null;
  readonly high: number | null;
}

/** The rate of k in n with its interval at 95 % confidence. */
export function rate(k: number, n: number): Rate {
  if (n === 0) return { k, n, share: null, low: null, high: null };
  const { low, high } = wilson(k, n);
  return { k, n, share: k / n, low, high };
}

/** The adjuster of a specification `s`: shims under the barrel where it names none. */
export const ADJUSTER = `coalesce(s.adjuster, 'barrel_shim')`;
/** The same over a group of jobs, empty where they differ. */
export const ONE_ADJUSTER = `case when count(distinct ${ADJUSTER}) = 1 then min(${ADJUSTER}) end`;

/** Day received as text. */
export const RECEIVED = 'received_on::varchar as received_on';

/**
 * The quartiles, median and count of an expression, as columns of an aggregate. One aggregate written three times is worked out
 * once, in half the time of three.
 */
export const middleHalf = (expression: string): string => `
    count(${expression})::integer as n,
    quantile_cont(${expression}, [0.25, 0.5, 0.75])[1]::double as q1,
    quantile_cont(${expression}, [0.25, 0.5, 0.75])[2]::double as median,
    quantile_cont(${expression}, [0.25, 0.5, 0.75])[3]::double as q3`;
export const middleHalfRow = { n: int, q1: real, median: real, q3: real } as const;

/** The 10th, 50th and 90th percentile and count of an expression, as columns of an aggregate. */
export const eightInTen = (expression: string): string => `
    count(${expression})::integer as n,
    quantile_cont(${expression}, [0.1, 0.5, 0.9])[1]::double as p10,
    quantile_cont(${expression}, [0.1, 0.5, 0.9])[2]::double as median,
    quantile_cont(${expression}, [0.1, 0.5, 0.9])[3]::double as p90`;
export const eightInTenRow = { n: int, p10: real, median: real, p90: real } as const;

/** The job that a page shows, by its card number in $1. */
export const THIS_JOB = 'job_no = (select job_no from jobs where job_id = $1::varchar)';

/**
 * The same of the log's own tables, whose rows carry the job's name: a number would be looked up for every row of the log before the
 * job's are told from the others.
 */
export const ROWS_OF_THIS_JOB = 'job_id = $1::varchar';
