import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { binomialTest } from '../../lib/stats/binomialTest';
import { clopperPearson } from '../../lib/stats/clopperPearson';
import type { Proportion } from '../../lib/stats/counts';
import { fisher } from '../../lib/stats/fisher';
import { funnelLimits, overDispersion } from '../../lib/stats/funnel';
import { newcombe } from '../../lib/stats/newcombe';
import { eventRate, rateRatio } from '../../lib/stats/poisson';
import { wilson } from '../../lib/stats/wilson';

const upTo = (most: number) =>
  fc
    .integer({ min: 1, max: most })
    .chain((trials) => fc.record({ successes: fc.integer({ min: 0, max: trials }), trials: fc.constant(trials) }));
const failuresOf = ({ successes, trials }: Proportion): Proportion => ({ successes: trials - successes, trials });
const shareOf = ({ successes, trials }: Proportion) => successes / trials;
const rates = fc.double({ min: 0.01, max: 0.99, noNaN: true });
const confidences = fc.double({ min: 0.5, max: 0.999, noNaN: true });

/** The function's answer, which must be one. */
function told<T>(answer: T | null): T {
  if (answer === null) throw new Error('No answer');
  return answer;
}

const noProportions: Proportion[] = [
  { successes: 0, trials: 0 },
  { successes: -1, trials: 5 },
  { successes: 6, trials: 5 },
  { successes: 1.5, trials: 5 },
  { successes: NaN, trials: 5 },
];

describe('exact interval of a share', () => {
  test('holds the share and is mirrored by the failures', () => {
    fc.assert(
      fc.property(upTo(3000), confidences, (seen, confidence) => {
        const { low, high } = told(clopperPearson(seen.successes, seen.trials, confidence));
        expect(low).toBeGreaterThanOrEqual(0);
        expect(high).toBeLessThanOrEqual(1);
        expect(low).toBeLessThanOrEqual(shareOf(seen));
        expect(high).toBeGreaterThanOrEqual(shareOf(seen));
        const failures = told(clopperPearson(failuresOf(seen).successes, seen.trials, confidence));
        expect(failures.low).toBeCloseTo(1 - high, 12);
        expect(failures.high).toBeCloseTo(1 - low, 12);
      }),
    );
  });

  test('is narrower with ten times the cases', () => {
    fc.assert(
      fc.property(upTo(300), ({ successes, trials }) => {
        const few = told(clopperPearson(successes, trials));
        const many = told(clopperPearson(10 * successes, 10 * trials));
        expect(many.high - many.low).toBeLessThan(few.high - few.low);
      }),
    );
  });

  test('holds a true rate as often as it says, by counting out every outcome', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 25 }), rates, confidences, (n, rate, confidence) => {
        let chance = (1 - rate) ** n;
        let held = 0;
        for (let k = 0; k <= n; k++) {
          const { low, high } = told(clopperPearson(k, n, confidence));
          if (low <= rate && rate <= high) held += chance;
          chance *= (((n - k) / (k + 1)) * rate) / (1 - rate);
        }
        expect(held).toBeGreaterThanOrEqual(confidence - 1e-9);
      }),
    );
  });

  test('none for what is no proportion or no confidence', () => {
    for (const { successes, trials } of noProportions) expect(clopperPearson(successes, trials)).toBeNull();
    for (const confidence of [0, 1, -1, NaN]) expect(clopperPearson(2, 5, confidence)).toBeNull();
  });
});

describe('difference of two shares', () => {
  test('holds the difference, within -1 to 1, and turns with the order', () => {
    fc.assert(
      fc.property(upTo(500), upTo(500), (a, b) => {
        const ab = told(newcombe(a, b));
        const ba = told(newcombe(b, a));
        expect(ab.difference).toBeCloseTo(shareOf(a) - shareOf(b), 12);
        expect(ab.low).toBeLessThanOrEqual(ab.difference);
        expect(ab.high).toBeGreaterThanOrEqual(ab.difference);
        expect(ab.low).toBeGreaterThanOrEqual(-1 - 1e-12);
        expect(ba.low).toBeCloseTo(-ab.high, 12);
        const failures = told(newcombe(failuresOf(a), failuresOf(b)));
        expect(failures.low).toBeCloseTo(-ab.high, 12);
      }),
    );
  });

  test("against a rate known almost surely it is Wilson's interval moved by it", () => {
    const known = { successes: 3e11, trials: 1e12 };
    const { low, high } = told(newcombe({ successes: 12, trials: 40 }, known));
    expect(low).toBeCloseTo(wilson(12, 40).low - 0.3, 5);
    expect(high).toBeCloseTo(wilson(12, 40).high - 0.3, 5);
  });

  test('none where either is no proportion', () => {
    for (const none of noProportions) {
      expect(newcombe(none, { successes: 1, trials: 2 })).toBeNull();
      expect(newcombe({ successes: 1, trials: 2 }, none)).toBeNull();
    }
  });
});

