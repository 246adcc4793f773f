import { binomialTest } from './binomialTest';
import { clopperPearson } from './clopperPearson';
import { isConfidence } from './counts';
import { meanWithTail } from './poissonTail';
import type { Interval } from './wilson';

/** Events counted over an exposure: faults over element-years, say. */
export interface EventCount {
  /** Whole number from 0 up. */
  readonly events: number;
  /** Above 0, in a unit of the caller's. */
  readonly exposure: number;
}

export interface EventRate extends Interval {
  /** Events per unit of exposure. */
  readonly rate: number;
}

export interface RateRatio extends Interval {
  /** First rate over the second; infinite where only the second had no event, NaN where neither had one. */
  readonly ratio: number;
  /** Exact two-sided p of equal rates. */
  readonly p: number;
}

const isCount = ({ events, exposure }: EventCount): boolean =>
  Number.isInteger(events) && events >= 0 && exposure > 0 && Number.isFinite(exposure);

/**
 * Rate of events with its exact Poisson interval: the means at which so many events or more, and so many or fewer, have the chance
 * (1 − confidence)/2. F. Garwood, Biometrika 28 (1936) 437-442.
 *
 * @returns per unit of exposure; lower end 0 where nothing happened; null where it is no such count or confidence
 */
export function eventRate(count: EventCount, confidence = 0.95): EventRate | null {
  if (!isCount(count) || !isConfidence(confidence)) return null;
  const { events, exposure } = count;
  const tail = (1 - confidence) / 2;
  return {
    rate: events / exposure,
    low: meanWithTail(events, tail, 'or more') / exposure,
    high: meanWithTail(events, tail, 'or fewer') / exposure,
  };
}

/**
 * Ratio of two rates of events. With the sum of both counts given, the first is binomial with the share r t1 / (r t1 + t2), r the
 * ratio, t the exposures: interval from the exact one of that share, p by the test of it at r = 1. Source: J. Przyborowski and
 * H. Wilenski, Biometrika 31 (1940) 313-323.
 *
 * @returns interval 0 to infinity and p 1 where neither had an event; null where either is no such count, or confidence
 */
export function rateRatio(first: EventCount, second: EventCount, confidence = 0.95): RateRatio | null {
  if (!isCount(first) || !isCount(second) || !isConfidence(confidence)) return null;
  const trials = first.events + second.events;
  const seen = { successes: first.events, trials };
  const share = clopperPearson(first.events, trials, confidence);
  const test = binomialTest(seen, first.exposure / (first.exposure + second.exposure));
  if (share === null || test === null) return { ratio: NaN, low: 0, high: Infinity, p: 1 };
  const asRatio = (of: number) => (of / (1 - of)) * (second.exposure / first.exposure);
  return { ratio: asRatio(first.events / trials), low: asRatio(share.low), high: asRatio(share.high), p: test.p };
}
