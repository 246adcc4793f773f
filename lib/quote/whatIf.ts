import { conformalUpper } from '../stats/conformal';
import { quantileInterval } from '../stats/quantiles';
import { wilson } from '../stats/wilson';
import { alikeRows } from './alike';
import { placeOfAsked } from './groups';
import type { Prepared } from './prepare';
import { FEWEST_FOR_RATE } from './settings';
import type { Asked, NotEnough, Overrun, PriceAt } from './types';

/** What a price would have come to over past jobs: labour at today's rate and parts in today's money. */

const whyNone = ({ choices }: Prepared, n: number): NotEnough | null =>
  choices.hourRate === null ? 'no rate set' : n === 0 ? 'no past jobs' : null;

/** The share of like past jobs that would have cost more than a price, with its Wilson interval at 95 %. */
export function overrun(prepared: Prepared, asked: Asked, price: number): Overrun {
  const place = placeOfAsked(prepared.history, asked);
  const { rows, group, borrowed } = alikeRows(prepared, place, asked, (row) => Number.isFinite(prepared.cost[row]));
  const n = rows.length;
  const k = rows.filter((row) => (prepared.cost[row] ?? NaN) > price).length;
  const interval = n === 0 ? null : wilson(k, n);
  return {
    price,
    k,
    n,
    share: n === 0 ? null : k / n,
    low: interval?.low ?? null,
    high: interval?.high ?? null,
    group,
    borrowed,
    notEnough: whyNone(prepared, n),
  };
}

/**
 * The lowest price that the next like job costs more than with a chance of `chance` at most: of n past costs the ceil((n + 1)(1 - chance))-th,
 * as in `conformalUpper`. Its interval is that of the quantile of these jobs (`quantileInterval`).
 * @param chance between 0 and 1
 */
export function priceAt(prepared: Prepared, asked: Asked, chance: number): PriceAt {
  const place = placeOfAsked(prepared.history, asked);
  // So small a chance takes so many jobs: with fewer none of them bounds it.
  const enough = Math.max(FEWEST_FOR_RATE, Math.ceil((1 - chance) / chance - 1e-9));
  const lets = (row: number) => Number.isFinite(prepared.cost[row]);
  const { rows, group, borrowed } = alikeRows(prepared, place, asked, lets, { enough });
  const costs = rows.map((row) => prepared.cost[row] ?? NaN);
  const upper = conformalUpper(costs, 1 - chance);
  const price = Number.isFinite(upper) ? upper : null;
  const interval = quantileInterval(costs, 1 - chance);
  return {
    chance,
    price,
    low: Math.max(0, interval?.low ?? 0),
    high: interval?.high ?? Infinity,
    n: rows.length,
    group,
    borrowed,
    notEnough: whyNone(prepared, rows.length) ?? (price === null ? 'too few past jobs' : null),
  };
}
