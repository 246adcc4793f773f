import { describe, expect, test } from 'vitest';
import type { History } from '../../lib/find/history';
import { search, searchSteps } from '../../lib/find/search';
import { simulateHistory } from './simulated';

const plain = { technicians: false };
const benchFault = { kind: 'bench', percent: 2.5 } as const;
const faulty = () => simulateHistory({ jobs: 1200, seed: 5, fault: benchFault });

describe('a fault that is there', () => {
  test('a bench that reads high from the middle of the log on is found, certain, at its size and from its day', () => {
    const { found } = search(faulty(), plain);
    const bench = found.find(({ measure }) => measure === 'delivery as received');
    expect(bench?.where).toEqual([{ factor: 'bench', level: 'B2' }]);
    expect(bench?.certainty).toBe('certain');
    expect(bench?.difference.low).toBeLessThan(2.5);
    expect(bench?.difference.high).toBeGreaterThan(2.5);
    expect(Math.abs(Date.parse(String(bench?.since?.day)) - Date.parse('2022-01-01'))).toBeLessThan(120 * 86_400_000);
    expect(bench?.until).toBeNull();
  });

  test('its graduates, which no job used elsewhere, are named as what can not be told apart', () => {
    const [bench] = search(faulty(), plain).found;
    expect(bench?.others).toContainEqual({ level: { factor: 'gauge', level: 'GR-2' }, left: 0 });
  });

  test('the other benches, which read low beside it, are not listed', () => {
    expect(search(faulty(), plain).found).toHaveLength(1);
  });

  test('an element that closes late is found, and its fellows, which close early beside it, are not', () => {
    const history = simulateHistory({ jobs: 1200, seed: 6, fault: { kind: 'element', deg: 0.4 } });
    const { found } = search(history, plain);
    expect(found.map(({ where }) => where)).toEqual([
      [
        { factor: 'model', level: 'Heron' },
        { factor: 'element', level: '3' },
      ],
    ]);
    const { element, error_deg, job } = history.elements;
    const read = Array.from(job, (place, i) => ({ place, element: element[i], deg: error_deg[i] ?? 0 })).filter(
      ({ place }) => history.jobs.model[place] === 0,
    );
    const mean = (rows: readonly { readonly deg: number }[]) =>
      rows.reduce((sum, { deg }) => sum + deg, 0) / rows.length;
    const third = mean(read.filter((row) => row.element === 3));
    const others = mean(read.filter((row) => row.element !== 3));
    expect(found[0]?.difference.value).toBeCloseTo(third - others, 1);
  });

  test('a branch whose pumps of one model fail is found for that model', () => {
    const history = simulateHistory({ jobs: 2400, seed: 7, fault: { kind: 'branch', share: 0.6 } });
    const [first, ...others] = search(history, plain).found;
    expect(first?.where).toEqual([
      { factor: 'model', level: 'Heron' },
      { factor: 'branch', level: 'Saltmarsh' },
    ]);
    expect(others).toEqual([]);
    // The jobs behind a rate are its cases.
    for (const job of first?.jobs ?? []) expect(history.jobs.timing_fails[job]).toBe(1);
  });
});

/** The same jobs in another order, with the other tables pointing to their new places. */
function reordered(history: History): History {
  const n = history.jobs.job_no.length;
  const old = Array.from({ length: n }, (_, i) => (i * 7 + 3) % n);
  const place = new Int32Array(n);
  old.forEach((from, to) => (place[from] = to));
  const moved = <T extends object>(table: T): T =>
    Object.fromEntries(
      Object.entries(table as Record<string, Int32Array | Float64Array>).map(([name, column]) => [
        name,
        column.map((_, i) => column[old[i] ?? 0] ?? 0),
      ]),
    ) as unknown as T;
  const pointed = <T extends { readonly job: Int32Array }>(table: T): T => ({
    ...table,
    job: table.job.map((job) => place[job] ?? -1),
  });
  return {
    ...history,
    jobs: moved(history.jobs),
    elements: pointed(history.elements),
    retentions: pointed(history.retentions),
    changes: pointed(history.changes),
    uses: pointed(history.uses),
  };
}

describe('what must not matter', () => {
  test('the order of the jobs', () => {
    expect(1200 % 7).not.toBe(0);
    const [one] = search(faulty(), plain).found;
    const [other] = search(reordered(faulty()), plain).found;
    expect(other?.id).toBe(one?.id);
    expect(other?.difference.value).toBeCloseTo(one?.difference.value ?? Number.NaN, 9);
    expect(other?.since?.day).toBe(one?.since?.day);
  });

  test('what a bench is called and which number it has', () => {
    const history = faulty();
    const renamed: History = {
      ...history,
      names: { ...history.names, bench: ['Window', 'Door', 'Wall'] },
      jobs: { ...history.jobs, bench: history.jobs.bench.map((bench) => 2 - bench) },
    };
    const [one] = search(history, plain).found;
    const [other] = search(renamed, plain).found;
    expect(other?.where).toEqual([{ factor: 'bench', level: 'Door' }]);
    expect(other?.difference).toEqual(one?.difference);
  });

  test('asking twice', () => {
    expect(search(faulty(), plain)).toEqual(search(faulty(), plain));
  });
});

describe('technicians', () => {
  const history = faulty();
  const byHand: History = {
    ...history,
    jobs: {
      ...history.jobs,
      wrong_way: history.jobs.wrong_way.map((told, i) =>
        told < 0 ? -1 : history.jobs.technician[i] === 4 && i % 2 === 0 ? 1 : 0,
      ),
    },
  };
  const names = (technicians: boolean) =>
    search(byHand, { technicians }).found.flatMap(({ where, others }) =>
      [...where, ...others.map(({ level }) => level)].filter(({ factor }) => factor === 'technician'),
    );

  test('are named where they are asked for, and nowhere else', () => {
    expect(names(true)).toContainEqual({ factor: 'technician', level: 'T5' });
    expect(names(false)).toEqual([]);
  });

  test('cost no comparison where they are left out', () => {
    expect(search(byHand, plain).comparisons).toBeLessThan(search(byHand, { technicians: true }).comparisons);
  });
});

describe('a small log', () => {
  test('without a job has no finding and no comparison', () => {
    expect(search(simulateHistory({ jobs: 0, seed: 1 }), plain)).toEqual({
      found: [],
      comparisons: 0,
      tooFew: 0,
      jobs: 0,
    });
  });

  test('of too few jobs says so', () => {
    const answer = search(simulateHistory({ jobs: 20, seed: 1 }), plain);
    expect(answer.found).toEqual([]);
    expect(answer.tooFew).toBeGreaterThan(0);
  });
});

test('progress rises to its end, and a search can be left at any step', () => {
  const seen: number[] = [];
  search(faulty(), plain, ({ done, total }) => seen.push(done / total));
  expect(seen[0]).toBe(0);
  expect(seen.at(-1)).toBe(1);
  expect(seen).toEqual(seen.toSorted((a, b) => a - b));
  const steps = searchSteps(faulty(), plain);
  steps.next();
  expect(steps.return({ found: [], comparisons: 0, tooFew: 0, jobs: 0 }).done).toBe(true);
});
