import { isConfidence, normalFactor } from './counts';
import type { Interval } from './wilson';

/** Shares are products of rounded fractions: a step meant to end at 0.5 may end a hair above. */
const HAIR = 1e-12;

/** The scale on which the interval is symmetric: log(−log S), or log S, which keeps ends nearer 1 at small n. */
export type CurveScale = 'log-log' | 'log';

/** One step of the curve: at `time` it falls to `survival`, which then holds until the next step. */
export interface CurveStep extends Interval {
  /** In the unit of the times given. */
  readonly time: number;
  /** Cases still under watch just before this time. */
  readonly atRisk: number;
  /** Cases with the event at this time. */
  readonly events: number;
  /** Share still without the event after this time, 0 to 1. */
  readonly survival: number;
  /** Greenwood's variance of `survival`. It and the interval are NaN where the curve has come down to 0. */
  readonly variance: number;
}

export interface SurvivalCurve {
  /** Cases counted. */
  readonly n: number;
  /** Those of them that had the event. */
  readonly events: number;
  /** Cases left out, since their time is no finite number from 0 up. */
  readonly leftOut: number;
  /** Longest time under watch; NaN without a case. */
  readonly watched: number;
  /** By rising time, one step for each time that had an event. */
  readonly steps: readonly CurveStep[];
}

function stepInterval(survival: number, relative: number, z: number, scale: CurveScale): Interval {
  if (survival <= 0) return { low: NaN, high: NaN };
  const error = z * Math.sqrt(relative);
  if (scale === 'log') return { low: survival * Math.exp(-error), high: Math.min(1, survival * Math.exp(error)) };
  const logLog = Math.exp(error / -Math.log(survival));
  return { low: survival ** logLog, high: survival ** (1 / logLog) };
}

/**
 * Product-limit curve of the share still without an event: E. L. Kaplan and P. Meier, J. Am. Stat. Assoc. 53 (1958) 457-481. A
 * case whose event has not come yet counts as at risk up to and with its last time. Variance S² Σ d / (n (n − d)) (M. Greenwood, 1926);
 * interval at each time on the log(−log S) scale (J. D. Kalbfleisch and R. L. Prentice, The Statistical Analysis of Failure Time
 * Data), or on that of log S.
 *
 * @param times from 0 up, in one unit, of any length: up to the event, or up to the last watch of a case without one
 * @param hadEvent as long: 1 where the event came at that time, 0 where not; a missing one counts as 0
 * @param confidence of each interval, between 0 and 1; where it is none the intervals are NaN
 */
export function kaplanMeier(
  times: ArrayLike<number>,
  hadEvent: ArrayLike<number>,
  confidence = 0.95,
  scale: CurveScale = 'log-log',
): SurvivalCurve {
  const z = isConfidence(confidence) ? normalFactor(confidence) : NaN;
  const cases = Array.from(times, (time, k) => ({ time, event: hadEvent[k] === 1 }))
    .filter(({ time }) => Number.isFinite(time) && time >= 0)
    .sort((a, b) => a.time - b.time);
  const steps: CurveStep[] = [];
  let [survival, relative] = [1, 0];
  for (let first = 0, next = 0; first < cases.length; first = next) {
    const time = cases[first]?.time ?? NaN;
    let events = 0;
    for (; cases[next]?.time === time; next++) if (cases[next]?.event === true) events++;
    if (events === 0) continue;
    const atRisk = cases.length - first;
    survival *= (atRisk - events) / atRisk;
    relative += events / (atRisk * (atRisk - events));
    const variance = survival > 0 ? survival ** 2 * relative : NaN;
    steps.push({ time, atRisk, events, survival, variance, ...stepInterval(survival, relative, z, scale) });
  }
  return {
    n: cases.length,
    events: cases.filter(({ event }) => event).length,
    leftOut: times.length - cases.length,
    watched: cases.at(-1)?.time ?? NaN,
    steps,
  };
}

/** Share without the event, with its interval. */
export interface ShareWithout extends Interval {
  readonly survival: number;
}

/**
 * The curve's share at a time.
 *
 * @param time in the unit of the curve
 * @returns 1 with interval 1 to 1 before the first event; null where nothing is known: below 0, or past the longest watch unless the
 *   curve has come down to 0
 */
export function survivalAt({ steps, watched }: SurvivalCurve, time: number): ShareWithout | null {
  const last = steps.at(-1);
  if (!(time >= 0) || (!(time <= watched) && last?.survival !== 0)) return null;
  return steps.findLast((step) => step.time <= time) ?? { survival: 1, low: 1, high: 1 };
}

/** Time by which a share of the cases had the event, with its interval. */
export interface EventTime extends Interval {
  readonly time: number;
}

/**
 * Time by which the share `share` has had the event: the first step at or below 1 − share. Its interval runs from the first
 * step whose lower end is there to the first whose upper end is (R. Brookmeyer and J. Crowley, Biometrics 38 (1982) 29-41); a
 * curve that falls to 0 before its lower end was there has that step as the lower end.
 *
 * @param share between 0 and 1; 0.5 gives the median
 * @returns in the unit of the curve; each figure Infinity where the curve, or that end, does not come down so far: not known, later
 *   than the longest watch
 */
export function eventTime({ steps }: SurvivalCurve, share = 0.5): EventTime {
  const left = 1 - share + HAIR;
  const first = (end: (step: CurveStep) => number) => steps.find((step) => end(step) <= left)?.time ?? Infinity;
  return {
    time: first(({ survival }) => survival),
    low: first(({ survival, low }) => (survival > 0 ? low : 0)),
    high: first(({ high }) => high),
  };
}
