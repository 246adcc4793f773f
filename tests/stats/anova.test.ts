import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { anovaOneWay } from '../../lib/stats/anovaOneWay';
import { anovaTwoWayRandom } from '../../lib/stats/anovaTwoWayRandom';
import { crossedTable } from '../../lib/stats/crossed';
import { moments } from '../../lib/stats/moments';
import { groupOffsets, welch, welchAnova } from '../../lib/stats/welch';
import { bounds, normals } from './chance';

const reading = fc.integer({ min: -400, max: 400 }).map((k) => k / 8);
const groups = fc.array(fc.array(reading, { minLength: 2, maxLength: 9 }), { minLength: 2, maxLength: 5 });

describe('one-way analysis of variance', () => {
  test('squares between and within add up to those of all readings', () => {
    fc.assert(
      fc.property(groups, (all) => {
        const table = anovaOneWay(all);
        expect((table?.between.squares ?? NaN) + (table?.within.squares ?? NaN)).toBeCloseTo(
          moments(all.flat()).squares,
          6,
        );
      }),
    );
  });

  test('F does not know the unit, the level, or the order of the groups', () => {
    fc.assert(
      fc.property(groups, reading, fc.constantFrom(-2, 0.5, 4), (all, by, factor) => {
        const plain = anovaOneWay(all);
        fc.pre((plain?.within.squares ?? 0) > 0);
        const moved = anovaOneWay(all.map((group) => group.map((y) => by + factor * y)).toReversed());
        expect(Math.abs((moved?.f ?? NaN) - (plain?.f ?? NaN))).toBeLessThanOrEqual(1e-8 * (1 + (plain?.f ?? NaN)));
      }),
    );
  });

  test('two groups: F is the square of the pooled t, and of Welch t where sizes are alike', () => {
    const [a, b] = [
      [4.1, 5.2, 3.9, 4.4],
      [5.0, 6.1, 5.7, 5.3],
    ] as const;
    expect(anovaOneWay([a, b])?.f).toBeCloseTo((welch(a, b)?.t ?? NaN) ** 2, 9);
    expect(welchAnova([a, b])?.f).toBeCloseTo((welch(a, b)?.t ?? NaN) ** 2, 9);
    expect(welchAnova([a, b])?.p).toBeCloseTo(welch(a, b)?.p ?? NaN, 9);
  });

  test('degenerate groups have a stated answer', () => {
    expect(anovaOneWay([[1, 2, 3]])).toBeNull();
    expect(anovaOneWay([[1], [2]])).toBeNull();
    expect(anovaOneWay([[1, 2], [NaN]])).toBeNull();
    expect(
      anovaOneWay([
        [0.1, 0.1],
        [0.1, 0.1],
      ]),
    ).toMatchObject({ f: NaN, p: NaN });
    expect(
      anovaOneWay([
        [1, 1],
        [2, 2],
      ]),
    ).toMatchObject({ f: Infinity, p: 0 });
    expect(
      anovaOneWay([
        [1, 2],
        [3, 4, 5],
      ])?.betweenInterval.low,
    ).toBeNaN();
  });

  test('its variance between groups comes out right on average, groups of any size', () => {
    const normal = normals(21);
    const told = Array.from({ length: 400 }, () => {
      const drawn = [3, 8, 5, 12, 4].map((n) => {
        const level = normal(0, 2);
        return Array.from({ length: n }, () => normal(level, 1));
      });
      return anovaOneWay(drawn)?.betweenVariance ?? NaN;
    });
    const { mean, sd } = moments(told);
    expect(Math.abs(mean - 4)).toBeLessThan((4 * sd) / 20);
  });
});

