import { describe, expect, test } from 'vitest';
import { calibrate } from '../../lib/calc/batch';
import { assumedSpeedTolerance, perStroke } from '../../lib/calc/delivery/delivery';
import { code } from '../../lib/calc/layout';
import type { Spec, TestPoint } from '../../lib/calc/types';
import { type Draw, drawsOf, readings, rows, sixElements, specsOf, testPoint } from './build';

const IN = code('verdict', 'in');
const OUT = code('verdict', 'out');
const NOT_MEASURED = code('verdict', 'not measured');

const withPoint = (differs: Partial<TestPoint> = {}): Spec => sixElements({ test_points: [testPoint(differs)] });
const work = (spec: Spec, draws: Draw[]) => calibrate(specsOf(spec), readings({ draws }));
const pointRow = (spec: Spec, draws: Draw[]) => rows(work(spec, draws).points)[0];
const even = [60, 60, 60, 60, 60, 60];

describe('delivery per stroke', () => {
  test('60 cm3 over 1000 strokes and 30 cm3 over 500 are 60 mm3 a stroke', () => {
    expect(perStroke(60, 1000)).toBe(60);
    expect(perStroke(30, 500)).toBe(60);
  });

  test.each([
    [60, 0],
    [60, -100],
    [-1, 1000],
    [NaN, 1000],
    [60, NaN],
  ])('%f cm3 over %f strokes is no delivery', (volume, strokes) => {
    expect(perStroke(volume, strokes)).toBeNaN();
  });

  test('repeats are averaged and their range is kept', () => {
    const results = work(withPoint(), [
      ...drawsOf([59, 60, 60, 60, 60, 60]),
      { element: 1, repeat: 2, cm3: 62 },
      { element: 1, repeat: 3, cm3: 30.5, strokes: 500 },
    ]);
    const deliveries = rows(results.deliveries);
    expect(deliveries).toHaveLength(6);
    expect(deliveries[0]).toMatchObject({ element: 1, draws: 3, excluded: 0, repeat_range_mm3: 3, verdict: IN });
    expect(deliveries[0]?.mm3_per_stroke).toBeCloseTo(182 / 3, 12);
    expect(deliveries[1]?.repeat_range_mm3).toBeNaN();
    // Every element weighs the same in the mean, however many draws it had.
    expect(rows(results.points)[0]?.mean_mm3).toBeCloseTo((182 / 3 + 300) / 6, 12);
  });
});

