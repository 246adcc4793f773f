import { describe, expect, test } from 'vitest';
import { periodOf, type SeriesRow } from '../../lib/find/period';
import { seededChance } from '../../lib/stats/shuffle';

/** Rows ten days apart: so many at each level, scattered evenly by as much either way. */
function series(seed: number, scatter: number, ...levels: readonly (readonly [number, number])[]): SeriesRow[] {
  const chance = seededChance(seed);
  const rows: SeriesRow[] = [];
  for (const [count, level] of levels) {
    for (let k = 0; k < count; k += 1) {
      rows.push({ day: 10 * rows.length, value: level + scatter * (2 * chance() - 1) });
    }
  }
  return rows;
}
const reading = { kind: 'reading', rest: 0, way: 1, margin: 1 } as const;
const rate = { kind: 'rate', rest: 0.05, way: 1, margin: 0.1 } as const;
/** 0 or 1 of each row, `part` of them 1, evenly. */
const cases = (from: number, count: number, part: number): SeriesRow[] =>
  Array.from({ length: count }, (_, k) => ({
    day: 10 * (from + k),
    value: Math.floor((k + 1) * part + 1e-9) > Math.floor(k * part + 1e-9) ? 1 : 0,
  }));

describe('when a difference began and ended', () => {
  test('one that was there all the time has neither', () => {
    expect(periodOf(series(1, 2, [200, 3]), reading)).toEqual({ since: null, until: null });
  });

  test('one that began half-way is told from about then, and has not ended', () => {
    const { since, until } = periodOf(series(2, 2, [100, 0], [100, 3]), reading);
    expect(Math.abs((since?.day ?? 0) - 1000)).toBeLessThanOrEqual(50);
    expect(since?.p).toBeLessThanOrEqual(0.05);
    expect(until).toBeNull();
  });

  test('one that ended half-way has an end and no beginning', () => {
    const { since, until } = periodOf(series(3, 2, [100, 3], [100, 0]), reading);
    expect(since).toBeNull();
    expect(Math.abs((until ?? 0) - 990)).toBeLessThanOrEqual(50);
  });

  test('one that came and went has both', () => {
    const { since, until } = periodOf(series(4, 2, [80, 0], [80, 3], [80, 0]), reading);
    expect(Math.abs((since?.day ?? 0) - 800)).toBeLessThanOrEqual(50);
    expect(Math.abs((until ?? 0) - 1590)).toBeLessThanOrEqual(50);
  });

  test('less than the rest is a difference, too, where that is the way', () => {
    const { since, until } = periodOf(series(5, 2, [100, 0], [100, -3]), { ...reading, way: -1 });
    expect(Math.abs((since?.day ?? 0) - 1000)).toBeLessThanOrEqual(50);
    expect(until).toBeNull();
  });

  test('one that shrank to a third but is still beyond the margin has not ended', () => {
    expect(periodOf(series(6, 2, [100, 9], [100, 3]), reading).until).toBeNull();
    // With a margin that it is now within, it has.
    expect(periodOf(series(6, 2, [100, 9], [100, 3]), { ...reading, margin: 4 }).until).not.toBeNull();
  });

  test('one that grew from well beyond the margin was there before', () => {
    expect(periodOf(series(7, 2, [100, 3], [100, 9]), reading).since).toBeNull();
    expect(periodOf(series(7, 2, [100, 3], [100, 9]), { ...reading, margin: 4 }).since).not.toBeNull();
  });

  test('shares begin and end likewise', () => {
    const { since, until } = periodOf([...cases(0, 80, 0.05), ...cases(80, 60, 0.7), ...cases(140, 80, 0.05)], rate);
    expect(Math.abs((since?.day ?? 0) - 800)).toBeLessThanOrEqual(60);
    expect(Math.abs((until ?? 0) - 1390)).toBeLessThanOrEqual(60);
  });

  test('a share that fell but is still beyond the rest and the margin has not ended', () => {
    expect(periodOf([...cases(0, 80, 0.8), ...cases(80, 80, 0.3)], rate).until).toBeNull();
  });

  test('too few rows tell nothing', () => {
    expect(periodOf(series(8, 0.1, [5, 0], [5, 9]), reading)).toEqual({ since: null, until: null });
    expect(periodOf([], reading)).toEqual({ since: null, until: null });
  });

  test('of series without a change about one in twenty is told to begin, and one in a hundred to end', () => {
    let [began, ended] = [0, 0];
    for (let seed = 1; seed <= 100; seed += 1) {
      const { since, until } = periodOf(series(seed * 31, 6, [60, 1]), reading);
      if (since !== null) began += 1;
      if (until !== null) ended += 1;
    }
    expect(began).toBeLessThanOrEqual(12);
    expect(ended).toBeLessThanOrEqual(5);
  });
});
