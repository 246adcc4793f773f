import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { calibrate } from '../../lib/calc/batch';
import {
  code,
  codes,
  layout,
  type ResultColumn,
  type Results,
  type ResultTable,
  resultTables,
} from '../../lib/calc/layout';
import type { Spec } from '../../lib/calc/types';
import { closuresWithErrors, drawsOf, type Log, readings, rows, sixElements, specsOf, testPoint } from './build';

const points = [
  testPoint({ spread: 4, spread_basis: 'range_percent' }),
  testPoint({ point: 1, purpose: 'low-speed', speed_rpm: 200, speed_tol_rpm: NaN, low_mm3: 45, high_mm3: 58 }),
  testPoint({ point: 2, purpose: 'light', rack_mm: 5, feed_low_kpa: 150, low_mm3: 15, high_mm3: 25 }),
];
const specs = [
  sixElements({ test_points: points, shim_step_mm: 0.05 }),
  sixElements({
    spec_no: 1,
    elements: 4,
    firing_order: [1, 3, 4, 2],
    adjuster: 'tappet_shim',
    phasing_tol_deg: 1,
    lift_rate_mm_per_deg: 0.25,
    shim_sizes_mm: [0.6, 0.8, 1, 1.3],
    test_points: points.slice(0, 2),
  }),
];

const element = fc.integer({ min: 1, max: 6 });
const run = fc.integer({ min: 0, max: 3 });
/** A number around `middle` that may not have been written down. */
const maybe = (middle: number, off: number) =>
  fc.option(fc.double({ min: middle - off, max: middle + off, noNaN: true }), { nil: NaN, freq: 4 });

/** The readings of one job: anything that a log can hold, with gaps. */
const jobLog = fc.record({
  spec: fc.nat({ max: 1 }),
  closures: fc.uniqueArray(
    fc.record({ run, element, deg: maybe(180, 180), lift: maybe(2, 0.2), preload: maybe(0, 0.01) }),
    { selector: (row) => row.run * 10 + row.element, maxLength: 20 },
  ),
  shims: fc.uniqueArray(
    fc.record({ run, element, before: maybe(1, 0.4), after: maybe(1, 0.4), afterSecond: maybe(1, 0.4) }),
    { selector: (row) => row.run * 10 + row.element, maxLength: 8 },
  ),
  draws: fc.uniqueArray(
    fc.record({
      run,
      element,
      point: fc.nat({ max: 3 }),
      repeat: fc.integer({ min: 1, max: 2 }),
      cm3: maybe(55, 10),
      strokes: fc.constantFrom(1000, 500, 0, NaN),
      rpm: maybe(1000, 12),
      rack: maybe(9, 0.12),
      fluid: maybe(40, 2.2),
      feed: maybe(160, 20),
    }),
    { selector: (row) => `${row.run} ${row.point} ${row.element} ${row.repeat}`, maxLength: 30 },
  ),
  barrels: fc.uniqueArray(fc.record({ run, element, deg: fc.constantFrom(0, 0.5, -1, NaN) }), {
    selector: (row) => row.run * 10 + row.element,
    maxLength: 5,
  }),
});
type JobLog = typeof jobLog extends fc.Arbitrary<infer T> ? T : never;

/** Puts jobs together into one log, numbered as told. */
function together(jobs: readonly JobLog[], numbers: readonly number[]): Log {
  const numbered = jobs.map((job, k) => ({ ...job, number: numbers[k] ?? k }));
  return {
    jobs: numbered.map(({ number, spec }) => ({ job: number, spec })),
    closures: numbered.flatMap(({ number, closures }) => closures.map((row) => ({ ...row, job: number }))),
    shims: numbered.flatMap(({ number, shims }) => shims.map((row) => ({ ...row, job: number }))),
    draws: numbered.flatMap(({ number, draws }) => draws.map((row) => ({ ...row, job: number }))),
    barrels: numbered.flatMap(({ number, barrels }) => barrels.map((row) => ({ ...row, job: number }))),
  };
}

const work = (log: Log, ...which: Spec[]) => calibrate(specsOf(...which), readings(log));
const ofJob = (results: Results, number: number) =>
  Object.fromEntries(
    resultTables.map((table) => [
      table,
      rows<ResultTable>(results[table])
        .filter((row) => row.job_no === number)
        .map((row) => ({ ...row, job_no: 0 })),
    ]),
  );
const jobs = fc.array(jobLog, { minLength: 1, maxLength: 5 });