describe('draws outside a window', () => {
  test.each<[string, Partial<Draw>, Parameters<typeof code<'exclusion'>>[1], number[]]>([
    ['rack', { rack: 9.11 }, 'rack outside its window', [9.11, 8.9, 9.1]],
    ['speed', { rpm: 989 }, 'speed outside its window', [989, 990, 1010]],
    ['fluid', { fluid: 42.1 }, 'fluid temperature outside its window', [42.1, 38, 42]],
    ['feed', { feed: 149 }, 'feed pressure outside its window', [149, 150, 200]],
  ])('%s: kept with its reason, and not counted', (_, differs, reason, [reading, low, high]) => {
    const spec = withPoint({ feed_low_kpa: 150, feed_high_kpa: 200 });
    const draws = drawsOf(even, { feed: 170 }).map((draw) => (draw.element === 2 ? { ...draw, ...differs } : draw));
    const results = work(spec, [...draws, { element: 3, repeat: 2, cm3: 60, feed: 170, ...differs }]);
    expect(rows(results.excluded)).toEqual([
      { job_no: 0, run: 1, point: 0, element: 2, repeat: 1, reason: code('exclusion', reason), reading, low, high },
      { job_no: 0, run: 1, point: 0, element: 3, repeat: 2, reason: code('exclusion', reason), reading, low, high },
    ]);
    expect(rows(results.deliveries)[1]).toMatchObject({
      mm3_per_stroke: NaN,
      draws: 0,
      excluded: 1,
      verdict: NOT_MEASURED,
    });
    expect(rows(results.deliveries)[2]).toMatchObject({ mm3_per_stroke: 60, draws: 1, excluded: 1, verdict: IN });
    expect(rows(results.points)[0]).toMatchObject({ elements_measured: 5, verdict: NOT_MEASURED });
    expect(rows(results.outcomes)[0]?.excluded_draws).toBe(2);
  });

  test('a draw with several reasons has a row for each and counts once', () => {
    const results = work(withPoint(), [{ element: 1, cm3: 60, rack: 8, rpm: 900, fluid: 20 }]);
    expect(rows(results.excluded).map((row) => row.reason)).toEqual([0, 1, 2]);
    expect(rows(results.outcomes)[0]?.excluded_draws).toBe(1);
  });

  test('the ends of a window are inside it', () => {
    const edges = drawsOf(even, { rack: 9.1, rpm: 990, fluid: 38 });
    expect(rows(work(withPoint(), edges).excluded)).toEqual([]);
    expect(pointRow(withPoint(), edges)?.verdict).toBe(IN);
  });

  test('a window with one end is open at the other', () => {
    const spec = withPoint({ fluid_high_c: NaN });
    expect(rows(work(spec, drawsOf(even, { fluid: 80 })).excluded)).toEqual([]);
    expect(rows(work(spec, drawsOf(even, { fluid: 37 })).excluded)).toHaveLength(6);
  });

  test('rack is checked only where it and its tolerance are both stated', () => {
    for (const differs of [{ rack_mm: NaN }, { rack_tol_mm: NaN }]) {
      expect(rows(work(withPoint(differs), drawsOf(even, { rack: 3 })).excluded)).toEqual([]);
      expect(pointRow(withPoint(differs), drawsOf(even, { rack: NaN }))?.unchecked).toBe(0);
    }
  });

  test('a reading that is missing where a window is asked for counts, and is told as unchecked', () => {
    const row = pointRow(withPoint(), drawsOf(even, { rack: NaN, fluid: NaN }));
    expect(row).toMatchObject({ unchecked: 12, elements_measured: 6, verdict: IN });
  });

  test('without a tolerance the speed may be 1 % off, at least 5 rpm (common practice, no source), and that is told', () => {
    expect([assumedSpeedTolerance(1000), assumedSpeedTolerance(200)]).toEqual([10, 5]);
    const spec = withPoint({ speed_tol_rpm: NaN, speed_rpm: 200 });
    const [row] = rows(
      work(spec, [...drawsOf(even, { rpm: 205 }), { element: 1, repeat: 2, cm3: 90, rpm: 206 }]).points,
    );
    expect(row).toMatchObject({ speed_tolerance_assumed: code('yes_no', 'yes'), mean_mm3: 60, verdict: IN });
    expect(pointRow(withPoint(), drawsOf(even))?.speed_tolerance_assumed).toBe(code('yes_no', 'no'));
  });

  test('a run whose draws are all excluded did not measure the test point', () => {
    const results = work(withPoint(), [...drawsOf(even), ...drawsOf(even, { run: 2, rack: 3 })]);
    expect(rows(results.stages)[1]).toMatchObject({ runs: 1, as_left_run: 1, as_left: IN });
    expect(rows(results.points)[1]).toMatchObject({
      run: 2,
      elements_measured: 0,
      mean_mm3: NaN,
      verdict: NOT_MEASURED,
    });
  });

  test('a draw that gives no figure is passed over', () => {
    const results = work(withPoint(), [...drawsOf(even), { element: 1, repeat: 2, cm3: 60, strokes: 0, rack: 1 }]);
    expect(rows(results.deliveries)[0]).toMatchObject({ mm3_per_stroke: 60, draws: 1, excluded: 0 });
  });
});

