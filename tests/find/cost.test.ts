import { describe, expect, test } from 'vitest';
import { costOf } from '../../lib/find/cost';
import type { History } from '../../lib/find/history';
import { piecesOf } from '../../lib/find/observations';
import { seededChance } from '../../lib/stats/shuffle';
import { simulateHistory } from './simulated';

/** 800 jobs over eight years of one model and kind of work; every fourth has the fault. */
const N = 800;
const drawn = simulateHistory({ jobs: N, seed: 3 });
const sides = Int8Array.from({ length: N }, (_, i) => (i % 4 === 0 ? 1 : 0));
const withIt = N / 4;
const YEARS = 8;
const lasted = { days: YEARS * 365.25, over: false };

function log(changed: Partial<History['jobs']>, currency: readonly string[] = ['EUR']): History {
  const chance = seededChance(5);
  const even = (level: number, scatter: number) =>
    Float64Array.from({ length: N }, () => level + scatter * (2 * chance() - 1));
  const none = () => new Int32Array(N);
  return {
    ...drawn,
    names: { ...drawn.names, model: ['Heron'], work: ['test'], currency },
    jobs: {
      ...drawn.jobs,
      serial: Int32Array.from({ length: N }, (_, i) => i),
      model: none(),
      work: none(),
      labour_hours: even(10, 0.5),
      returns: none(),
      parts_cost: new Float64Array(N).fill(Number.NaN),
      currency: none(),
      ...changed,
    },
  };
}
const longer = Float64Array.from({ length: N }, (_, i) => 10 + (i % 4 === 0 ? 2 : 0) + ((i * 7) % 11) / 10);
/** Of no job is it known whether it came back. */
const untold = new Int32Array(N).fill(-1);
const cost = (history: History, how = lasted) => costOf(history, piecesOf(history.jobs), sides, how);

describe('hours', () => {
  test('two more a job come to that, times the jobs a year', () => {
    const told = cost(log({ labour_hours: longer }));
    expect(told?.jobs).toBeCloseTo(withIt / YEARS, 6);
    const true_hours = (2 * withIt) / YEARS;
    expect(told?.hours?.low).toBeLessThan(true_hours);
    expect(told?.hours?.high).toBeGreaterThan(true_hours);
    expect((told?.hours?.high ?? 0) - (told?.hours?.low ?? 0)).toBeLessThan(0.2 * true_hours);
  });

  test('of a fault that is over they are told in all, whatever the days', () => {
    const history = log({ labour_hours: longer });
    const over = cost(history, { days: 120, over: true });
    expect(over?.over).toBe(true);
    expect(over?.jobs).toBe(withIt);
    const year = cost(history)?.hours;
    expect(over?.hours?.low).toBeCloseTo(YEARS * (year?.low ?? 0), 6);
    expect(over?.hours?.high).toBeCloseTo(YEARS * (year?.high ?? 0), 6);
  });

  test('a fault of some days is not stretched beyond four of its like a year', () => {
    expect(cost(log({}), { days: 3, over: false })?.jobs).toBeCloseTo(4 * withIt, 6);
  });

  test('are not below nought where the jobs are quicker', () => {
    const told = cost(log({ labour_hours: longer.map((hours, i) => hours - (i % 4 === 0 ? 6 : 0)), returns: untold }));
    expect(told?.hours).toEqual({ low: 0, high: 0 });
  });

  test('the bench stands for labour where a card has only that', () => {
    const blank = new Float64Array(N).fill(Number.NaN);
    const told = cost(log({ labour_hours: blank, bench_hours: longer }));
    expect(told?.hours).toEqual(cost(log({ labour_hours: longer }))?.hours);
  });

  test('early returns count at the hours of a usual job', () => {
    const back = Int32Array.from({ length: N }, (_, i) => (i % 4 === 0 && i % 8 === 0 ? 1 : 0));
    const [told, without] = [cost(log({ returns: back }))?.hours, cost(log({}))?.hours];
    const half = (0.5 * 10 * withIt) / YEARS;
    expect(told?.low).toBeLessThan((without?.low ?? 0) + half);
    expect(told?.high).toBeGreaterThan((without?.high ?? 0) + half);
    expect(told?.low).toBeGreaterThan(0.7 * half);
  });

  test('are not told of fewer than twenty jobs that state them', () => {
    const few = longer.map((hours, i) => (i % 4 === 0 && i > 60 ? Number.NaN : hours));
    const told = cost(log({ labour_hours: few, bench_hours: few }));
    expect(told?.hours).toBeNull();
  });
});

describe('parts', () => {
  test('dearer parts are told in their currency, as a range about what was spent more', () => {
    const parts_cost = longer.map((hours) => hours * 10);
    const [one, ...more] = cost(log({ parts_cost }))?.parts ?? [];
    expect(more).toEqual([]);
    expect(one?.currency).toBe('EUR');
    expect(one?.low).toBeLessThan((20 * withIt) / YEARS);
    expect(one?.high).toBeGreaterThan((20 * withIt) / YEARS);
  });

  test('two currencies are never mixed: each comes to what its own jobs spent more', () => {
    // Half the jobs pay in each; a job of the second pays a hundred times as much.
    const currency = Int32Array.from({ length: N }, (_, i) => (i % 8 < 4 ? 0 : 1));
    const parts_cost = longer.map((hours, i) => hours * (currency[i] === 0 ? 10 : 1000));
    const told = cost(log({ parts_cost, currency }, ['EUR', 'JPY']))?.parts ?? [];
    expect(told.map((one) => one.currency)).toEqual(['EUR', 'JPY']);
    [20, 2000].forEach((more, k) => {
      const spent = (more * withIt) / 2 / YEARS;
      expect(told[k]?.low).toBeLessThan(spent);
      expect(told[k]?.low).toBeGreaterThan(0.5 * spent);
      expect(told[k]?.high).toBeGreaterThan(spent);
      expect(told[k]?.high).toBeLessThan(1.5 * spent);
    });
  });

  test('of cards without a currency stand by themselves', () => {
    const currency = new Int32Array(N).fill(-1);
    const parts_cost = longer.map((hours) => hours * 10);
    expect(cost(log({ parts_cost, currency }))?.parts.map((one) => one.currency)).toEqual([null]);
  });

  test('are not told where the log has none, or where none are dearer', () => {
    expect(cost(log({ returns: untold }))?.parts).toEqual([]);
    const cheaper = longer.map((hours, i) => 100 + hours - (i % 4 === 0 ? 20 : 0));
    expect(cost(log({ parts_cost: cheaper, returns: untold }))?.parts).toEqual([]);
  });
});
