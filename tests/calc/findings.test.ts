import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { calibrate } from '../../lib/calc/batch';
import { agrees, type FindingWord } from '../../lib/calc/proof/findings';
import { code, codes } from '../../lib/calc/layout';
import type { Check, Gauge, Spec } from '../../lib/calc/types';
import {
  closuresWithErrors,
  drawsOf,
  type Log,
  readings,
  rows,
  type Shim,
  sixElements,
  specsOf,
  testPoint,
} from './build';
import { examples, oneOf } from './methodDoc';

const even = [60, 60, 60, 60, 60, 60];
const base = testPoint();
const light = testPoint({ point: 1, name: 'light', purpose: 'light', low_mm3: 55, high_mm3: 65 });
const check: Check = {
  check: 0,
  name: 'stop',
  kind: 'rack_at_speed',
  speed_rpm: 1000,
  boost_kpa: NaN,
  lever: -1,
  low: 8.9,
  high: 9.1,
  unit: 'mm',
};
const gauge: Gauge = {
  gauge: 0,
  calibrated_day: [50],
  due_day: [100],
  uncertainty: [0.1],
  unit: ['cam_deg'],
};

interface Case {
  spec?: Partial<Spec>;
  log: Log;
}
const sheet = (differs: Partial<Spec> = {}) => sixElements({ test_points: [base], ...differs });
const closures = closuresWithErrors(sheet(), []);
const errorOfThree = (deg: number, run = 1) => closuresWithErrors(sheet(), [0, 0, deg, 0, 0, 0], run);
const onDay = (day: number): Log => ({
  jobs: [{ job: 0, spec: 0, day }],
  closures: closures.map((row) => ({ ...row, gauge: 0 })),
});
const stated = (answer: (typeof codes.answer)[number], deg: number): Log => ({
  jobs: [{ job: 0, spec: 0, stated: code('answer', answer) }],
  closures: errorOfThree(deg),
});
const draws = drawsOf(even);
/** A second draw of element 2 that may fail its window: the first one still measures the element. */
const second = (differs: object): Log => ({ draws: [...draws, { element: 2, repeat: 2, cm3: 60, ...differs }] });
const takenAt = (ofBase: number, ofLight: number): Log => ({
  draws: [...drawsOf(even, { taken: ofBase }), ...drawsOf(even, { point: 1, taken: ofLight })],
});
/** Base drawn in two runs, the first at one time and the second at another. */
const inRuns = (first: number, second: number): Log => ({
  draws: [...drawsOf(even, { taken: first }), ...drawsOf(even, { run: 2, taken: second })],
});
const shim = (after: number, differs: object = {}): Log => ({
  shims: [{ run: 0, element: 3, before: 1, after, ...differs }],
});

