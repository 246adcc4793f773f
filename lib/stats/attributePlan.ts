import betaQuantile from '@stdlib/stats-base-dists-beta-quantile';
import { chanceOfAtMost, type Lot } from './chanceOfCount';

/**
 * Attribute sampling with stated risks: draw n, look at each, accept the lot where at most c of them have the mark (here: would not
 * hold). Exact sums, hypergeometric for a lot, binomial for a process without end.
 */

export interface Plan {
  readonly n: number;
  /** Most items with the mark at which the lot is still accepted. */
  readonly c: number;
}

export interface PlanAsked {
  /** Items in the lot; Infinity for a process without end. */
  readonly lot: number;
  /** Share with the mark from which the lot should not be accepted, above 0 to 1. */
  readonly tolerable: number;
  /** Chance of accepting such a lot all the same that may be run, between 0 and 1: the consumer's risk. */
  readonly risk: number;
  /** Items with the mark that the sample is to allow for, from 0; where a producer's risk is stated, the fewest. */
  readonly allowed?: number;
  /** Share at which the lot should be accepted, and the chance of refusing it all the same: the producer's risk. */
  readonly producer?: { readonly expected: number; readonly risk: number };
}

/** Beyond this no shop looks at each item. */
const MOST_DRAWN = 100_000;
/** Binary arithmetic: 0.05 of 1000 is 50, not 51. */
const HAIR = 1e-9;

/** The lot with the fewest items of the mark whose share is at least `share`. */
export const lotAtLeast = (lot: number, share: number): Lot =>
  Number.isFinite(lot) ? { size: lot, bad: Math.min(lot, Math.ceil(lot * share - HAIR)) } : { share };

/** The lot with the most items of the mark whose share is at most `share`. */
const lotAtMost = (lot: number, share: number): Lot =>
  Number.isFinite(lot) ? { size: lot, bad: Math.floor(lot * share + HAIR) } : { share };

const isShare = (value: number): boolean => value >= 0 && value <= 1;
const isRisk = (value: number): boolean => value > 0 && value < 1;

function isAsked({ lot, tolerable, risk, allowed = 0, producer }: PlanAsked): boolean {
  const items = lot === Infinity || (Number.isInteger(lot) && lot >= 1);
  const fair =
    producer === undefined || (isShare(producer.expected) && producer.expected < tolerable && isRisk(producer.risk));
  return items && tolerable > 0 && tolerable <= 1 && isRisk(risk) && Number.isInteger(allowed) && allowed >= 0 && fair;
}

/** Smallest sample that accepts the intolerable lot with at most the stated risk, c given; null beyond `most`. */
function smallest(c: number, { lot, tolerable, risk }: PlanAsked): number | null {
  const intolerable = lotAtLeast(lot, tolerable);
  const accepts = (n: number): boolean => chanceOfAtMost(c, n, intolerable) > risk;
  const most = Math.min(lot, MOST_DRAWN);
  if (most <= c || accepts(most)) return null;
  // Drawing one more can only find more: the chance of accepting falls with n.
  let [below, reached] = [c, most];
  while (reached - below > 1) {
    const middle = Math.floor((below + reached) / 2);
    if (accepts(middle)) below = middle;
    else reached = middle;
  }
  return reached;
}

/**
 * The plan with the smallest sample that keeps the stated risks. Without a producer's risk c is `allowed`; with one, it is the smallest
 * c from there at which a lot of the expected share is refused with at most that risk. Source: definition of the risks; the sizes for
 * c = 0, 1, 2 are those of published attribute sampling tables.
 *
 * @returns null where the figures asked for are none, or no plan up to 100,000 drawn keeps them (a lot of which fewer than one item is
 *   tolerable has a plan: all of it)
 */
export function attributePlan(asked: PlanAsked): Plan | null {
  if (!isAsked(asked)) return null;
  const { lot, producer, allowed = 0 } = asked;
  for (let c = allowed; ; c += 1) {
    const n = smallest(c, asked);
    if (n === null) return null;
    if (producer === undefined) return { n, c };
    if (1 - chanceOfAtMost(c, n, lotAtMost(lot, producer.expected)) <= producer.risk) return { n, c };
  }
}

/**
 * Operating characteristic: the chance that a plan accepts a lot in which `share` of the items have the mark (in a lot: the fewest items
 * that make at least that share). NaN where the plan does not fit the lot.
 */
export const chanceOfAcceptance = ({ n, c }: Plan, lot: number, share: number): number =>
  isShare(share) ? chanceOfAtMost(c, n, lotAtLeast(lot, share)) : NaN;

/**
 * Upper limit of the share with the mark after a sample: the largest share under which so few would still turn up with more than the
 * stated risk. For a process without end it is Clopper and Pearson's one-sided limit. A plan's lot, accepted, has its limit below the
 * tolerable share.
 *
 * @param found items with the mark among the n drawn, whole number from 0
 * @param lot items in the lot, at least n; Infinity for a process without end
 * @param risk chance that the limit lies too low, between 0 and 1
 * @returns 0 to 1; null where the counts make no sample
 */
export function upperShare(found: number, n: number, lot: number, risk: number): number | null {
  if (!Number.isInteger(found) || !Number.isInteger(n) || found < 0 || found > n || n < 1 || !isRisk(risk)) return null;
  if (lot === Infinity) return found === n ? 1 : 1 - betaQuantile(risk, n - found, found + 1);
  if (!Number.isInteger(lot) || lot < n) return null;
  // What was found is there; what was drawn without the mark is not.
  let [held, refused] = [found, lot - n + found + 1];
  while (refused - held > 1) {
    const bad = Math.floor((held + refused) / 2);
    if (chanceOfAtMost(found, n, { size: lot, bad }) > risk) held = bad;
    else refused = bad;
  }
  return held / lot;
}
