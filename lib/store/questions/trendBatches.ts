import { z } from 'zod';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question, type Question } from '../question';
import { numbersIn, numbersOf } from './returnVisits';
import { day, text } from './rows';
import { BATCH_PARTS, measured, trendSeries, type TrendSeries } from './trendPeriods';

/** What the jobs that had stacks of one shim batch say of a series. */
export interface BatchValues {
  readonly batch: string;
  /** Days received of its first and its last job. */
  readonly first: string;
  readonly last: string;
  /** One a job; 0 or 1 of a share. */
  readonly values: readonly number[];
}

const row = z
  .object({ batch: text, first: day, last: day, values: text })
  .transform(({ values, ...rest }): BatchValues => ({ ...rest, values: numbersOf(values) }));

/** The picked jobs' figures by shim batch, in the order of first use: a batch is used up before it makes a chart of quarters. */
export const trendBatchesOf = Object.fromEntries(
  trendSeries.map((series) => [
    series,
    question<Filters, BatchValues>(
      `trendBatches ${series}`,
      row,
      filterValues,
      `with ${PICKED_JOBS}, ${measured[series]}, ${BATCH_PARTS}
      select b.part as batch, min(p.received_on)::varchar as first, max(p.received_on)::varchar as last,
        ${numbersIn('m.value', 'p.job_no')} as values
      from picked p join measured m on m.job_no = p.job_no join parts b on b.job_no = p.job_no
      where m.value is not null group by b.part order by min(p.received_on), b.part`,
    ),
  ]),
) as Readonly<Record<TrendSeries, Question<Filters, BatchValues>>>;
