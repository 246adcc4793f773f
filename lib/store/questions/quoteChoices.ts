import { z } from 'zod';
import { question } from '../question';
import { int, text } from './rows';

const row = z.object({ kind: z.enum(['complaint', 'branch', 'currency']), value: text, jobs: int });
export type QuoteChoice = z.infer<typeof row>;

/** Complaints beyond these are typed by hand. */
export const MOST_COMPLAINTS = 200;

/**
 * What a quote can be asked with beside model and work, with how many jobs of the whole log each has, most first. A complaint in
 * other capitals or blanks is the same complaint; it is told as it is written most often. Filters do not hold: a quote rests on the whole log.
 */
export const quoteChoices = question<null, QuoteChoice>(
  'quoteChoices',
  row,
  () => [],
  `with said as (
    select mode(trim(complaint) order by trim(complaint)) as value, count(*)::integer as jobs from jobs
    where trim(complaint) <> '' group by lower(trim(complaint))
    order by jobs desc, value limit ${MOST_COMPLAINTS}
  )
  select 'complaint' as kind, value, jobs from said
  union all
  select 'branch', trim(branch), count(*)::integer from jobs where trim(branch) <> '' group by trim(branch)
  union all
  select 'currency', upper(trim(currency)), count(*)::integer from jobs where trim(currency) <> '' group by upper(trim(currency))
  order by kind, jobs desc, value`,
);