/** A log on the wrong side of the rule, and one that lies at its limit or lacks what it speaks of. */
const cases: Record<FindingWord, readonly [Case, Case]> = {
  'shim change stated with the wrong sign': [{ log: shim(1.1, { stated: -0.1 }) }, { log: shim(1.1, { stated: 0.1 }) }],
  'shim changed the wrong way': [
    { log: { closures: [...errorOfThree(-0.51), ...errorOfThree(0, 2)], ...shim(0.95, { run: 1 }) } },
    { log: { closures: [...errorOfThree(-0.5), ...errorOfThree(0, 2)], ...shim(0.95, { run: 1 }) } },
  ],
  'shim change misreckoned': [{ log: shim(1.106, { stated: 0.1 }) }, { log: shim(1.105, { stated: 0.1 }) }],
  'delivery misreckoned': [
    { log: second({ cm3: 60.151, stated: 60.1 }) },
    { log: second({ cm3: 60.15, stated: 60.1 }) },
  ],
  'stated pass, recomputed out': [{ log: stated('yes', 0.51) }, { log: stated('yes', 0.5) }],
  'stated fail, recomputed in': [{ log: stated('no', 0.5) }, { log: stated('no', 0.51) }],
  'superseded revision': [
    { spec: { superseded_day: 70 }, log: onDay(70) },
    { spec: { superseded_day: 70 }, log: onDay(69) },
  ],
  'gauge past its date': [{ log: onDay(100) }, { log: onDay(99) }],
  'gauge without calibration': [{ log: onDay(49) }, { log: onDay(50) }],
  'draw before the rack was set': [{ log: second({ rack: 9.11 }) }, { log: second({ rack: 9.1 }) }],
  'speed outside its window': [{ log: second({ rpm: 989 }) }, { log: second({ rpm: 990 }) }],
  'fluid outside its window': [{ log: second({ fluid: 42.1 }) }, { log: second({ fluid: 42 }) }],
  'feed outside its window': [
    { spec: { test_points: [testPoint({ feed_low_kpa: 150 })] }, log: { draws: drawsOf(even, { feed: 149 }) } },
    { spec: { test_points: [testPoint({ feed_low_kpa: 150 })] }, log: { draws: drawsOf(even, { feed: 150 }) } },
  ],
  'window not recorded': [
    { log: second({ fluid: NaN }) },
    { spec: { test_points: [testPoint({ fluid_low_c: NaN, fluid_high_c: NaN })] }, log: second({ fluid: NaN }) },
  ],
  'test points out of order': [
    { spec: { test_points: [base, light] }, log: takenAt(101, 100) },
    { spec: { test_points: [base, light] }, log: takenAt(100, 100) },
  ],
  'runs out of order': [{ log: inRuns(101, 100) }, { log: inRuns(100, 100) }],
  'shim changed after the last closure': [
    { log: shim(1.002, { run: 1 }) },
    // A thousandth is less than a micrometer tells, and no change.
    { log: shim(1.001, { run: 1 }) },
  ],
  'barrel turned after the last draw': [
    { log: { barrels: [{ run: 1, element: 3, deg: 0.5 }] } },
    { log: { barrels: [0, 1].map((run) => ({ run, element: 3, deg: run === 1 ? 0 : 0.5 })) } },
  ],
  'shim changed after the last draw': [
    { log: { ...shim(1.002), closures: errorOfThree(0, 0), draws: drawsOf(even, { run: 0 }) } },
    { log: { ...shim(1.002), closures: errorOfThree(0, 1), draws: drawsOf(even, { run: 1 }) } },
  ],
  'split pair found uneven': [
    { log: shim(1.1, { beforeSecond: 1.011, afterSecond: 1.1 }) },
    { log: shim(1.1, { beforeSecond: 1.01, afterSecond: 1.1 }) },
  ],
  'split pair differs': [{ log: shim(1.1, { afterSecond: 1.111 }) }, { log: shim(1.1, { afterSecond: 1.11 }) }],
  'lift not read': [
    { log: { closures: closures.map((row) => ({ ...row, lift: NaN })) } },
    { log: { closures: closures.map((row) => ({ ...row, lift: row.element === 1 ? 2 : NaN })) } },
  ],
  'element missing': [{ log: { closures: closures.filter((row) => row.element !== 3) } }, { log: {} }],
  'test point missing': [{ log: { draws: [] } }, { log: {} }],
  'timing and phasing missing': [{ log: { closures: [] } }, { log: {} }],
  'governor missing': [
    { spec: { checks: [check] }, log: {} },
    { spec: { checks: [check] }, log: { governor: [{ rpm: 1000, rack: 9 }] } },
  ],
  'first measurement missing': [{ log: { closures: errorOfThree(0, 2) } }, { log: { closures: errorOfThree(0, 1) } }],
};

function results({ spec = {}, log }: Case, gauges: readonly Gauge[] = [gauge]) {
  const book = new Map(gauges.map((one) => [one.gauge, one]));
  return calibrate(specsOf(sheet(spec)), readings({ closures, draws, ...log }), book);
}
const found = (one: Case) => rows(results(one).findings);
const words = (one: Case) => found(one).map((row) => codes.finding[row.finding]);

/** What cannot but be found as well. */
const besides: Partial<Record<FindingWord, readonly FindingWord[]>> = {
  // The feed of no draw counts there, so its test point is not measured either.
  'feed outside its window': ['test point missing'],
  // All that was measured was as received, so that no closure comes after the change either.
  'shim changed after the last draw': ['shim changed after the last closure'],
};
const byPlace = (a: FindingWord, b: FindingWord): number => codes.finding.indexOf(a) - codes.finding.indexOf(b);

