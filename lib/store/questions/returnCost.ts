import { group, sum } from 'd3-array';
import { z } from 'zod';
import { ofOneModel, PICKED_JOBS } from '../filters';
import { question } from '../question';
import { earlyValues, type EarlyArgs } from './earlyReturns';
import { EARLY, WATCHED } from './returnVisits';
import { int, maybeText, real, text } from './rows';

/** Hours of labour that second visits took; of the bench where labour is not written down. */
export interface ReturnHours {
  /** Early returns, and those of them that were marked as warranty: the shop's own word that it was at fault. */
  readonly returns: number;
  readonly warranty: number;
  /** Hours: of the marked ones, and of all. */
  readonly low: number;
  readonly high: number;
  /** Second visits without hours on the card. */
  readonly unknown: number;
}

/** Cost of the parts of second visits in one currency: of those marked as warranty, and of all. */
export interface ReturnParts {
  /** Null where the card names none. */
  readonly currency: string | null;
  /** Second visits with a cost. */
  readonly n: number;
  readonly low: number;
  readonly high: number;
}

const row = z.object({
  ...{ pump_model: text, currency: maybeText, returns: int, warranty: int, low: real, high: real, unknown: int },
  ...{ n: int, parts_low: real, parts_high: real },
});
export type CostOfModel = z.infer<typeof row>;

/** What second visits took and cost, by model and the currency of the card. */
export const returnCost = question<EarlyArgs, CostOfModel>(
  'returnCost',
  row,
  earlyValues,
  `with ${PICKED_JOBS}, ${WATCHED}, ${EARLY},
  second as (select e.pump_model, b.currency, coalesce(b.warranty, false) as warranty, coalesce(b.labour_hours, b.bench_hours) as hours,
      b.parts_cost as cost
    from early e join jobs b on b.job_no = e.next_no)
  select pump_model, currency, count(*)::integer as returns, count_if(warranty)::integer as warranty,
    coalesce(sum(case when warranty then hours end), 0)::double as low, coalesce(sum(hours), 0)::double as high,
    count_if(hours is null)::integer as unknown, count(cost)::integer as n,
    coalesce(sum(case when warranty then cost end), 0)::double as parts_low, coalesce(sum(cost), 0)::double as parts_high
  from second group by pump_model, currency order by currency nulls last, pump_model`,
  ofOneModel,
);

/** Hours over all models and currencies, and the parts of each currency that has any. */
export function returnCostOf(rows: readonly CostOfModel[]): {
  readonly hours: ReturnHours;
  readonly parts: readonly ReturnParts[];
} {
  const hours = {
    returns: sum(rows, ({ returns }) => returns),
    warranty: sum(rows, ({ warranty }) => warranty),
    low: sum(rows, ({ low }) => low),
    high: sum(rows, ({ high }) => high),
    unknown: sum(rows, ({ unknown }) => unknown),
  };
  const parts = [...group(rows, ({ currency }) => currency)].map(([currency, models]) => ({
    currency,
    n: sum(models, ({ n }) => n),
    low: sum(models, ({ parts_low }) => parts_low),
    high: sum(models, ({ parts_high }) => parts_high),
  }));
  return { hours, parts: parts.filter(({ n }) => n > 0) };
}
