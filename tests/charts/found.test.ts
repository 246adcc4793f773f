import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  foundSharesPlot,
  foundStripsPlot,
  foundTimePlot,
  quartersOf,
  stripOf,
  type FoundPoint,
  type FoundSide,
  type FoundStyle,
} from '../../lib/charts/found';
import { backEarly, benchReadsHigh, closesLate, oldRevision } from './foundFixture';
import { drawnSvg, normalSvg } from './normal';

const style = (change: Partial<FoundStyle>): FoundStyle => ({
  label: 'Phase error (° cam)',
  scale: (value) => value,
  write: String,
  signed: true,
  share: false,
  ...change,
});
const inShares = style({ label: 'Came back early (% of jobs)', scale: (v) => 100 * v, signed: false, share: true });
const sides = (name: string, { group, rest }: Pick<typeof backEarly, 'group' | 'rest'>): readonly FoundSide[] => [
  { name, ...group },
  { name: 'the rest', ...rest },
];
const room = { width: 640 };

const plots = {
  'found-shares': foundSharesPlot(sides('complaint “smokes”', backEarly), inShares, room),
  'found-strips': foundStripsPlot(closesLate.points.slice(0, 60), sides('element 3', closesLate), style({}), room),
  'found-time': foundTimePlot(
    benchReadsHigh.points,
    [{ day: '2021-06-03', word: 'since 3 Jun 2021' }],
    style({ label: 'Delivery (%)' }),
    room,
  ),
  'found-time-shares': foundTimePlot(
    oldRevision.points,
    [
      { day: '2021-03-02', word: 'since 2 Mar 2021' },
      { day: '2022-08-27', word: 'until 27 Aug 2022' },
    ],
    inShares,
    { width: 330 },
  ),
} as const;

describe('the plot of a finding', () => {
  it.each(Object.entries(plots))('%s looks as it did', async (name, options) => {
    await expect(drawnSvg(options)).toMatchFileSnapshot(`snapshots/${name}.svg`);
  });

  it('draws group and rest in shapes of their own', () => {
    const svg = drawnSvg(plots['found-shares']);
    // Ticks are paths of one line; a shape has more to it.
    const paths = [...svg.matchAll(/<path [^>]*\bd="([^"]*)"/g)].map(([, path]) => path ?? '');
    const shapes = paths.filter((path) => !/^M0,0L[^L]*$/.test(path));
    expect(shapes).toHaveLength(2);
    expect(new Set(shapes).size).toBe(2);
  });

  it('marks each change with its words', () => {
    const svg = drawnSvg(plots['found-time-shares']);
    expect(svg).toContain('since 2 Mar 2021');
    expect(svg).toContain('until 27 Aug 2022');
  });
});

const someDay = fc
  .date({ min: new Date('2018-01-01'), max: new Date('2025-12-31'), noInvalidDate: true })
  .map((at) => at.toISOString().slice(0, 10));
const somePoints: fc.Arbitrary<FoundPoint[]> = fc.array(
  fc.record({ day: someDay, value: fc.double({ min: -9, max: 9 }), inGroup: fc.boolean() }),
  { minLength: 1, maxLength: 1500 },
);

describe('what is drawn of many points', () => {
  it('never more than 400 a side, and each of them within the axis', () => {
    fc.assert(
      fc.property(somePoints, (points) => {
        const { points: drawn, domain, oneIn, beyond } = stripOf(points, []);
        for (const inGroup of [true, false])
          expect(drawn.filter((point) => point.inGroup === inGroup).length).toBeLessThanOrEqual(400);
        for (const { value } of drawn) expect(value >= domain[0] && value <= domain[1]).toBe(true);
        const finite = points.filter(({ value }) => Number.isFinite(value)).length;
        expect(drawn.length * oneIn).toBeGreaterThanOrEqual(finite - beyond);
      }),
    );
  });

  it('counts each point in one quarter, and none that is no number', () => {
    fc.assert(
      fc.property(somePoints, (points) => {
        const rows = quartersOf(points, false);
        const finite = points.filter(({ value }) => Number.isFinite(value)).length;
        expect(rows.reduce((sum, row) => sum + row.n, 0)).toBe(finite);
        expect(rows.map((row) => row.quarter)).toEqual(rows.map((row) => row.quarter).toSorted());
      }),
    );
  });

  it('takes the share of jobs, and the median of readings', () => {
    const points = [0, 0, 1].map((value) => ({ day: '2024-05-06', value, inGroup: true }));
    expect(quartersOf(points, true)).toEqual([{ quarter: '2024-04-01', inGroup: true, n: 3, value: 1 / 3 }]);
    expect(quartersOf(points, false)[0]?.value).toBe(0);
  });
});

describe('a drawing as text', () => {
  it('is the same where it looks the same', () => {
    const one = '<g class="plot-d6a7b5" clip-path="url(#plot-clip-7)"><path d="M1.234,-0.01L2e1,3"></path></g>';
    const other = '<g class="plot-a1b2c3" clip-path="url(#plot-clip-2)"><path d="M1.199,0.02L2e1,3"></path></g>';
    expect(normalSvg(one)).toBe(normalSvg(other));
  });

  it('differs where a mark has moved, or a figure in the text has changed', () => {
    expect(normalSvg('<path d="M1.2,0"></path>')).not.toBe(normalSvg('<path d="M1.4,0"></path>'));
    expect(normalSvg('<text>0.414</text>')).not.toBe(normalSvg('<text>0.411</text>'));
  });
});