describe('what does not agree', () => {
  test.each(codes.finding)('%s: found, alone, and not at its limit', (word) => {
    const [wrong, right] = cases[word];
    expect(words(wrong)).toEqual([...(besides[word] ?? []), word].toSorted(byPlace));
    expect(words(right)).toEqual([]);
  });

  const told = examples('findings').map(
    (row) => [oneOf(codes.finding, row, 'finding'), oneOf(codes.severity, row, 'severity')] as const,
  );
  test.each(told)('%s: %s, by the document, and is counted by it', (word, severity) => {
    const { findings, outcomes } = results(cases[word][0]);
    const list = rows(findings).map((row) => codes.severity[row.severity]);
    const place = rows(findings).findIndex((row) => codes.finding[row.finding] === word);
    expect(list[place]).toBe(severity);
    expect(rows(outcomes)[0]).toMatchObject({
      breaking: list.filter((one) => one === 'breaks the proof').length,
      weakening: list.filter((one) => one === 'weakens the proof').length,
    });
  });

  test('figures that were written down stand beside those that follow from the readings', () => {
    const figures = (word: FindingWord) => {
      const row = found(cases[word][0])[0];
      return [row?.run, row?.point, row?.element, row?.stated, row?.recomputed];
    };
    const near = (value: number): unknown => expect.closeTo(value, 9);
    expect(figures('shim change stated with the wrong sign')).toEqual([0, -1, 3, near(-0.1), near(0.1)]);
    // 0.51 deg early at 0.2 mm a degree: 0.102 mm were to be added, 0.05 were taken out.
    expect(figures('shim changed the wrong way')).toEqual([1, -1, 3, near(-0.05), near(0.102)]);
    expect(figures('delivery misreckoned')).toEqual([1, 0, 2, near(60.1), near(60.151)]);
    expect(figures('draw before the rack was set')).toEqual([1, 0, 0, near(9.11), near(9.1)]);
    expect(figures('speed outside its window')).toEqual([1, 0, 0, 989, 990]);
    expect(figures('split pair differs')).toEqual([0, -1, 3, near(0.011), near(0.01)]);
    expect(figures('element missing')).toEqual([1, -1, 0, 5, 6]);
    expect(figures('superseded revision')).toEqual([-1, -1, 0, 70, 70]);
    expect(figures('test points out of order')).toEqual([1, 1, 0, 100, 101]);
    expect(figures('runs out of order')).toEqual([2, 0, 0, 100, 101]);
  });
});

describe('rows of the log behind a finding', () => {
  const tally = (log: Log) => found({ log }).map((row) => [codes.finding[row.finding], row.run, row.element, row.rows]);

  test('of one run, test point and element count together, with the figures of the first', () => {
    const log: Log = {
      draws: [...draws, ...[2, 3, 4].map((repeat) => ({ element: 2, repeat, cm3: 60 + repeat, stated: 59 }))],
    };
    const [row] = found({ log });
    expect(row).toMatchObject({ element: 2, rows: 3, stated: 59, recomputed: 62 });
  });

  test('of another element or run count by themselves', () => {
    const log: Log = {
      draws: [1, 2].flatMap((run) => [
        ...drawsOf(even, { run }),
        ...[2, 5].map((element) => ({ run, element, repeat: 2, cm3: 60, stated: 59 })),
      ]),
    };
    expect(tally(log)).toEqual([
      ['delivery misreckoned', 1, 2, 1],
      ['delivery misreckoned', 1, 5, 1],
      ['delivery misreckoned', 2, 2, 1],
      ['delivery misreckoned', 2, 5, 1],
    ]);
  });

  test('a gauge is told once a run, with its readings', () => {
    expect(tally(onDay(100))).toEqual([['gauge past its date', 1, 0, 6]]);
  });

  test('a draw without two of the readings asked for is one row', () => {
    expect(tally({ draws: drawsOf(even, { fluid: NaN, rack: NaN }) })).toEqual([['window not recorded', 1, 0, 6]]);
  });

  test('a change both of the wrong size and of a pair that differs is both', () => {
    expect(tally(shim(1.2, { stated: 0.1, afterSecond: 1.25 }))).toEqual([
      ['shim change misreckoned', 0, 3, 1],
      ['split pair differs', 0, 3, 1],
    ]);
  });

  test('however many there are, none is lost, nor the last and gravest', () => {
    const runs = Array.from({ length: 60 }, (_, k) => k + 1);
    const log: Log = {
      jobs: [{ job: 0, spec: 0, stated: code('answer', 'yes') }],
      draws: runs.flatMap((run) => drawsOf(even, { run, stated: 50 })),
      closures: errorOfThree(1),
    };
    const { findings, outcomes } = results({ log });
    expect(rows(findings)).toHaveLength(6 * 60 + 1);
    expect(rows(outcomes)[0]).toMatchObject({ breaking: 1, weakening: 6 * 60 });
  });

  test('those of one job are not those of the next', () => {
    const log: Log = {
      jobs: [0, 1].map((job) => ({ job, spec: 0 })),
      closures: [0, 1].flatMap((job) => closuresWithErrors(sheet(), [], 1, job)),
      draws: [...drawsOf(even, { job: 0, stated: 50 }), ...drawsOf(even, { job: 1 })],
    };
    const { findings, outcomes } = results({ log });
    expect(rows(findings).map((row) => row.job_no)).toEqual([0, 0, 0, 0, 0, 0]);
    expect(rows(outcomes).map((row) => row.weakening)).toEqual([6, 0]);
  });
});