describe('exact tests', () => {
  test('Fisher: the same whichever way the table is turned; mid-p is the smaller', () => {
    fc.assert(
      fc.property(upTo(80), upTo(80), (a, b) => {
        const { p, midP } = told(fisher(a, b));
        expect(p).toBeGreaterThan(0);
        expect(p).toBeLessThanOrEqual(1);
        expect(midP).toBeLessThan(p);
        expect(told(fisher(b, a)).p).toBeCloseTo(p, 10);
        expect(told(fisher(failuresOf(a), failuresOf(b))).p).toBeCloseTo(p, 10);
      }),
    );
  });

  test('Fisher: equal shares tell nothing; a mark on everybody tells nothing', () => {
    expect(fisher({ successes: 3, trials: 10 }, { successes: 3, trials: 10 })?.p).toBeCloseTo(1, 12);
    expect(fisher({ successes: 4, trials: 4 }, { successes: 7, trials: 7 })).toEqual({ p: 1, midP: 0.5 });
    expect(fisher({ successes: 0, trials: 4 }, { successes: 0, trials: 7 })).toEqual({ p: 1, midP: 0.5 });
    for (const none of noProportions) expect(fisher(none, { successes: 1, trials: 2 })).toBeNull();
  });

  test('Fisher stands large counts', () => {
    const { p } = told(fisher({ successes: 50_000, trials: 100_000 }, { successes: 50_500, trials: 100_000 }));
    expect(p).toBeGreaterThan(0.02);
    expect(p).toBeLessThan(0.03);
  });

  test('a share against a rate: rejected just where the exact interval leaves the rate out', () => {
    fc.assert(
      fc.property(upTo(200), rates, confidences, (seen, rate, confidence) => {
        const { p, midP } = told(binomialTest(seen, rate));
        const { low, high } = told(clopperPearson(seen.successes, seen.trials, confidence));
        fc.pre(Math.abs(p - (1 - confidence)) > 1e-9);
        expect(p < 1 - confidence).toBe(rate < low || rate > high);
        expect(midP).toBeLessThanOrEqual(p);
        expect(told(binomialTest(failuresOf(seen), 1 - rate)).p).toBeCloseTo(p, 9);
      }),
    );
  });

  test('a share against a rate of 0 or 1', () => {
    expect(binomialTest({ successes: 0, trials: 9 }, 0)?.p).toBe(1);
    expect(binomialTest({ successes: 1, trials: 9 }, 0)?.p).toBe(0);
    expect(binomialTest({ successes: 1, trials: 9 }, NaN)).toBeNull();
    for (const none of noProportions) expect(binomialTest(none, 0.5)).toBeNull();
  });
});