describe('a batch of jobs', () => {
  test('gives each job what it gets by itself, in any order', () => {
    fc.assert(
      fc.property(
        jobs.chain((list) =>
          fc.tuple(fc.constant(list), fc.shuffledSubarray([...list.keys()], { minLength: list.length })),
        ),
        ([list, numbers]) => {
          const batch = work(together(list, numbers), ...specs);
          list.forEach((job, k) => {
            expect(ofJob(batch, numbers[k] ?? NaN)).toEqual(ofJob(work(together([job], [0]), ...specs), 0));
          });
        },
      ),
    );
  });

  test('gives rows in ascending order of job, run and what is within it', () => {
    fc.assert(
      fc.property(jobs, (list) => {
        const results = work(together(list, [...list.keys()]), ...specs);
        for (const table of ['timing', 'phasing', 'deliveries', 'points', 'excluded'] as const) {
          const keys = ['job_no', 'run', 'point', 'element', 'repeat'].filter((name) => name in results[table]);
          const written = rows<ResultTable>(results[table]).map((row) =>
            keys.map((name) => String(new Map(Object.entries(row)).get(name)).padStart(4, '0')).join(' '),
          );
          expect(written).toEqual(written.toSorted());
        }
      }),
    );
  });
});

describe('whatever is missing from the readings', () => {
  test('every code is a word of its list and every figure is finite or empty', () => {
    fc.assert(
      fc.property(jobs, (list) => {
        const results = work(together(list, [...list.keys()]), ...specs);
        for (const table of resultTables) {
          const cells = new Map<string, Int32Array | Float64Array>(Object.entries(results[table]));
          for (const [name, column] of Object.entries<ResultColumn>(layout[table].columns)) {
            for (const value of cells.get(name) ?? []) {
              if (column.type === 'code') expect(codes[column.list][value]).toBeTypeOf('string');
              if (column.type === 'real') expect(Math.abs(value)).not.toBe(Infinity);
            }
          }
        }
      }),
    );
  });

  test('a verdict is given on a figure that is there, and only then', () => {
    const judged = (verdict: number) => verdict !== code('verdict', 'not measured');
    fc.assert(
      fc.property(jobs, (list) => {
        const results = work(together(list, [...list.keys()]), ...specs);
        for (const row of rows(results.timing)) expect(judged(row.timing_verdict)).toBe(!Number.isNaN(row.lift_mm));
        for (const row of rows(results.phasing)) expect(judged(row.verdict)).toBe(!Number.isNaN(row.error_deg));
        for (const row of rows(results.deliveries).filter(({ point }) => point <= 1)) {
          expect(judged(row.verdict)).toBe(row.draws > 0);
          expect(Number.isNaN(row.mm3_per_stroke)).toBe(row.draws === 0);
        }
        for (const row of rows(results.points)) {
          if (judged(row.mean_verdict)) expect(row.mean_mm3).not.toBeNaN();
          if (judged(row.spread_verdict)) expect(row.spread).not.toBeNaN();
        }
      }),
    );
  });

  test('every draw with a figure either counts or is excluded with a reason', () => {
    fc.assert(
      fc.property(jobLog, (job) => {
        const one = { ...job, spec: 0 };
        const results = work(together([one], [0]), ...specs);
        const withFigure = one.draws.filter(({ cm3, strokes }) => cm3 >= 0 && strokes > 0).length;
        const told = rows(results.deliveries).reduce((sum, row) => sum + row.draws + row.excluded, 0);
        expect(told).toBe(withFigure);
        const reasons = new Set(
          rows(results.excluded).map((row) => `${row.run} ${row.point} ${row.element} ${row.repeat}`),
        );
        expect(reasons.size).toBe(rows(results.outcomes)[0]?.excluded_draws);
      }),
    );
  });
});

const errors = fc.array(fc.double({ min: -3, max: 3, noNaN: true }), { minLength: 6, maxLength: 6 });
const deliveries = fc.array(fc.double({ min: 40, max: 80, noNaN: true }), { minLength: 6, maxLength: 6 });

