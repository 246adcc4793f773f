import type { PlotOptions, ScaleOptions } from '@observablehq/plot';
import { describe, expect, it } from 'vitest';
import { modelElementsPlot } from '../../lib/charts/byModel';
import { elementQuartersPlot, type QuarterStyle } from '../../lib/charts/byQuarter';
import { deliveriesPlot } from '../../lib/charts/deliveries';
import { firstPassPlot, latelyPlot } from '../../lib/charts/firstPass';
import { rackCurvePlot } from '../../lib/charts/governor';
import { grid, midQuarter, roundZero, scaledAxis, signed, timeAxis } from '../../lib/charts/frame';
import { intervalsPlot } from '../../lib/charts/intervals';
import { offsetQuartersPlot } from '../../lib/charts/offsets';
import { retentionPlot } from '../../lib/charts/retention';
import { stillOutPlot } from '../../lib/charts/returns';
import { runErrorsPlot } from '../../lib/charts/runs';
import { visitsPlot } from '../../lib/charts/visits';
import { inLogUnits } from '../../lib/words/figures';

const room = { width: 800 };
const style: QuarterStyle = {
  ...scaledAxis(inLogUnits, 'Change made', 'shim'),
  reach: 0.1,
  limits: [-0.5, 0.5],
  write: String,
};
const rate = { n: 10, share: 0.5, low: 0.24, high: 0.76 };
const none = { n: 0, share: null, low: null, high: null };
const middle = { n: 9, q1: -0.1, median: 0, q3: 0.3 };

const plots: Readonly<Record<string, (room: { width: number }) => PlotOptions>> = {
  'first pass': (r) =>
    firstPassPlot(
      [
        { pump_model: 'Heron', ...rate },
        { pump_model: 'Plover', ...none },
      ],
      0.5,
      r,
    ),
  lately: (r) => latelyPlot([{ pump_model: 'Heron', before: rate, lately: none, change: 'no clear change' }], r),
  'by quarter': (r) => elementQuartersPlot([{ element: 1, quarter: '2024-01-01', ...middle }], style, r),
  'by model': (r) => modelElementsPlot([{ pump_model: 'Heron', element: 1, ...middle }], style, r),
  governor: (r) =>
    rackCurvePlot(
      [
        { run: 1, at: 0, low: 8, high: 8.4, rack_mm: 8.5, verdict: 'out' },
        { run: 1, at: 90, low: 9, high: 9.4, rack_mm: null, verdict: 'not measured' },
      ],
      [{ run: 1, check_id: 'boost', at: 40, rack_mm: 8.7 }],
      { text: 'Boost pressure', unit: 'kpa' },
      r,
    ),
  retention: (r) =>
    retentionPlot(
      [{ name: 'Heron', occasion: 'as received', quarter: '2024-01-01', n: 4, p10: 0.8, median: 0.9, p90: 0.95 }],
      r,
    ),
  visits: (r) =>
    visitsPlot(
      [{ element: 1, received_on: '2024-03-04', received: 1.2, left: null }],
      { label: 'Shim stack (mm)', write: String, tickFormat: '.2f', limits: [], zero: false },
      r,
    ),
  'still out': (r) =>
    stillOutPlot([{ name: 'Heron', months: 0, share: 1, low: 1, high: 1 }], [{ name: 'Heron', months: 0, n: 12 }], r),
  intervals: (r) =>
    intervalsPlot(
      [{ name: 'B1', n: 12, value: 1, low: 0.5, high: 1.5 }],
      { label: 'Offset (%)', write: String, zero: 'of note' },
      r,
    ),
  offsets: (r) =>
    offsetQuartersPlot([{ bench_id: 'B1', quarter: '2024-01-01', n: 6, offset: 1, low: -9, high: 11 }], r),
  runs: (r) => runErrorsPlot([{ run: 0, element: 1, error_deg: 0.4, verdict: 'in' }], 0.5, r),
  deliveries: (r) =>
    deliveriesPlot(
      [{ run: 1, element: 1, mm3_per_stroke: 80, verdict: 'in' }],
      [{ run: 1, element: 1, mm3_per_stroke: 80, counts: true }],
      { low: 78, high: 82 },
      r,
    ),
};

const labelOf = (scale: ScaleOptions | null | undefined): string =>
  typeof scale?.label === 'string' ? scale.label : '';

describe.each(Object.entries(plots))('%s', (_, draw) => {
  it('states a unit on an axis', () => {
    const options = draw(room);
    expect(`${labelOf(options.x)} ${labelOf(options.y)}`).toMatch(/\((mm|% of counted jobs|%|mm³\/stroke|° cam)\)/);
  });

  it('takes the width it is given, down to a phone', () => {
    expect(draw({ width: 330 }).width).toBe(330);
    expect(draw({ width: 330 }).height ?? 0).toBeGreaterThan(0);
  });
});

describe('small multiples', () => {
  it('stand side by side as they fit, each in a place of its own', () => {
    const keys = [1, 2, 3, 4, 5, 6, 7];
    const wide = grid(keys, { width: 1000 }, 240);
    expect([wide.columns, wide.rows]).toEqual([4, 2]);
    expect(new Set(keys.map((key) => `${wide.fx(key)} ${wide.fy(key)}`)).size).toBe(keys.length);
    expect(grid(keys, { width: 300 }, 240)).toMatchObject({ columns: 1, rows: 7 });
  });
});

describe('axes', () => {
  it('lie evenly round zero and hold every value', () => {
    const [low, high] = roundZero([0.1, -0.4], 0.2);
    expect(low).toBe(-high);
    expect(high).toBeGreaterThanOrEqual(0.4);
    expect(roundZero([], 0.2)[1]).toBeGreaterThanOrEqual(0.2);
  });

  it('put a quarter in its middle month', () => {
    expect(midQuarter('2024-10-01').toISOString().slice(0, 7)).toBe('2024-11');
  });

  it('write years only where a log spans them, and not closer than they can be read', () => {
    const span = [new Date('2018-01-01'), new Date('2026-01-01')];
    expect(timeAxis(span, 800, 'Quarter received')).toMatchObject({ ticks: 'year', tickFormat: '%Y' });
    expect(timeAxis(span, 200, 'Quarter received')).toMatchObject({ ticks: '2 years' });
    expect(timeAxis(span.slice(0, 1), 200, 'Quarter received')).not.toHaveProperty('tickFormat');
  });

  it('write the sign of a tick with a true minus', () => {
    expect([0.25, -0.25, 0].map(signed)).toEqual(['+0.25', '−0.25', '0']);
  });
});
