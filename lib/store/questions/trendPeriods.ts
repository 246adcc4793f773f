import { z } from 'zod';
import { seasonOfMonth, seasons } from '../../find/observations';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question, type Question } from '../question';
import { sqlText } from '../database';
import { told } from '../tables';
import { readings } from './history';
import { day, int, real, text } from './rows';

/** What can be followed over time, a figure a job. */
export const trendSeries = ['first-pass', 'shims', 'retention', 'scatter', 'phasing', 'hours'] as const;
export type TrendSeries = (typeof trendSeries)[number];

/** By what the jobs are told apart; `none` tells them all together. */
export const trendSplits = [
  'none',
  'model',
  'bench',
  'branch',
  'work',
  'complaint',
  'season',
  'batch',
  'gauge',
  'element',
  'technician',
] as const;
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
export const measured: Readonly<Record<TrendSeries, string>> = {
  'first-pass': `measured as (select job_no, case when first_pass = 'yes' then 1 else 0 end as value from ${told('outcomes', 'job_no', 'first_pass')}
    where first_pass <> 'not counted')`,
  // All that was added, removed, raised or lowered in a job, whichever the run and the element.
  shims: `measured as (select job_no, sum(abs(made_mm)) as value from ${told('phasing', 'job_no', 'made_mm')} where made_mm is not null group by job_no)`,
  retention: `measured as (select job_no, avg(deficit) as value from received_wear where deficit is not null group by job_no)`,
  scatter: `measured as (select job_no, scatter_percent as value from light where run = 0)`,
  phasing: `measured as (select job_no, max(error_deg) - min(error_deg) as value from ${told('phasing', 'job_no', 'run', 'error_deg')}
    where run = 0 and error_deg is not null group by job_no having count(*) > 1)`,
  hours: `measured as (select job_no, bench_hours as value from jobs where bench_hours is not null)`,
};

/** The same an element, as `measured(job_no, element, value)`, of what is told of elements. */
const measuredElements: Partial<Readonly<Record<TrendSeries, string>>> = {
  shims: `measured as (select job_no, element, sum(abs(made_mm)) as value from ${told('phasing', 'job_no', 'element', 'made_mm')}
    where made_mm is not null group by job_no, element)`,
  retention: `measured as (select job_no, element, avg(deficit) as value from received_wear
    where deficit is not null group by job_no, element)`,
  // Errors are told against the reference, so that its own is 0 by definition.
  phasing: `measured as (select f.job_no, f.element, f.error_deg as value from ${told('phasing', 'job_no', 'run', 'element', 'error_deg')} f
    join jobs j on j.job_no = f.job_no join specs s on s.spec_no = j.spec_no
    where f.run = 0 and f.error_deg is not null and f.element <> split_part(s.firing_order, '-', 1)::integer)`,
};

/** What a series can be told apart by. */
export const splitsOf = (series: TrendSeries): readonly TrendSplit[] =>
  trendSplits.filter((split) => split !== 'element' || series in measuredElements);

const SEASON = `[${Array.from({ length: 12 }, (_, k) => sqlText(seasons[seasonOfMonth(k + 1)] ?? '')).join(', ')}][month(p.received_on)]`;
/** What a card tells of its job. */
const PART = `case $6::varchar when 'model' then p.pump_model when 'bench' then p.bench_id when 'branch' then p.branch
    when 'work' then p.work_type when 'complaint' then p.complaint when 'season' then ${SEASON}
    when 'technician' then p.technician else '' end`;
const PERIOD = `cast(case when $7::varchar = 'month' then date_trunc('month', p.received_on)
    else date_trunc('quarter', p.received_on) end as date)::varchar`;

const usedIn = (table: 'draws' | 'closures', runs = ''): string =>
  `select h.job_id, h.instrument_id as part from ${readings(table)}${runs}`;
/** The readings that a series rests on. */
const gauged: Readonly<Record<TrendSeries, readonly string[]>> = {
  'first-pass': [usedIn('closures'), usedIn('draws')],
  shims: [usedIn('closures')],
  retention: [usedIn('draws', ' and h.run = 0')],
  scatter: [usedIn('draws', ' and h.run = 0')],
  phasing: [usedIn('closures', ' and h.run = 0')],
  hours: [usedIn('closures'), usedIn('draws')],
};

/** What a job has several of, as `parts(job_no, part)`: it counts once with each. */
export const BATCH_PARTS = `parts as (select distinct job_no, batch as part from shims where batch is not null)`;
const gaugeParts = (
  series: TrendSeries,
): string => `parts as (select distinct j.job_no, u.part from (${gauged[series].join(' union ')}) u
    join job_numbers j on j.job_id = u.job_id)`;

/** An element as a part: those of two models have nothing in common but their number. */
const BEFORE_ELEMENT = ', element ';
/** The model of a part that is an element. */
export const modelOfElement = (part: string): string => part.slice(0, part.lastIndexOf(BEFORE_ELEMENT));

/** The picked jobs' figure by month or quarter received, part by part. Jobs without the part written down are left out. */
const asked = (name: string, figures: string, part: string, joined: string): Question<TrendArgs, TrendRow> =>
  question<TrendArgs, TrendRow>(
    `trendPeriods ${name}`,
    row,
    (args) => [...filterValues(args), args.split, args.period],
    `with ${PICKED_JOBS}, ${figures},
      told as (select ${part} as part, ${PERIOD} as period, m.value
        from picked p join measured m on m.job_no = p.job_no ${joined}
        -- Every statement takes the same values, whether it is told by $6 or not.
        where $6::varchar is not null)
      select part, period, count(*)::integer as n, (count(*) filter (where value = 1))::integer as k,
        avg(value)::double as mean, quantile_cont(value, 0.5)::double as median
      from told where part is not null and value is not null
      group by part, period order by part, period`,
  );

type Questions = Partial<Readonly<Record<TrendSplit, Question<TrendArgs, TrendRow>>>>;
const JOINED = 'join parts on parts.job_no = p.job_no';

const carded = Object.fromEntries(
  trendSeries.map((series) => [series, asked(series, measured[series], PART, '')]),
) as Readonly<Record<TrendSeries, Question<TrendArgs, TrendRow>>>;

const apart = Object.fromEntries(
  trendSeries.map((series): [TrendSeries, Questions] => {
    const ofElements = measuredElements[series];
    return [
      series,
      {
        batch: asked(`${series} batch`, `${measured[series]}, ${BATCH_PARTS}`, 'parts.part', JOINED),
        gauge: asked(`${series} gauge`, `${measured[series]}, ${gaugeParts(series)}`, 'parts.part', JOINED),
        ...(ofElements === undefined
          ? {}
          : {
              element: asked(
                `${series} element`,
                ofElements,
                `p.pump_model || ${sqlText(BEFORE_ELEMENT)} || m.element`,
                '',
              ),
            }),
      },
    ];
  }),
) as Readonly<Record<TrendSeries, Questions>>;

/** What answers a series told apart by a split. @throws RangeError for a split that the series has not */
export function trendPeriodsOf(series: TrendSeries, split: TrendSplit): Question<TrendArgs, TrendRow> {
  if (!splitsOf(series).includes(split)) throw new RangeError(`${series} is not told apart by ${split}`);
  return apart[series][split] ?? carded[series];
}
