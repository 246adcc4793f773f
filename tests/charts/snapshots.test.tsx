import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, it } from 'vitest';
import { BarrelRow } from '../../lib/charts/barrelRow';
import { modelElementsPlot } from '../../lib/charts/byModel';
import { elementQuartersPlot } from '../../lib/charts/byQuarter';
import { controlPlot, labelled, type ControlEvent, type ControlRow, type ControlStyle } from '../../lib/charts/control';
import { DegreeWheel } from '../../lib/charts/degreeWheel';
import { deliveriesPlot } from '../../lib/charts/deliveries';
import { firstPassPlot, latelyPlot } from '../../lib/charts/firstPass';
import { scaledAxis } from '../../lib/charts/frame';
import { funnelPlot } from '../../lib/charts/funnelRows';
import { rackCurvePlot } from '../../lib/charts/governor';
import { intervalsPlot } from '../../lib/charts/intervals';
import { offsetQuartersPlot } from '../../lib/charts/offsets';
import { quoteRangesPlot } from '../../lib/charts/quoteRanges';
import { bandsPlot, retentionPlot } from '../../lib/charts/retention';
import { stillOutPlot } from '../../lib/charts/returns';
import { roomPlot } from '../../lib/charts/roomLeft';
import { runErrorsPlot } from '../../lib/charts/runs';
import { visitsPlot } from '../../lib/charts/visits';
import { inLogUnits, percent } from '../../lib/words/figures';
import { drawnSvg, normalSvg } from './normal';

const room = { width: 600 };
const quarters = ['2024-01-01', '2024-04-01', '2024-07-01', '2024-10-01', '2025-01-01'] as const;
const [q1, q2, q3, q4, end] = quarters;
const point = (from: string, to: string, value: number, word = ''): ControlRow => ({
  ...{ from, to, value, word, low: 0.3, high: 0.9, n: 20 },
  beyond: word.endsWith('limit'),
  note: `${from}: ${value}`,
  href: `/jobs/?from=${from}`,
});
const points = [
  point(q1, q2, 0.7, 'run above'),
  point(q2, q3, 0.8, 'run above'),
  point(q3, q4, 0.25, 'below limit'),
  point(q4, end, 0.4),
];
const style: ControlStyle = {
  label: 'First pass (%)',
  scale: (value) => 100 * value,
  write: percent,
  days: [q1, end],
  values: [0, 1],
};
const happened: ControlEvent[] = [
  { on: '2024-05-02', label: 'bench B2', own: false },
  { on: '2024-05-03', label: 'A new hand at the bench, half days', own: true },
  { on: '2024-08-09', label: 'rev. B', own: false },
];
const control = (width = 600) =>
  controlPlot(points, 0.6, { since: q3, before: 0.75, after: 0.33 }, happened, style, { width });

const middle = { n: 9, q1: -0.1, median: 0, q3: 0.3 };
const rate = { n: 10, share: 0.5, low: 0.24, high: 0.76 };
const reach = { ...scaledAxis(inLogUnits, 'Change made', 'shim'), reach: 0.1, limits: [-0.5, 0.5], write: String };
const band = { name: 'Heron', quarter: q1, n: 8, p10: 0.8, median: 0.9, p90: 0.95 };