describe('two-way analysis of variance', () => {
  const study = fc
    .tuple(fc.integer({ min: 2, max: 4 }), fc.integer({ min: 2, max: 4 }), fc.integer({ min: 1, max: 3 }))
    .chain(([a, b, r]) =>
      fc
        .array(reading, { minLength: a * b * r, maxLength: a * b * r })
        .map((values) => values.map((value, k) => ({ part: k % a, operator: Math.floor(k / a) % b, value }))),
    );

  test('squares add up to those of all readings, and exchanging parts and operators exchanges theirs', () => {
    fc.assert(
      fc.property(study, (readings) => {
        const table = crossedTable(readings);
        const turned = crossedTable(
          readings.map(({ part, operator, value }) => ({ part: operator, operator: part, value })),
        );
        fc.pre(table !== null && turned !== null);
        const [one, two] = [anovaTwoWayRandom(table), anovaTwoWayRandom(turned)];
        const sum =
          (one?.part.squares ?? NaN) +
          (one?.operator.squares ?? NaN) +
          (one?.interaction.squares ?? NaN) +
          (one?.error.squares ?? NaN);
        expect(sum).toBeCloseTo(moments(readings.map(({ value }) => value)).squares, 6);
        expect(two?.part.squares).toBeCloseTo(one?.operator.squares ?? NaN, 7);
        expect(two?.interaction.squares).toBeCloseTo(one?.interaction.squares ?? NaN, 7);
      }),
    );
  });

  test('a table with a hole is not balanced', () => {
    const full = [0, 1].flatMap((part) => [0, 1].map((operator) => ({ part, operator, value: part + operator })));
    expect(crossedTable(full)?.trials).toBe(1);
    expect(crossedTable(full.slice(1))).toBeNull();
    expect(crossedTable([...full, { part: 0, operator: 1, value: 3 }])).toBeNull();
    expect(crossedTable([])).toBeNull();
  });
});

describe('offsets of benches', () => {
  test('exchanged, the difference changes its sign; level is nothing, unit is a factor', () => {
    fc.assert(
      fc.property(
        fc.array(reading, { minLength: 2, maxLength: 8 }),
        fc.array(reading, { minLength: 2, maxLength: 8 }),
        reading,
        (a, b, by) => {
          const plain = welch(a, b);
          const turned = welch(
            b.map((y) => by + 2 * y),
            a.map((y) => by + 2 * y),
          );
          expect(plain === null).toBe(turned === null);
          if (plain === null) return;
          expect(turned?.offset).toBeCloseTo(-2 * plain.offset, 7);
          expect(turned?.interval.high).toBeCloseTo(-2 * plain.interval.low, 5);
          expect(turned?.p).toBeCloseTo(plain.p, 7);
        },
      ),
    );
  });

  test('with two benches the offsets are those of the two-sample interval', () => {
    const a = [60.1, 60.4, 59.8, 60.2];
    const b = [61.0, 60.6, 60.9];
    const [one, two] = groupOffsets([a, b]);
    expect(one).toEqual(welch(a, b));
    expect(two?.offset).toBeCloseTo(-(one?.offset ?? NaN), 12);
  });

  test('intervals hold the true offset as often as they say, benches of unequal size and scatter', () => {
    const normal = normals(22);
    const [runs, held] = [600, [0, 0, 0]];
    for (let run = 0; run < runs; run++) {
      const drawn = (
        [
          [4, 1, 0.5],
          [9, 2, 0],
          [20, 0.7, 0],
        ] as const
      ).map(([n, sd, mean]) => Array.from({ length: n }, () => normal(mean, sd)));
      groupOffsets(drawn).forEach((told, k) => {
        const truth = k === 0 ? 0.5 : -0.25;
        if ((told?.interval.low ?? NaN) <= truth && truth <= (told?.interval.high ?? NaN)) held[k] = (held[k] ?? 0) + 1;
      });
    }
    const [low, high] = bounds(runs, 0.95);
    for (const count of held) {
      expect(count).toBeGreaterThanOrEqual(low);
      expect(count).toBeLessThanOrEqual(high);
    }
  });

  test('one reading, or none that varies, tells nothing', () => {
    expect(welch([1], [2, 3])).toBeNull();
    expect(welch([1, 1], [2, 2])).toBeNull();
    expect(groupOffsets([[1, 2]])).toEqual([null]);
    expect(groupOffsets([[1, 2], [3]])).toEqual([null, null]);
    expect(
      welchAnova([
        [1, 2],
        [3, 3],
      ]),
    ).toBeNull();
  });
});
