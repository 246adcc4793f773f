import type { PlotOptions, ScaleOptions } from '@observablehq/plot';
import fc from 'fast-check';
import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, it } from 'vitest';
import { BarrelRow } from '../../lib/charts/barrelRow';
import { DegreeWheel } from '../../lib/charts/degreeWheel';
import { elementQuartersPlot } from '../../lib/charts/byQuarter';
import { scaledAxis } from '../../lib/charts/frame';
import { rackCurvePlot } from '../../lib/charts/governor';
import { runErrorsPlot } from '../../lib/charts/runs';
import { adjusterWords, changedWords } from '../../lib/words/adjusters';
import { inLogUnits, writerFor } from '../../lib/words/figures';
import { adjustment, findingFigures, findingSays, shimOrder, shimPlanSentences } from '../../lib/words/plan';

/** Hard spaces as plain ones, so that a figure can be written here as it is read. */
const read = (text: string): string => text.replaceAll('\u00a0', ' ');
const us = writerFor({ system: 'us', angles: 'crank' });
const minutes = writerFor({ system: 'metric', angles: 'minutes' });

describe('a figure in the units chosen', () => {
  it('has decimals by the gauge and its unit', () => {
    expect(read(us.figure(0.05, 'shim'))).toBe('2.0 thou');
    expect(read(us.figure(2.05, 'mm'))).toBe('0.0807 in');
    expect(read(us.figure(160, 'kpa'))).toBe('23.2 psi');
    expect(read(us.figure(40, 'celsius'))).toBe('104.0 °F');
    expect(read(us.figure(-0.5, 'cam_deg', { sign: true }))).toBe('−1.00° crank');
    expect(read(us.figure(62.04, 'mm3_per_stroke'))).toBe('62.0 mm³/stroke');
    expect(read(us.figure(1.2, 'deg'))).toBe('1.20°');
  });

  it('is written in degrees and minutes with its sign before both', () => {
    expect(read(minutes.figure(-0.5, 'cam_deg', { sign: true }))).toBe('−0° 30.0′ cam');
    expect(read(minutes.figure(120.35, 'cam_deg', { bare: true }))).toBe('120° 21.0′');
    expect(read(minutes.figure(-0.0001, 'cam_deg', { sign: true, terse: true }))).toBe('0° 00.0′');
  });

  it('has no offset where it is a difference of temperatures', () => {
    expect(read(us.figure(2, 'celsius', { difference: true }))).toBe('3.6 °F');
    expect(read(inLogUnits.figure(2, 'celsius', { difference: true }))).toBe('2.0 °C');
  });

  it('says add or leave alike in either system', () => {
    expect(read(inLogUnits.shimChange(0.004))).toBe('0.00 mm, leave');
    expect(read(us.shimChange(0.004))).toBe('0.0 thou, leave');
    fc.assert(
      fc.property(fc.double({ min: -0.5, max: 0.5, noNaN: true }), (mm) => {
        const word = (text: string): string => text.split(', ')[1] ?? '';
        expect(word(us.shimChange(mm))).toBe(word(inLogUnits.shimChange(mm)));
      }),
    );
  });

  it('names its unit in titles and for screen readers', () => {
    expect(us.axis('Shim stack', 'shim')).toBe('Shim stack (thou)');
    expect(minutes.axis('Phase error', 'cam_deg')).toBe('Phase error (′ cam)');
    expect(us.spoken('cam_deg')).toBe('degrees of crankshaft');
    expect(minutes.symbol('cam_deg')).toBe('° ′ cam');
  });
});

describe('a figure beside its band', () => {
  it('shows more digits where it would look no different from the limit that it missed', () => {
    // 2.1602 mm and 2.16 mm are both 0.0850 in; the next digit tells them apart.
    const { value, band } = us.beside(2.1602, [2, 2.16], 'mm', { bare: true });
    expect([value, band]).toEqual(['0.08505', '0.07874 to 0.08504']);
    expect(read(inLogUnits.beside(2.154, [null, 2.15], 'mm').value)).toBe('2.154 mm');
    expect(read(inLogUnits.beside(2.154, [null, 2.15], 'mm').band)).toBe('up to 2.150 mm');
  });

  it('keeps to the usual digits for what is in, on the limit, or off by the dust of arithmetic', () => {
    expect(inLogUnits.beside(2.1499, [2, 2.15], 'mm', { bare: true }).value).toBe('2.15');
    expect(inLogUnits.beside(2.15, [2, 2.15], 'mm', { bare: true }).value).toBe('2.15');
    expect(inLogUnits.beside(2.15 + 1e-12, [2, 2.15], 'mm', { bare: true }).value).toBe('2.15');
    expect(inLogUnits.beside(null, [2, 2.15], 'mm', { bare: true })).toMatchObject({
      value: '–',
      band: '2.00 to 2.15',
    });
  });

  it('never looks in where it is out by what a verdict can see', () => {
    const number = (text: string): number => Number(text.replace('−', '-'));
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 5, noNaN: true }),
        fc.double({ min: 0.000_03, max: 1, noNaN: true }),
        fc.constantFrom(inLogUnits, us),
        (limit, by, write) => {
          const over = write.beside(limit + by, [null, limit], 'mm', { bare: true });
          expect(number(over.value)).toBeGreaterThan(number(over.high.replace(/[^\d.−].*$/, '')));
          const under = write.beside(limit - by, [limit, null], 'mm', { bare: true });
          expect(number(under.value)).toBeLessThan(number(under.low));
        },
      ),
    );
  });

  it('tells two figures apart that a finding sets against one another', () => {
    const finding = { finding: 'fluid outside its window', stated: 37.98, recomputed: 38 } as const;
    expect(read(findingFigures(finding, inLogUnits))).toBe('read 37.98 °C, limit 38.00 °C');
    expect(read(findingFigures({ ...finding, stated: 35.1 }, us))).toBe('read 95.2 °F, limit 100.4 °F');
  });
});

