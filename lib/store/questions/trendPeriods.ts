import { z } from 'zod';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question, type Question } from '../question';
import { told } from '../tables';
import { day, int, real, text } from './rows';
import { LIGHT_POINTS } from './visitScatter';

/** What can be followed over time, a figure a job. */
export const trendSeries = ['first-pass', 'shims', 'retention', 'scatter', 'phasing', 'hours'] as const;
export type TrendSeries = (typeof trendSeries)[number];

/** By what the jobs are told apart; `none` tells them all together. */
export const trendSplits = ['none', 'model', 'bench', 'branch', 'work', 'complaint', 'technician'] as const;
export type TrendSplit = (typeof trendSplits)[number];

export const trendPeriods = ['month', 'quarter'] as const;
export type TrendPeriod = (typeof trendPeriods)[number];

export interface TrendArgs extends Filters {
  readonly split: TrendSplit;
  readonly period: TrendPeriod;
}

const row = z.object({
  /** What the jobs have in common: a model, a bench; empty text where all are told together. */
  part: text,
  /** First day of the month or quarter received. */
  period: day,
  /** Jobs with the figure. */
  n: int,
  /** Of all jobs with 0 or 1: how many have 1. */
  k: int,
  mean: real,
  median: real,
});
export type TrendRow = z.infer<typeof row>;

/** One value a job, as `measured(job_no, value)`, and what must stand before it. */
const measured: Readonly<Record<TrendSeries, string>> = {
  'first-pass': `measured as (select job_no, case when first_pass = 'yes' then 1 else 0 end as value from ${told('outcomes', 'job_no', 'first_pass')}
    where first_pass <> 'not counted')`,
  // All that was added, removed, raised or lowered in a job, whichever the run and the element.
  shims: `measured as (select job_no, sum(abs(made_mm)) as value from ${told('phasing', 'job_no', 'made_mm')} where made_mm is not null group by job_no)`,
  retention: `measured as (select job_no, avg(deficit) as value from deficits where run = 0 and deficit is not null group by job_no)`,
  scatter: `${LIGHT_POINTS},
    measured as (select job_no, scatter_percent as value from light where run = 0)`,
  phasing: `measured as (select job_no, max(error_deg) - min(error_deg) as value from ${told('phasing', 'job_no', 'run', 'error_deg')}
    where run = 0 and error_deg is not null group by job_no having count(*) > 1)`,
  hours: `measured as (select job_no, bench_hours as value from jobs where bench_hours is not null)`,
};

const PART = `case $6::varchar when 'model' then p.pump_model when 'bench' then p.bench_id when 'branch' then p.branch
    when 'work' then p.work_type when 'complaint' then p.complaint when 'technician' then p.technician else '' end`;
const PERIOD = `cast(case when $7::varchar = 'month' then date_trunc('month', p.received_on)
    else date_trunc('quarter', p.received_on) end as date)::varchar`;

/** The picked jobs' figure by month or quarter received, part by part. Jobs without the part written down are left out. */
export const trendPeriodsOf = Object.fromEntries(
  trendSeries.map((series) => [
    series,
    question<TrendArgs, TrendRow>(
      `trendPeriods ${series}`,
      row,
      (args) => [...filterValues(args), args.split, args.period],
      `with ${PICKED_JOBS}, ${measured[series]},
      told as (select ${PART} as part, ${PERIOD} as period, m.value from picked p join measured m on m.job_no = p.job_no)
      select part, period, count(*)::integer as n, (count(*) filter (where value = 1))::integer as k,
        avg(value)::double as mean, quantile_cont(value, 0.5)::double as median
      from told where part is not null and value is not null
      group by part, period order by part, period`,
    ),
  ]),
) as Readonly<Record<TrendSeries, Question<TrendArgs, TrendRow>>>;