const plots = {
  'control chart': () => control(),
  'funnel rows': () =>
    funnelPlot(
      [
        {
          name: 'T1',
          n: 40,
          share: 0.4,
          expected: 0.7,
          near: { low: 0.55, high: 0.84 },
          far: { low: 0.47, high: 0.9 },
          word: 'below',
          outside: true,
        },
        { name: 'T2', n: 12, share: 0.75, expected: 0.7, near: null, far: null, word: 'within chance', outside: false },
      ],
      room,
    ),
  'first pass': () => firstPassPlot([{ pump_model: 'Heron', ...rate }], 0.5, room),
  lately: () => latelyPlot([{ pump_model: 'Heron', before: rate, lately: rate, change: 'lower' }], room),
  'elements by quarter': () => elementQuartersPlot([{ element: 1, quarter: q1, ...middle }], reach, room),
  'elements by model': () => modelElementsPlot([{ pump_model: 'Heron', element: 1, ...middle }], reach, room),
  retention: () => retentionPlot([{ ...band, occasion: 'as received' }], room),
  bands: () =>
    bandsPlot([band, { ...band, quarter: q2, n: 2 }], { label: 'Slope', scale: (x) => x, write: String }, room),
  'rack travel': () =>
    rackCurvePlot(
      [{ run: 1, at: 0, low: 8, high: 8.4, rack_mm: 8.5, verdict: 'out' }],
      [{ run: 1, check_id: 'boost', at: 40, rack_mm: 8.7 }],
      { text: 'Boost pressure', unit: 'kpa' },
      room,
    ),
  visits: () =>
    visitsPlot(
      [{ element: 1, received_on: '2024-03-04', received: 1.2, left: 1.1 }],
      { label: 'Shim stack (mm)', write: String, tickFormat: '.2f', limits: [], zero: false },
      room,
    ),
  'errors by run': () => runErrorsPlot([{ run: 0, element: 1, error_deg: 0.4, verdict: 'in' }], 0.5, room),
  'quote ranges': () =>
    quoteRangesPlot(
      14.5,
      [
        { coverage: 0.5, low: 12, high: 16 },
        { coverage: 0.8, low: 11, high: 19 },
        { coverage: 0.95, low: 8, high: Infinity },
      ],
      [
        { value: 13, note: 'J1, 4 Mar 2024: 13.0 h', href: '/job/?id=J1' },
        { value: 18.5, note: 'J2, 5 Mar 2024: 18.5 h', href: '/job/?id=J2' },
      ],
      { label: 'Labour (h)', write: String },
      room,
    ),
  intervals: () =>
    intervalsPlot(
      [
        { name: 'B1', n: 1200, value: -0.4, low: -0.6, high: -0.2 },
        { name: 'B2', n: 8, value: 0.3, low: -0.9, high: 1.5 },
      ],
      { label: 'Offset (%)', write: String, zero: 'of note' },
      room,
    ),
  'intervals of two ways': () =>
    intervalsPlot(
      [
        { name: 'Heron', way: 'as received', n: 30, value: 12, low: 10, high: 14 },
        { name: 'Heron', way: 'as left', n: 28, value: 4, low: 3, high: 5 },
      ],
      { label: 'Scatter (%)', write: String, zero: 'the start' },
      room,
    ),
  'offsets by quarter': () =>
    offsetQuartersPlot(
      [
        { bench_id: 'B1', quarter: q1, n: 40, offset: 0.1, low: -0.3, high: 0.5 },
        { bench_id: 'B1', quarter: q2, n: 3, offset: 0.4, low: -9, high: 9.8 },
        { bench_id: 'B2', quarter: q1, n: 22, offset: -1.2, low: -1.6, high: -0.8 },
      ],
      room,
    ),
  'still out': () =>
    stillOutPlot(
      [
        { name: 'Heron', months: 0, share: 1, low: NaN, high: NaN },
        { name: 'Heron', months: 5, share: 0.9, low: 0.7, high: 0.97 },
        { name: 'Heron', months: 14, share: 0.45, low: 0.3, high: 0.6 },
        { name: 'Plover', months: 0, share: 1, low: NaN, high: NaN },
        { name: 'Plover', months: 30, share: 0.8, low: 0.5, high: 0.95 },
      ],
      [
        { name: 'Heron', months: 12, n: 18 },
        { name: 'Plover', months: 12, n: 1200 },
        { name: 'Plover', months: 24, n: 9 },
      ],
      room,
    ),
  'room left': () =>
    roomPlot(
      [
        {
          ...{ figure: 'Mean delivery', name: 'Dunlin', n: 402, mean: -0.17, isPast: true, note: 'Dunlin' },
          reckoned: { low: -1.41, high: 1.08 },
          counted: { low: -3.5, high: 0.7 },
        },
        {
          ...{ figure: 'Mean delivery', name: 'Heron', n: 1515, mean: 0, isPast: false, note: 'Heron' },
          reckoned: { low: -0.66, high: 0.65 },
          counted: { low: -0.64, high: 0.88 },
        },
        {
          ...{ figure: 'Spread', name: 'Heron', n: 60, mean: 0.57, isPast: false, note: 'Heron' },
          reckoned: { low: null, high: 0.89 },
          counted: { low: null, high: 0.9 },
        },
      ],
      room,
    ),
  deliveries: () =>
    deliveriesPlot(
      [{ run: 1, element: 1, mm3_per_stroke: 80, verdict: 'in' }],
      [{ run: 1, element: 1, mm3_per_stroke: 81, counts: false }],
      { low: 78, high: 82 },
      room,
    ),
} as const;