describe('sentences in the units chosen', () => {
  const plan = {
    status: 'possible',
    barrels: 1,
    moved_mm: 0.1,
    lift_after_mm: 2.05,
    step_mm: 0.05,
    step_assumed: 'no',
    done_barrels: 0,
    done_mm: 0,
  } as const;
  const steps = [
    { element: 1, plan_mm: 0, planned_error_deg: 0, tolerance_deg: 0.5 },
    { element: 3, plan_mm: 0.1, planned_error_deg: 0.2, tolerance_deg: 0.5 },
  ];

  it('tell the plan in thousandths, inches and crankshaft degrees', () => {
    const setting = { adjuster: 'barrel_shim', screw_mm_per_turn: null } as const;
    expect(read(shimPlanSentences(plan, steps, setting, us).join(' '))).toBe(
      'Add 3.9 thou under barrel 3; leave the others. The reference then closes at 0.0807 in, the largest error is 0.40° crank late.',
    );
  });

  it('leave turns of a screw as turns', () => {
    expect(read(shimOrder([3], 0.25, { adjuster: 'tappet_screw', screw_mm_per_turn: 1 }, us))).toBe(
      'raise the tappet screw of element 3 by 9.8 thou, 0.25 turns',
    );
  });

  it('convert the length that a finding names', () => {
    expect(findingSays('split pair differs', inLogUnits)).toContain('more than 0.01\u00a0mm');
    expect(findingSays('split pair differs', us)).toContain('more than 0.4\u00a0thou');
  });

  it('raise and lower a screw, and give no verb where adjusters are mixed', () => {
    expect(read(adjustment(-0.1, 'tappet_screw', inLogUnits))).toBe('−0.10 mm, lower');
    expect(read(adjustment(-0.1, null, inLogUnits))).toBe('−0.10 mm');
    expect(read(changedWords(2, adjusterWords(['tappet_screw', 'tappet_screw'])))).toBe('2 tappet screws were turned');
    expect(read(changedWords(1, adjusterWords(['barrel_shim'])))).toBe('1 barrel came off');
    expect(read(changedWords(3, adjusterWords(['barrel_shim', 'tappet_screw'])))).toBe(
      '3 barrels or tappets were changed',
    );
    expect(adjusterWords([null]).place).toBe(adjusterWords(['barrel_shim', 'tappet_shim']).place);
  });
});

const domainOf = (scale: ScaleOptions | null | undefined): readonly number[] => [...(scale?.domain ?? [])].map(Number);
const labelOf = (options: PlotOptions): string => String(options.y?.label);

describe('plots in the units chosen', () => {
  const rows = [{ run: 0, element: 1, error_deg: 0.4, verdict: 'in' }];

  it('scale the data, so that ticks fall on round numbers of the unit shown', () => {
    const [low = 0, high = 0] = domainOf(runErrorsPlot(rows, 0.5, { width: 600 }).y);
    const [crankLow, crankHigh] = domainOf(runErrorsPlot(rows, 0.5, { width: 600, write: us }).y);
    expect([crankLow, crankHigh]).toEqual([2 * low, 2 * high]);
    const inArc = runErrorsPlot(rows, 0.5, { width: 600, write: minutes });
    expect(domainOf(inArc.y)[1]).toBeCloseTo(60 * high, 9);
    expect(labelOf(inArc)).toBe('Phase error (′ cam), + is late');
  });

  it('title rack travel and boost in inches and psi', () => {
    const bands = [{ run: 1, at: 100, low: 8, high: 8.4, rack_mm: 8.5, verdict: 'out' }];
    const options = rackCurvePlot(bands, [], { text: 'Boost pressure', unit: 'kpa' }, { width: 600, write: us });
    expect(options.x?.label).toBe('Boost pressure (psi)');
    expect(labelOf(options)).toBe('Rack travel (in)');
  });

  it('scale limits and reach of changes with the readings', () => {
    const quarter = [{ element: 1, quarter: '2024-01-01', n: 9, q1: -0.1, median: 0, q3: 0.3 }];
    const style = { ...scaledAxis(us, 'Change made', 'shim'), reach: 0.1, limits: [], write: String };
    const options = elementQuartersPlot(quarter, style, { width: 600, write: us });
    expect(labelOf(options)).toBe('Change made (thou)');
    expect(domainOf(options.y)[1]).toBeCloseTo((0.3 / 0.0254) * 1.06, 9);
  });

  it('write our own pictures too', () => {
    const closure = [{ element: 2, nominal_deg: 90, error_deg: -0.9, verdict: 'out' as const }];
    const wheel = renderToStaticMarkup(<DegreeWheel rows={closure} tolerance={0.5} size={300} label="x" write={us} />);
    expect(wheel).toContain('−1.80°');
    expect(wheel).toContain('° crank');
    const barrel = [{ element: 1, stack_mm: 1.2, made_mm: 0.05, mm3_per_stroke: 80, verdict: 'in' as const }];
    const row = renderToStaticMarkup(<BarrelRow rows={barrel} low={78} high={82} width={600} label="x" write={us} />);
    expect(row).toContain('47.2');
    expect(row).toContain('+2.0');
    expect(row).toContain('stack, thou');
    expect(row).toContain('80.0');
  });
});