describe('funnel', () => {
  test('leaves out just the groups whose exact test rejects the rate', () => {
    fc.assert(
      fc.property(upTo(300), rates, confidences, (seen, rate, confidence) => {
        const { p } = told(binomialTest(seen, rate));
        fc.pre(Math.abs(p - (1 - confidence)) > 1e-9);
        const { low, high } = told(funnelLimits(seen.trials, rate, confidence));
        expect(shareOf(seen) < low || shareOf(seen) > high).toBe(p < 1 - confidence);
      }),
    );
  });

  test('narrows with n, widens with confidence and with dispersion, and turns with the mark', () => {
    fc.assert(
      fc.property(fc.integer({ min: 5, max: 500 }), rates, (trials, rate) => {
        const { low, high } = told(funnelLimits(trials, rate));
        const many = told(funnelLimits(100 * trials, rate));
        const sure = told(funnelLimits(trials, rate, 0.998));
        const scattered = told(funnelLimits(trials, rate, 0.95, 4));
        expect(many.high - many.low).toBeLessThan(high - low);
        expect(sure.low).toBeLessThanOrEqual(low);
        expect(sure.high).toBeGreaterThanOrEqual(high);
        if (scattered.low > 0) expect(rate - scattered.low).toBeCloseTo(2 * (rate - low), 10);
        if (scattered.high < 1) expect(scattered.high - rate).toBeCloseTo(2 * (high - rate), 10);
        expect(told(funnelLimits(trials, 1 - rate)).low).toBeCloseTo(1 - high, 9);
      }),
    );
  });

  test('groups drawn from one rate are not held to scatter; groups of two kinds are', () => {
    const alike = Array.from({ length: 20 }, (_, k) => ({ successes: 9 + (k % 3), trials: 50 }));
    const twoKinds = Array.from({ length: 20 }, (_, k) => ({ successes: k % 2 === 0 ? 2 : 18, trials: 50 }));
    expect(overDispersion(alike, 0.2)?.used).toBe(1);
    const { measured, used } = told(overDispersion(twoKinds, 0.2));
    // By hand: every share is 0.16 off, 8 squared over 50 · 0.2 · 0.8.
    expect(measured).toBeCloseTo(8, 10);
    expect(used).toBe(measured);
  });

  test('one wild group of twenty does not make the rest wild', () => {
    const groups = Array.from({ length: 20 }, (_, k) => ({ successes: k === 7 ? 50 : 9 + (k % 3), trials: 50 }));
    expect(overDispersion(groups, 0.2)?.used).toBe(1);
  });

  test('states what it cannot tell', () => {
    expect(funnelLimits(0, 0.2)).toBeNull();
    expect(funnelLimits(10, NaN)).toBeNull();
    expect(funnelLimits(10, 0.2, 1)).toBeNull();
    expect(funnelLimits(10, 0.2, 0.95, NaN)).toBeNull();
    expect(funnelLimits(10, 0)).toEqual({ low: 0, high: 0 });
    expect(funnelLimits(10, 1)).toEqual({ low: 1, high: 1 });
    expect(overDispersion([{ successes: 1, trials: 3 }, ...noProportions], 0.2)).toBeNull();
    expect(
      overDispersion(
        Array.from({ length: 9 }, () => ({ successes: 0, trials: 3 })),
        0,
      ),
    ).toBeNull();
  });
});

describe('rates of events', () => {
  const counts = fc.record({
    events: fc.integer({ min: 0, max: 2000 }),
    exposure: fc.double({ min: 0.01, max: 1e4, noNaN: true }),
  });

  test('the interval holds the rate, narrows with more, and scales with the unit of exposure', () => {
    fc.assert(
      fc.property(counts, ({ events, exposure }) => {
        const { rate, low, high } = told(eventRate({ events, exposure }));
        expect(rate).toBe(events / exposure);
        expect(low).toBeLessThanOrEqual(rate);
        expect(high).toBeGreaterThan(rate);
        const more = told(eventRate({ events: 10 * events, exposure: 10 * exposure }));
        expect(more.high - more.low).toBeLessThan(high - low);
        const days = told(eventRate({ events, exposure: exposure * 365 }));
        expect((days.high * 365) / high).toBeCloseTo(1, 10);
      }),
    );
  });

  test('nothing seen: at 95 % up to 3.69 by -ln 0.025', () => {
    expect(eventRate({ events: 0, exposure: 2 })?.high).toBeCloseTo(-Math.log(0.025) / 2, 12);
  });

  test('the ratio turns with the order; p falls below 5 % just where the interval leaves 1 out', () => {
    const few = fc.record({
      events: fc.integer({ min: 0, max: 80 }),
      exposure: fc.double({ min: 1, max: 100, noNaN: true }),
    });
    fc.assert(
      fc.property(few, few, (a, b) => {
        fc.pre(a.events + b.events > 0);
        const ab = told(rateRatio(a, b));
        const ba = told(rateRatio(b, a));
        if (ab.low > 0) expect(ba.high * ab.low).toBeCloseTo(1, 8);
        else expect(ba.high).toBe(Infinity);
        expect(ba.p).toBeCloseTo(ab.p, 9);
        fc.pre(Math.abs(ab.p - 0.05) > 1e-9);
        expect(ab.p < 0.05).toBe(ab.low > 1 || ab.high < 1);
        if (a.events > 0 && b.events > 0)
          expect(ab.ratio).toBeCloseTo(a.events / a.exposure / (b.events / b.exposure), 9);
      }),
    );
  });

  test('states what it cannot tell', () => {
    const nothing = { events: 0, exposure: 3 };
    expect(rateRatio(nothing, nothing)).toEqual({ ratio: NaN, low: 0, high: Infinity, p: 1 });
    expect(rateRatio({ events: 3, exposure: 1 }, nothing)?.ratio).toBe(Infinity);
    for (const exposure of [0, -1, NaN, Infinity]) expect(eventRate({ events: 1, exposure })).toBeNull();
    for (const events of [-1, 0.5, NaN]) expect(rateRatio({ events, exposure: 1 }, nothing)).toBeNull();
    expect(eventRate(nothing, 0)).toBeNull();
  });
});
