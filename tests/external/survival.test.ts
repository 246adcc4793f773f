import { describe, expect, test } from 'vitest';
import { eventTime, kaplanMeier, survivalAt } from '../../lib/stats/kaplanMeier';
import { logRank } from '../../lib/stats/logRank';
import { dataRows } from './csv';
import r from './data/survival.json';

/** Null where R tells none. */
function expectEach(own: readonly number[], theirs: readonly (number | null)[]) {
  expect(own).toHaveLength(theirs.length);
  theirs.forEach((figure, k) => {
    if (figure === null) expect(own[k]).toBeNaN();
    else expect(own[k]).toBeCloseTo(figure, 9);
  });
}

// NIST/SEMATECH e-Handbook 8.2.1.5: data read at the source, values computed from it.
test('twenty units on test for 200 hours', () => {
  const rows = dataRows('nist-8215.csv');
  const curve = kaplanMeier(
    rows.map(({ hours }) => Number(hours)),
    rows.map(({ failed }) => Number(failed)),
  );
  const survival = curve.steps.map((step) => step.survival.toFixed(3));
  expect(survival).toEqual(['0.950', '0.900', '0.847', '0.794', '0.737', '0.670']);
  expect(curve).toMatchObject({ n: 20, events: 6, watched: 200, leftOut: 0 });
});

describe('weeks of remission', () => {
  // E. J. Freireich and others, Blood 21 (1963) 699-716; data read at the source.
  const rows = dataRows('remission.csv');
  const arm = (name: string) => rows.filter((row) => row.arm === name);
  const curve = (name: string, scale: 'log' | 'log-log') =>
    kaplanMeier(
      arm(name).map(({ weeks }) => Number(weeks)),
      arm(name).map(({ relapse }) => Number(relapse)),
      0.95,
      scale,
    );

  test('curve of 6-MP and its standard errors (from memory; computed as well)', () => {
    const { steps } = curve('6-MP', 'log-log');
    expect(steps.map(({ time }) => time)).toEqual([6, 7, 10, 13, 16, 22, 23]);
    const survival = [0.857, 0.807, 0.753, 0.69, 0.627, 0.538, 0.448];
    const error = [0.0764, 0.0869, 0.0963, 0.1068, 0.1141, 0.1282, 0.1346];
    steps.forEach((step, k) => {
      expect(step.survival).toBeCloseTo(survival[k] ?? NaN, 3);
      expect(Math.sqrt(step.variance)).toBeCloseTo(error[k] ?? NaN, 4);
    });
  });

  test('placebo at ten weeks: 0.381, standard error 0.106 (read at the source)', () => {
    const placebo = curve('placebo', 'log');
    expect(survivalAt(placebo, 10)?.survival).toBeCloseTo(0.381, 3);
    const step = placebo.steps.findLast(({ time }) => time <= 10);
    expect(Math.sqrt(step?.variance ?? NaN)).toBeCloseTo(0.106, 3);
  });

  test('medians with their intervals on the log scale (read at the source)', () => {
    expect(eventTime(curve('6-MP', 'log'))).toEqual({ time: 23, low: 16, high: Infinity });
    expect(eventTime(curve('placebo', 'log'))).toEqual({ time: 8, low: 4, high: 12 });
  });

  test('log-rank test (read at the source: 16.8, expected 10.7 and 19.3; computed: 16.793)', () => {
    const got = logRank(
      rows.map(({ weeks }) => Number(weeks)),
      rows.map(({ relapse }) => Number(relapse)),
      rows.map((row) => (row.arm === 'placebo' ? 0 : 1)),
      2,
    );
    expect(got?.groups.map(({ n, observed }) => [n, observed])).toEqual([
      [21, 21],
      [21, 9],
    ]);
    expect(got?.groups[0]?.expected).toBeCloseTo(10.7, 1);
    expect(got?.groups[1]?.expected).toBeCloseTo(19.3, 1);
    expect(got?.chiSquare).toBeCloseTo(16.793, 3);
    expect(got?.freedom).toBe(1);
    expect(got?.p).toBeCloseTo(4.17e-5, 7);
  });
});

// The data's first field names the program and its version; make_survival.R beside it wrote it.
describe('as R has it', () => {
  test.each(r.curves)('curve on the $scale scale at $confidence', (theirs) => {
    const scale = theirs.scale === 'log' ? 'log' : 'log-log';
    const curve = kaplanMeier(theirs.times, theirs.events, theirs.confidence, scale);
    expectEach(
      curve.steps.map(({ time }) => time),
      theirs.time,
    );
    expectEach(
      curve.steps.map(({ atRisk }) => atRisk),
      theirs.atRisk,
    );
    expectEach(
      curve.steps.map(({ events }) => events),
      theirs.count,
    );
    expectEach(
      curve.steps.map(({ survival }) => survival),
      theirs.survival,
    );
    expectEach(
      curve.steps.map(({ variance }) => Math.sqrt(variance)),
      theirs.error,
    );
    expectEach(
      curve.steps.map(({ low }) => low),
      theirs.low,
    );
    expectEach(
      curve.steps.map(({ high }) => high),
      theirs.high,
    );
    const { time, low, high } = eventTime(curve);
    expect([time, low, high]).toEqual(theirs.median.map(Number));
  });

  test.each(r.ranks)('log-rank with $freedom degrees of freedom', (theirs) => {
    const got = logRank(theirs.times, theirs.events, theirs.group, theirs.observed.length);
    expectEach(got?.groups.map(({ observed }) => observed) ?? [], theirs.observed);
    expectEach(got?.groups.map(({ expected }) => expected) ?? [], theirs.expected);
    expect(got?.chiSquare).toBeCloseTo(theirs.chiSquare, 9);
    expect(got?.freedom).toBe(theirs.freedom);
    expect(got?.p).toBeCloseTo(theirs.p, 10);
  });
});