describe('pictures stay as they are', () => {
  it.each(Object.entries(plots))('%s', async (name, draw) => {
    await expect(drawnSvg(draw())).toMatchFileSnapshot(`snapshots/${name}.svg`);
  });

  it('degree wheel', async () => {
    const rows = [
      { element: 1, nominal_deg: 0, error_deg: 0, verdict: 'in' as const },
      { element: 2, nominal_deg: 90, error_deg: 0.8, verdict: 'out' as const },
    ];
    const markup = renderToStaticMarkup(<DegreeWheel rows={rows} tolerance={0.5} size={300} label="Run 1" />);
    await expect(normalSvg(markup)).toMatchFileSnapshot('snapshots/degree wheel.svg');
  });

  it('barrel row', async () => {
    const rows = [
      { element: 1, stack_mm: 1.2, made_mm: -0.15, mm3_per_stroke: 80, verdict: 'in' as const },
      { element: 2, stack_mm: 1.05, made_mm: null, mm3_per_stroke: 83, verdict: 'out' as const },
    ];
    const markup = renderToStaticMarkup(<BarrelRow rows={rows} low={78} high={82} width={600} label="As left" />);
    await expect(normalSvg(markup)).toMatchFileSnapshot('snapshots/barrel row.svg');
  });

  it('are the same each time they are drawn', () => {
    expect(drawnSvg(control())).toBe(drawnSvg(control()));
  });
});

describe('control chart', () => {
  const svg = drawnSvg(control());
  it('marks what stands out by shape and word, each run once', () => {
    expect(svg.match(/below limit/g)).toHaveLength(1);
    expect(svg.match(/run above/g)).toHaveLength(1);
  });

  it('makes each point a link to its jobs, with its words', () => {
    expect(svg.match(/href="\/jobs\/\?from=/g)).toHaveLength(points.length);
    expect(svg).toContain('aria-label="2024-07-01: 0.3"');
  });

  it('tells n at each point where it has room, and not where figures would overlap', () => {
    expect(svg.match(/n 20/g)).toHaveLength(points.length);
    expect(drawnSvg(control(150))).not.toContain('n 20');
    // Two quarters side by side in four years, and the next two in the last year, as of one season.
    const years: readonly [string, string] = ['2021-01-01', '2025-01-01'];
    const season = points.map((row, k) =>
      k < 2 ? { ...row, from: `2021-0${3 * k + 1}-01`, to: `2021-0${3 * k + 4}-01` } : row,
    );
    expect(drawnSvg(controlPlot(season, 0.6, null, [], { ...style, days: years }, { width: 400 }))).not.toContain(
      'n 20',
    );
  });

  it("writes a person's note before the log's label where both have no room", () => {
    expect(labelled(happened, [q1, end], 600).map(({ label }) => label)).toEqual([happened[1]?.label, 'rev. B']);
    expect(labelled(happened, ['2024-05-01', '2024-05-10'], 600)).toHaveLength(3);
  });

  it('shows no text of a note as markup', () => {
    const hostile: ControlEvent = { on: '2024-05-03', label: '<b>&"', own: true };
    expect(drawnSvg(controlPlot(points, 0.6, null, [hostile], style, room))).toContain('&lt;b>&amp;&quot;');
  });
});