describe('verdict on a test point', () => {
  test('without a spread every element must lie in the band itself', () => {
    const uneven = [57, 63, 60, 60, 60, 60];
    expect(
      pointRow(
        withPoint(),
        uneven.map((cm3, k) => ({ element: k + 1, cm3 })),
      ),
    ).toMatchObject({
      mean_verdict: IN,
      spread: NaN,
      spread_basis: code('spread_basis', 'none asked'),
      spread_verdict: NOT_MEASURED,
      verdict: OUT,
    });
  });

  test('with a spread the mean must lie in the band and the spread within its limit', () => {
    const spec = withPoint({ spread: 6, spread_basis: 'range_mm3' });
    expect(pointRow(spec, drawsOf([57, 63, 60, 60, 60, 60]))).toMatchObject({
      spread: 6,
      spread_verdict: IN,
      verdict: IN,
    });
    expect(pointRow(spec, drawsOf([57, 63.1, 60, 60, 60, 60]))).toMatchObject({ spread_verdict: OUT, verdict: OUT });
    expect(pointRow(spec, drawsOf([64, 63, 63, 63, 63, 63]))).toMatchObject({
      mean_verdict: OUT,
      spread_verdict: IN,
      verdict: OUT,
    });
  });

  test('an element that is missing leaves it not measured, unless nothing it could read would help', () => {
    const five = [60, 60, 60, 60, 60];
    expect(pointRow(withPoint(), drawsOf(five))).toMatchObject({ mean_verdict: NOT_MEASURED, verdict: NOT_MEASURED });
    expect(pointRow(withPoint(), drawsOf([70, 60]))?.verdict).toBe(OUT);
    const range = withPoint({ spread: 2, spread_basis: 'range_mm3' });
    expect(pointRow(range, drawsOf([60, 63]))).toMatchObject({ spread_verdict: OUT, verdict: OUT });
    expect(pointRow(range, drawsOf([70, 71]))).toMatchObject({ mean_verdict: NOT_MEASURED, verdict: NOT_MEASURED });
    const percent = withPoint({ spread: 2, spread_basis: 'range_percent' });
    expect(pointRow(percent, drawsOf([60, 63]))?.spread_verdict).toBe(NOT_MEASURED);
    expect(pointRow(range, drawsOf([60]))?.spread).toBeNaN();
  });

  test('a pump with one element has no spread', () => {
    const single = { ...withPoint({ spread: 1, spread_basis: 'range_percent' }), elements: 1, firing_order: [1] };
    expect(pointRow(single, drawsOf([60]))).toMatchObject({ spread: 0, spread_verdict: IN, verdict: IN });
  });

  test('a test point that the specification does not have gets its figures, no verdict and no stage', () => {
    const results = work(withPoint(), drawsOf(even, { point: 9, rpm: 333 }));
    expect(rows(results.points)[0]).toMatchObject({ point: 9, mean_mm3: 60, low_mm3: NaN, verdict: NOT_MEASURED });
    expect(rows(results.deliveries)[0]).toMatchObject({ mm3_per_stroke: 60, verdict: NOT_MEASURED });
    expect(rows(results.stages).map((stage) => [stage.point, stage.runs])).toEqual([
      [-1, 0],
      [0, 0],
    ]);
  });

  test('elements that the specification does not have are passed over', () => {
    const results = work(withPoint(), [...drawsOf(even), { element: 7, cm3: 90 }, { element: 0, cm3: 90 }]);
    expect(rows(results.deliveries)).toHaveLength(6);
    expect(rows(results.points)[0]).toMatchObject({ mean_mm3: 60, verdict: IN });
  });
});

describe('low-speed retention', () => {
  const low = testPoint({
    point: 1,
    purpose: 'low-speed',
    speed_rpm: 200,
    speed_tol_rpm: NaN,
    low_mm3: 40,
    high_mm3: 60,
  });
  const full = testPoint({ point: 2, purpose: 'full', speed_rpm: 1200, speed_tol_rpm: NaN });
  const part = testPoint({ point: 3, purpose: 'part', speed_rpm: 1400, speed_tol_rpm: NaN });
  const at = (point: TestPoint, q: number[], run = 1) =>
    drawsOf(q, { point: point.point, rpm: point.speed_rpm, rack: point.rack_mm, run });
  const retentionRows = (points: TestPoint[], draws: Draw[]) =>
    rows(work(sixElements({ test_points: points }), draws).retention);

  test('delivery at low speed over delivery at the fastest full or base point of the same rack', () => {
    const found = retentionRows(
      [testPoint(), low, full, part],
      [...at(low, [48, 54]), ...at(testPoint(), even), ...at(full, [60, 60, 60]), ...at(part, even)],
    );
    expect(found.map((row) => [row.element, row.low_point, row.rated_point, row.retention])).toEqual([
      [1, 1, 2, 0.8],
      [2, 1, 2, 0.9],
    ]);
  });

  test('a part point stands in where no full or base point has that rack', () => {
    const other = { ...full, rack_mm: 9.06 };
    const [row] = retentionRows([low, other, part], [...at(low, [48]), ...at(other, even), ...at(part, even)]);
    expect(row).toMatchObject({ rated_point: 3 });
  });

  test('racks up to 0.05 mm apart are one rack', () => {
    const near = { ...full, rack_mm: 9.05 };
    expect(retentionRows([low, near], [...at(low, [48]), ...at(near, even)])).toHaveLength(1);
  });

  test('none across runs, without a faster point, or without a rack', () => {
    expect(retentionRows([low, full], [...at(low, even, 1), ...at(full, even, 2)])).toEqual([]);
    const slow = { ...full, speed_rpm: 150 };
    expect(retentionRows([low, slow], [...at(low, even), ...at(slow, even)])).toEqual([]);
    const unstated = { ...low, rack_mm: NaN };
    expect(retentionRows([unstated, full], [...at({ ...unstated, rack_mm: 9 }, even), ...at(full, even)])).toEqual([]);
  });

  test('nothing delivered at rated speed leaves it empty', () => {
    const [row] = retentionRows([low, full], [...at(low, [48]), ...at(full, [0])]);
    expect(row?.retention).toBeNaN();
  });
});
