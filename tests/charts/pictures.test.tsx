import fc from 'fast-check';
import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, it } from 'vitest';
import { BarrelRow } from '../../lib/charts/barrelRow';
import { DegreeWheel, magnification, type ClosureRow } from '../../lib/charts/degreeWheel';
import { VerdictShape, type VerdictWord } from '../../lib/charts/verdictMark';

const verdicts: readonly VerdictWord[] = ['in', 'out', 'cannot tell', 'not measured'];

const wheel = (errors: readonly (number | null)[], tolerance: number): readonly ClosureRow[] =>
  errors.map((error_deg, i) => ({
    element: i + 1,
    nominal_deg: (360 * i) / errors.length,
    error_deg,
    verdict: error_deg === null ? 'not measured' : Math.abs(error_deg) <= tolerance ? 'in' : 'out',
  }));

describe('degree wheel', () => {
  it('never draws a closure or a wedge as far as half-way to its neighbour', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -3, max: 3, noNaN: true }), { minLength: 2, maxLength: 12 }),
        fc.double({ min: 0.1, max: 2, noNaN: true }),
        (errors, tolerance) => {
          const rows = wheel(errors, tolerance);
          const factor = magnification(rows, tolerance);
          const half = 180 / errors.length;
          expect(factor).toBeGreaterThanOrEqual(1);
          if (factor > 1) {
            expect(factor * tolerance).toBeLessThan(half);
            for (const error of errors) expect(factor * Math.abs(error)).toBeLessThan(half);
          }
        },
      ),
    );
  });

  it('draws a hand for each closure read and marks the one that is out', () => {
    const svg = renderToStaticMarkup(
      <DegreeWheel rows={wheel([0, 0.2, -0.9, null], 0.5)} tolerance={0.5} size={300} label="Run 1" />,
    );
    expect(svg.match(/class="wheel-hand[ "]/g)).toHaveLength(3);
    expect(svg.match(/wheel-hand-out/g)).toHaveLength(1);
    expect(svg).toContain('aria-label="Run 1"');
    expect(svg).toContain('−0.90°');
  });
});

describe('barrel row', () => {
  it('shows each barrel with its figures, also where nothing is known', () => {
    const svg = renderToStaticMarkup(
      <BarrelRow
        rows={[
          { element: 1, stack_mm: 1.2, made_mm: -0.15, mm3_per_stroke: 80, verdict: 'in' },
          { element: 2, stack_mm: null, made_mm: null, mm3_per_stroke: null, verdict: 'not measured' },
        ]}
        low={78}
        high={82}
        width={400}
        label="As left"
      />,
    );
    expect(svg).toContain('−0.15');
    expect(svg).toContain('80.0');
    expect(svg).not.toContain('NaN');
    expect(svg).not.toContain('Infinity');
  });
});

describe('verdict marks', () => {
  it('differ in shape, not in colour alone', () => {
    const shapes = verdicts.map((verdict) =>
      renderToStaticMarkup(<VerdictShape verdict={verdict} size={12} />).replaceAll(/class="[^"]*"/g, ''),
    );
    expect(new Set(shapes).size).toBe(verdicts.length);
  });
});
