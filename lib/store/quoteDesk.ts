import { z } from 'zod';
import { backtest } from '../quote/backtest';
import { quoteHistoryOf } from '../quote/history';
import { estimate } from '../quote/estimate';
import { prepareQuotes, type Prepared } from '../quote/prepare';
import { similarJobs } from '../quote/similar';
import type { Asked, BackTest, Choices, Estimate, Overrun, PriceAt, QuoteHistory, SimilarJob } from '../quote/types';
import { quoteNames } from '../quote/types';
import { overrun, priceAt } from '../quote/whatIf';
import type { NumberTable } from './numbers';

/** Quotes as the store sees them: the log's history is taken once, then asked as often as a person types. */

const known = z.number().nullable();
export const askedSchema = z.object({
  model: z.string(),
  work: z.string(),
  complaint: z.string().nullable(),
  branch: z.string().nullable(),
  engineHours: known,
  phasingDeg: known,
  scatterPercent: known,
  retentionDeficit: known,
  leakSlope: known,
});
export const choicesSchema = z.object({
  today: z.iso.date(),
  currency: z.string().nullable(),
  hourRate: known,
  partsIndexPerYear: z.number(),
});
export type QuoteAsked = z.infer<typeof askedSchema>;
export type QuoteChoices = z.infer<typeof choicesSchema>;

export const quoteNamesSchema = z.record(z.enum(quoteNames), z.array(z.string()));

export const quoteQuestion = z.object({ asked: askedSchema, choices: choicesSchema });
export type QuoteQuestion = z.infer<typeof quoteQuestion>;
export interface QuoteAnswer {
  readonly estimate: Estimate;
  readonly similar: readonly SimilarJob[];
}

export const priceQuestion = quoteQuestion.extend({
  /** In whole currency units, before tax; null where none is known yet. */
  price: known,
  /** Chance that a job costs more than the upper end of a range; at its lower end it is 1 less this. */
  chance: z.number().gt(0).lt(0.5),
  /** On top of the cost: 0.2 is 20 %. The ends of a range are costs with it. */
  margin: z.number().min(0),
});
export type PriceQuestion = z.infer<typeof priceQuestion>;
export interface PriceAnswer {
  readonly overrun: Overrun | null;
  /** Costs to the shop, without margin. */
  readonly low: PriceAt;
  readonly high: PriceAt;
  /** How often the upper end of the range, margin and all, would have lost money; null where there is no such end. */
  readonly overrunHigh: Overrun | null;
}

/** Answers for one state of the log. */
export class QuoteDesk {
  private readonly history: QuoteHistory;
  private prepared: { readonly key: string; readonly value: Prepared } | null = null;

  constructor(columns: NumberTable, names: QuoteHistory['names']) {
    this.history = quoteHistoryOf(columns, names);
  }

  /** The costly step is done anew only for other choices. */
  private prepare(choices: Choices): Prepared {
    const key = JSON.stringify(choices);
    if (this.prepared?.key !== key) this.prepared = { key, value: prepareQuotes(this.history, choices) };
    return this.prepared.value;
  }

  quote({ asked, choices }: { readonly asked: Asked; readonly choices: Choices }): QuoteAnswer {
    const prepared = this.prepare(choices);
    return { estimate: estimate(prepared, asked), similar: similarJobs(prepared, asked) };
  }

  price({ asked, choices, price, chance, margin }: PriceQuestion): PriceAnswer {
    const prepared = this.prepare(choices);
    const high = priceAt(prepared, asked, chance);
    return {
      overrun: price === null ? null : overrun(prepared, asked, price),
      low: priceAt(prepared, asked, 1 - chance),
      high,
      overrunHigh: high.price === null ? null : overrun(prepared, asked, high.price * (1 + margin)),
    };
  }

  test(choices: Choices): BackTest {
    return backtest(this.history, choices);
  }
}