describe('a split pair', () => {
  const pair = (...shims: Shim[]): Log => ({ shims });
  const unequal = { element: 3, before: 1, beforeSecond: 1.2 };
  const tally = (log: Log) => found({ log }).map((row) => [codes.finding[row.finding], row.run]);

  test('found uneven and, as far as was written down, never made even, weakens the proof', () => {
    expect(tally(pair({ ...unequal, run: 0 }))).toEqual([
      ['split pair found uneven', 0],
      ['split pair differs', 0],
    ]);
  });

  test('found uneven and made even, at once or after a later run, is told for information', () => {
    expect(tally(pair({ ...unequal, run: 0, after: 1, afterSecond: 1 }))).toEqual([['split pair found uneven', 0]]);
    const later: Log = {
      ...pair({ ...unequal, run: 0 }, { ...unequal, run: 1, after: 1.1, afterSecond: 1.1 }),
      closures: [...closures, ...closuresWithErrors(sheet(), [], 2)],
    };
    expect(words({ log: later })).toEqual(['split pair found uneven']);
  });

  test('made uneven by the job itself is told once, when it was', () => {
    const twice: Log = {
      ...pair(
        { element: 3, run: 0, before: 1, beforeSecond: 1, after: 1.1, afterSecond: 1.2 },
        { element: 3, run: 1, before: 1.1, beforeSecond: 1.2, after: 1.2, afterSecond: 1.2 },
      ),
      closures: [...closures, ...closuresWithErrors(sheet(), [], 2)],
    };
    expect(tally(twice)).toEqual([['split pair differs', 0]]);
  });

  test('changed in one half alone is a change of the stack', () => {
    const log: Log = pair({ ...unequal, run: 1, after: 1, afterSecond: 1 });
    expect(words({ log })).toEqual(['split pair found uneven', 'shim changed after the last closure']);
    // The same of halves that went different ways, by which the barrel stands no higher.
    expect(words({ log: pair({ ...unequal, run: 1, after: 1.1, afterSecond: 1.1 }) })).toContain(
      'shim changed after the last closure',
    );
  });

  test('may have the change of either half on its card, or that of its middle, and no other', () => {
    const card = (stated: number) => words({ log: pair({ ...unequal, run: 0, after: 1, afterSecond: 1, stated }) });
    for (const stated of [0, -0.2, -0.1]) expect(card(stated)).toEqual(['split pair found uneven']);
    expect(card(0.2)).toContain('shim change stated with the wrong sign');
    expect(card(-0.3)).toContain('shim change misreckoned');
  });
});

describe('the order of work', () => {
  const points = { test_points: [base, light] };

  test('a test point goes by its first draw, and draws without a time tell nothing', () => {
    // Base was begun at 100 and drawn again at 120, when light had begun at 110.
    const again = takenAt(100, 110);
    again.draws?.push({ element: 1, repeat: 2, cm3: 60, taken: 120 });
    expect(words({ spec: points, log: again })).toEqual([]);
    expect(words({ spec: points, log: takenAt(NaN, 100) })).toEqual([]);
    const hidden: Log = {
      draws: [
        ...drawsOf(even, { taken: 120 }).map((row) => (row.element === 6 ? { ...row, taken: NaN } : row)),
        ...drawsOf(even, { point: 1, taken: 110 }),
      ],
    };
    expect(words({ spec: points, log: hidden })).toEqual(['test points out of order']);
  });

  test('a later run begins anew', () => {
    const log: Log = {
      draws: [1, 2].flatMap((run) => [
        ...drawsOf(even, { run, taken: 100 * run }),
        ...drawsOf(even, { run, point: 1, taken: 100 * run + 50 }),
      ]),
    };
    expect(words({ spec: points, log })).toEqual([]);
  });
});

