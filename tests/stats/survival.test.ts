import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { eventTime, kaplanMeier, survivalAt } from '../../lib/stats/kaplanMeier';
import { logRank } from '../../lib/stats/logRank';

interface Case {
  readonly time: number;
  readonly event: number;
  readonly group: number;
}

const cases = (least: number, groups = 2) =>
  fc.array(
    fc.record({
      time: fc.integer({ min: 0, max: 40 }),
      event: fc.integer({ min: 0, max: 1 }),
      group: fc.integer({ min: 0, max: groups - 1 }),
    }),
    { minLength: least, maxLength: 60 },
  );
const times = (rows: readonly Case[]) => rows.map(({ time }) => time);
const events = (rows: readonly Case[]) => rows.map(({ event }) => event);
const curveOf = (rows: readonly Case[]) => kaplanMeier(times(rows), events(rows));
const rank = (rows: readonly Case[], count = 2) =>
  logRank(
    times(rows),
    events(rows),
    rows.map(({ group }) => group),
    count,
  );

describe('survival curve', () => {
  test('comes down step by step, its interval around it', () => {
    fc.assert(
      fc.property(cases(1), (rows) => {
        const { steps, n, events: count } = curveOf(rows);
        expect(n).toBe(rows.length);
        expect(steps.reduce((sum, step) => sum + step.events, 0)).toBe(count);
        let [before, earlier] = [1, -1];
        for (const step of steps) {
          expect(step.time).toBeGreaterThan(earlier);
          expect(step.survival).toBeLessThan(before);
          expect(step.survival).toBeGreaterThanOrEqual(0);
          if (step.survival > 0) {
            expect(step.low).toBeLessThan(step.survival);
            expect(step.high).toBeGreaterThan(step.survival);
          } else expect(step.high).toBeNaN();
          [before, earlier] = [step.survival, step.time];
        }
      }),
    );
  });

  test('where every event was seen it is the share still to come, with the binomial variance', () => {
    fc.assert(
      fc.property(cases(1), (drawn) => {
        const rows = drawn.map((row) => ({ ...row, event: 1 }));
        for (const { time, survival, variance } of curveOf(rows).steps) {
          const share = rows.filter((row) => row.time > time).length / rows.length;
          expect(survival).toBeCloseTo(share, 12);
          if (share > 0) expect(variance).toBeCloseTo((share * (1 - share)) / rows.length, 12);
        }
      }),
    );
  });

  test('cases last seen before the first event change nothing but n', () => {
    fc.assert(
      fc.property(cases(1), (drawn) => {
        const rows = drawn.map((row) => ({ ...row, time: row.time + 2 }));
        const early = [0, 1, 1].map((time) => ({ time, event: 0, group: 0 }));
        expect(curveOf([...early, ...rows]).steps).toEqual(curveOf(rows).steps);
      }),
    );
  });

  test('in another unit of time it is the same curve; the order of the cases does not matter', () => {
    fc.assert(
      fc.property(cases(1), (rows) => {
        const days = curveOf(rows);
        const hours = curveOf(rows.map((row) => ({ ...row, time: row.time * 24 })).reverse());
        expect(hours.steps).toEqual(days.steps.map((step) => ({ ...step, time: step.time * 24 })));
      }),
    );
  });

  test('its median is where half are left, within its interval', () => {
    fc.assert(
      fc.property(cases(1), (rows) => {
        const curve = curveOf(rows);
        const { time, low, high } = eventTime(curve);
        expect(low).toBeLessThanOrEqual(time);
        expect(high).toBeGreaterThanOrEqual(time);
        if (time === Infinity) expect(curve.steps.at(-1)?.survival ?? 1).toBeGreaterThan(0.5);
        else expect(survivalAt(curve, time)?.survival).toBeLessThanOrEqual(0.5 + 1e-9);
        expect(eventTime(curve, 0.25).time).toBeLessThanOrEqual(time);
      }),
    );
  });

  test('half of ten is the fifth', () => {
    const curve = kaplanMeier([1, 2, 3, 4, 5, 6, 7, 8, 9, 10], new Array<number>(10).fill(1));
    expect(eventTime(curve).time).toBe(5);
  });

  test('tells a share only as far as somebody was watched', () => {
    const curve = kaplanMeier([3, 5, 9], [1, 0, 0]);
    expect(survivalAt(curve, 2)).toEqual({ survival: 1, low: 1, high: 1 });
    expect(survivalAt(curve, 9)?.survival).toBeCloseTo(2 / 3, 12);
    expect(survivalAt(curve, 9.1)).toBeNull();
    expect(survivalAt(curve, -1)).toBeNull();
    expect(survivalAt(curve, NaN)).toBeNull();
    expect(survivalAt(kaplanMeier([3, 5], [1, 1]), 50)?.survival).toBe(0);
  });

  test('states what it cannot tell', () => {
    const none = kaplanMeier([], []);
    expect(none).toEqual({ n: 0, events: 0, leftOut: 0, watched: NaN, steps: [] });
    expect(survivalAt(none, 1)).toBeNull();
    // One case: nothing earlier is known to be too early.
    expect(eventTime(kaplanMeier([7], [1]))).toEqual({ time: 7, low: 7, high: Infinity });
    expect(eventTime(none)).toEqual({ time: Infinity, low: Infinity, high: Infinity });
    const some = kaplanMeier([NaN, -1, Infinity, 4], [1, 1, 1, 1]);
    expect(some).toMatchObject({ n: 1, leftOut: 3 });
    expect(kaplanMeier([4, 5], [1, 1], 1).steps[0]?.low).toBeNaN();
  });
});