describe('what a figure may not depend on', () => {
  test('turning the sign round turns every error and every shim change round, and no verdict', () => {
    fc.assert(
      fc.property(
        errors,
        fc.constantFrom(...specs.slice(0, 1), sixElements({ adjuster: 'tappet_shim' })),
        (list, spec) => {
          const from = (factor: number) => {
            const closures = closuresWithErrors(
              spec,
              list.map((error, k) => (k === 0 ? 0 : factor * error)),
            );
            const { phasing, timing } = work({ closures }, spec);
            return { phasing: rows(phasing), timing: rows(timing)[0] };
          };
          const plain = from(1);
          const turned = from(-1);
          plain.phasing.forEach((row, k) => {
            const other = turned.phasing[k];
            expect(other?.error_deg).toBeCloseTo(-row.error_deg, 9);
            expect(other?.shim_change_mm).toBeCloseTo(-row.shim_change_mm, 9);
            expect(other?.verdict).toBe(row.verdict);
          });
          expect(turned.timing?.worst_error_deg).toBeCloseTo(-(plain.timing?.worst_error_deg ?? NaN), 9);
          expect(turned.timing?.phasing_verdict).toBe(plain.timing?.phasing_verdict);
        },
      ),
    );
  });

  test('numbering the elements otherwise gives the same figures under the new numbers', () => {
    const numbering = fc.shuffledSubarray([1, 2, 3, 4, 5, 6], { minLength: 6 });
    const [spec] = specs;
    fc.assert(
      fc.property(errors, deliveries, numbering, (list, q, numbers) => {
        const plain = spec ?? sixElements();
        const renamed = (element: number) => numbers[element - 1] ?? NaN;
        const other = { ...plain, firing_order: plain.firing_order.map(renamed) };
        const log = { closures: closuresWithErrors(plain, list), draws: drawsOf(q) };
        const a = work(log, plain);
        const b = work(
          {
            closures: log.closures.map((row) => ({ ...row, element: renamed(row.element) })),
            draws: log.draws.map((row) => ({ ...row, element: renamed(row.element) })),
          },
          other,
        );
        const renumbered = <R extends { element: number }>(table: R[]) =>
          table.map((row) => ({ ...row, element: renamed(row.element) })).sort((x, y) => x.element - y.element);
        expect(rows(b.phasing)).toEqual(renumbered(rows(a.phasing)));
        rows(b.deliveries).forEach((row, k) => {
          expect(row.mm3_per_stroke).toBe(renumbered(rows(a.deliveries))[k]?.mm3_per_stroke);
        });
        const [timing] = rows(a.timing);
        expect(rows(b.timing)[0]).toEqual({ ...timing, worst_element: renamed(timing?.worst_element ?? NaN) });
        expect(rows(b.points)[0]?.mean_mm3).toBeCloseTo(rows(a.points)[0]?.mean_mm3 ?? NaN, 9);
        expect(rows(b.points)[0]?.spread).toBeCloseTo(rows(a.points)[0]?.spread ?? NaN, 9);
      }),
    );
  });

  test('more strokes with as much more volume change nothing', () => {
    fc.assert(
      fc.property(deliveries, fc.integer({ min: 1, max: 20 }), (q, times) => {
        const from = (factor: number) => {
          const draws = drawsOf(q, { strokes: 100 * factor }).map((row) => ({ ...row, cm3: (row.cm3 / 10) * factor }));
          const results = work({ draws }, ...specs);
          return [...rows(results.deliveries), ...rows(results.points)];
        };
        const plain = from(1);
        from(times).forEach((row, k) => {
          for (const [name, value] of Object.entries(row)) {
            const before = new Map(Object.entries(plain[k] ?? {})).get(name) ?? NaN;
            if (Number.isNaN(before)) expect(value).toBeNaN();
            else expect(value).toBeCloseTo(before, 8);
          }
        });
      }),
    );
  });

  test('the zero of the degree wheel and the gauge preload change nothing', () => {
    const angle = fc.double({ min: 0, max: 360, noNaN: true });
    fc.assert(
      fc.property(errors, angle, fc.double({ min: 0, max: 1, noNaN: true }), (list, shift, preload) => {
        const plain = closuresWithErrors(sixElements(), list);
        const shifted = plain.map((row) => ({ ...row, deg: row.deg + shift, lift: 2 + preload, preload }));
        const a = rows(work({ closures: plain }, sixElements()).phasing);
        const b = rows(work({ closures: shifted }, sixElements()).phasing);
        b.forEach((row, k) => {
          expect(row.error_deg).toBeCloseTo(a[k]?.error_deg ?? NaN, 9);
          expect(row.shim_change_mm).toBeCloseTo(a[k]?.shim_change_mm ?? NaN, 9);
        });
      }),
    );
  });
});