describe('a stack changed after the balance was drawn', () => {
  const changed = (run: number, ofDraws: number, ofClosures: number) =>
    words({
      log: { ...shim(1.1, { run }), closures: errorOfThree(0, ofClosures), draws: drawsOf(even, { run: ofDraws }) },
    });

  test('can be told of a balance drawn as received only', () => {
    expect(changed(0, 0, 0)).toContain('shim changed after the last draw');
    // Then the closures went on, and the balance is missing.
    expect(changed(0, 0, 1)).toEqual(['test point missing']);
  });

  test('can\u2019t be told of one drawn after assembly, as runs are counted stage by stage', () => {
    expect(changed(1, 1, 2)).not.toContain('shim changed after the last draw');
    expect(changed(2, 1, 3)).not.toContain('shim changed after the last draw');
  });

  test('is nothing where no stack was changed', () => {
    expect(words({ log: { closures: errorOfThree(0, 0), draws: drawsOf(even, { run: 0 }) } })).toEqual([]);
  });
});

describe('a change for the better', () => {
  const changed = (deg: number, after: number, spec: Partial<Spec> = {}) =>
    words({ spec, log: { closures: [...errorOfThree(deg), ...errorOfThree(0, 2)], ...shim(after, { run: 1 }) } });

  test('overshooting to the other side by less than it was off is no wrong way', () => {
    // 1 deg late is 0.2 mm: 0.39 mm out leaves it 0.95 deg early, 0.41 mm 1.05 deg early.
    expect(changed(1, 0.61)).toEqual([]);
    expect(changed(1, 0.59)).toEqual(['shim changed the wrong way']);
  });

  test('a shim in the tappet works the other way round', () => {
    expect(changed(-1, 0.9, { adjuster: 'tappet_shim' })).toEqual([]);
    expect(changed(-1, 1.1, { adjuster: 'tappet_shim' })).toEqual(['shim changed the wrong way']);
  });

  test('a change that goes along with the reference is reckoned against it', () => {
    const both = (ofReference: number): Log => ({
      closures: [...errorOfThree(-1), ...errorOfThree(0, 2)],
      shims: [
        { run: 1, element: 1, before: 1, after: 1 + ofReference },
        { run: 1, element: 3, before: 1, after: 0.9 },
      ],
    });
    expect(words({ log: both(-0.3) })).toEqual([]);
    expect(words({ log: both(0) })).toEqual(['shim changed the wrong way']);
  });
});

describe('agrees', () => {
  const figure = fc.double({ min: -200, max: 200, noNaN: true });

  test('with every figure rounded to 0 to 3 decimals, and not with its neighbour', () => {
    fc.assert(
      fc.property(figure, fc.nat({ max: 3 }), (exact, decimals) => {
        const written = Number(exact.toFixed(decimals));
        expect(agrees(written, exact)).toBe(true);
        // A neighbour that ends in 0 reads as a coarser rounding, so it may still pass.
        const unit = 10 ** -decimals;
        const next = Number((written + 2 * unit * (exact < written ? 1 : -1)).toFixed(decimals));
        const endsInZero = decimals > 0 && Math.abs(Math.round(next / unit)) % 10 === 0;
        if (!endsInZero) expect(agrees(next, exact)).toBe(false);
      }),
    );
  });

  test('a figure of known decimals is not taken for a coarser rounding', () => {
    fc.assert(
      fc.property(fc.integer({ min: -300, max: 300 }), fc.integer({ min: 1, max: 300 }), (hundredths, off) => {
        expect(agrees(hundredths / 100, hundredths / 100, 0.01)).toBe(true);
        expect(agrees(hundredths / 100, (hundredths + off) / 100, 0.01)).toBe(false);
      }),
    );
  });

  test('no change stated is not the same as three tenths made, nor one step as two', () => {
    expect(words({ log: shim(1.3, { stated: 0 }) })).toEqual(['shim change misreckoned']);
    expect(words({ log: shim(1.15, { stated: 0.1 }) })).toEqual(['shim change misreckoned']);
  });

  test('anything agrees with what is not known', () => {
    expect(agrees(NaN, 1)).toBe(true);
    expect(agrees(1, NaN)).toBe(true);
  });
});