describe('log-rank test', () => {
  test('the same under other numbers for the groups', () => {
    fc.assert(
      fc.property(cases(8, 3), fc.constantFrom([1, 2, 0], [2, 1, 0], [0, 2, 1]), (rows, renamed) => {
        const before = rank(rows, 3);
        const after = rank(
          rows.map((row) => ({ ...row, group: renamed[row.group] ?? NaN })),
          3,
        );
        expect(after?.freedom).toBe(before?.freedom);
        if (before !== null && after !== null) {
          expect(after.chiSquare).toBeCloseTo(before.chiSquare, 8);
          expect(after.p).toBeCloseTo(before.p, 8);
        }
      }),
    );
  });

  test('expects as many events as were seen, and leaves time by order alone', () => {
    fc.assert(
      fc.property(cases(8, 3), (rows) => {
        const got = rank(rows, 3);
        if (got === null) return;
        const sum = (figure: 'observed' | 'expected') => got.groups.reduce((all, group) => all + group[figure], 0);
        expect(sum('expected')).toBeCloseTo(sum('observed'), 9);
        const stretched = rank(
          rows.map((row) => ({ ...row, time: Math.exp(row.time / 5) })),
          3,
        );
        expect(stretched?.chiSquare).toBeCloseTo(got.chiSquare, 9);
      }),
    );
  });

  test('a group without a case does not count', () => {
    fc.assert(
      fc.property(cases(8), (rows) => {
        const two = rank(rows);
        const three = rank(rows, 3);
        expect(three?.freedom).toBe(two?.freedom);
        if (two !== null) expect(three?.p).toBeCloseTo(two.p, 12);
      }),
    );
  });

  test('two groups with the same cases differ in nothing', () => {
    fc.assert(
      fc.property(cases(4), (rows) => {
        const got = rank([...rows.map((r) => ({ ...r, group: 0 })), ...rows.map((r) => ({ ...r, group: 1 }))]);
        if (got !== null) {
          expect(got.chiSquare).toBeCloseTo(0, 12);
          expect(got.p).toBeCloseTo(1, 5);
        }
      }),
    );
  });

  test('three events, by hand', () => {
    // At 1: one of two and two at risk, 1/2 expected, variance 1/4; at 2: one of one and two, 1/3 and 2/9; at 3: the last two of one group.
    const got = logRank([1, 2, 3, 4], [1, 1, 1, 0], [0, 0, 1, 1], 2);
    expect(got?.groups[0]).toEqual({ n: 2, observed: 2, expected: 1 / 2 + 1 / 3 });
    expect(got?.chiSquare).toBeCloseTo((2 - 5 / 6) ** 2 / (1 / 4 + 2 / 9), 12);
  });

  test('states what it cannot tell', () => {
    expect(logRank([], [], [], 2)).toBeNull();
    expect(logRank([1, 2], [0, 0], [0, 1], 2)).toBeNull();
    expect(logRank([1, 2], [1, 1], [0, 0], 2)).toBeNull();
    // The first group was gone before the second had an event.
    expect(logRank([1, 2, 3, 4], [0, 0, 1, 1], [0, 0, 1, 1], 2)).toBeNull();
    expect(logRank([1, 2, NaN, 3], [1, 1, 1, 1], [0, 1, 1, 7], 2)?.groups.map(({ n }) => n)).toEqual([1, 1]);
  });
});
