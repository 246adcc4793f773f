import { z } from 'zod';
import { PICKED_JOBS } from '../filters';
import { question } from '../question';
import { earlyValues, type EarlyArgs } from './earlyReturns';
import { EARLY, WATCHED } from './returnVisits';
import { int, maybeText, real } from './rows';

const SECOND = `second as (select b.* from early e join jobs b on b.job_no = e.next_no)`;

const hoursRow = z.object({
  /** Early returns, and those of them that were marked as warranty: the shop's own word that it was at fault. */
  returns: int,
  warranty: int,
  /** Hours of labour of the second visits: of the marked ones, and of all. */
  low: real,
  high: real,
  /** Second visits without hours on the card. */
  unknown: int,
});
export type ReturnHours = z.infer<typeof hoursRow>;

/** Hours of labour that second visits took; of the bench where labour is not written down. */
export const returnHours = question<EarlyArgs, ReturnHours>(
  'returnHours',
  hoursRow,
  earlyValues,
  `with ${PICKED_JOBS}, ${WATCHED}, ${EARLY}, ${SECOND}
  select count(*)::integer as returns, (count(*) filter (where warranty))::integer as warranty,
    coalesce(sum(coalesce(labour_hours, bench_hours)) filter (where warranty), 0)::double as low,
    coalesce(sum(coalesce(labour_hours, bench_hours)), 0)::double as high,
    (count(*) filter (where labour_hours is null and bench_hours is null))::integer as unknown
  from second`,
);

const partsRow = z.object({
  /** Empty where the card names none. */
  currency: maybeText,
  /** Second visits with a cost. */
  n: int,
  low: real,
  high: real,
});
export type ReturnParts = z.infer<typeof partsRow>;

/** Cost of the parts of second visits, each currency by itself: of those marked as warranty, and of all. */
export const returnParts = question<EarlyArgs, ReturnParts>(
  'returnParts',
  partsRow,
  earlyValues,
  `with ${PICKED_JOBS}, ${WATCHED}, ${EARLY}, ${SECOND}
  select currency, count(*)::integer as n, coalesce(sum(parts_cost) filter (where warranty), 0)::double as low,
    sum(parts_cost)::double as high
  from second where parts_cost is not null group by currency order by currency nulls last`,
);
