import { describe, expect, test } from 'vitest';
import { calibrate } from '../../lib/calc/batch';
import { ASSUMED_LIFT_RATE } from '../../lib/calc/timing/cam';
import { code } from '../../lib/calc/layout';
import {
  changeForPhase,
  errorsAfterShims,
  nearestSize,
  nearestStep,
  nominalAngles,
} from '../../lib/calc/timing/phasing';
import { changeForLift } from '../../lib/calc/timing/timing';
import { MM_PER_INCH } from '../../lib/units/units';
import { closuresWithErrors, readings, rows, sixElements, specsOf } from '../calc/build';
import { dataRows } from './csv';

// Engine workshop manual for the 12H-T, p. FU-70 (read): six elements close 59 deg 30 min to 60 deg 30 min, 239 deg 30 min to 240 deg 30 min and 299 deg 30 min to 300 deg 30 min from the first.
describe('closure intervals of a six-element pump', () => {
  const spec = sixElements({ phasing_tol_deg: 30 / 60 });
  const workedOut = (element: number, closure: number, sheet = spec) => {
    const closures = closuresWithErrors(sheet, []).map((row) =>
      row.element === element ? { ...row, deg: closure } : row,
    );
    return calibrate(specsOf(sheet), readings({ closures }));
  };
  const verdictAt = (element: number, closure: number) =>
    rows(workedOut(element, closure).phasing)[element - 1]?.verdict;
  const minutes = (deg: number, min: number) => deg + min / 60;

  test.each([
    [1, 59, 60],
    [4, 239, 240],
    [5, 299, 300],
  ])('%i places after the first in the firing order, from %i 30 to %i 30', (places, below, above) => {
    const element = spec.firing_order[places] ?? NaN;
    expect(verdictAt(element, minutes(below, 30))).toBe(code('verdict', 'in'));
    expect(verdictAt(element, minutes(above, 30))).toBe(code('verdict', 'in'));
    expect(verdictAt(element, minutes(below, 29))).toBe(code('verdict', 'out'));
    expect(verdictAt(element, minutes(above, 31))).toBe(code('verdict', 'out'));
  });

  test('half a degree is what is assumed where a specification gives no tolerance (common practice, no source)', () => {
    const silent = sixElements();
    const at = (closure: number) => {
      const { phasing, timing } = workedOut(5, closure, silent);
      return [rows(phasing)[4]?.verdict, rows(timing)[0]?.phasing_verdict, rows(timing)[0]?.tolerance_assumed];
    };
    const [inside, outside] = [code('verdict', 'in'), code('verdict', 'out')];
    const assumed = code('yes_no', 'yes');
    for (const closure of [minutes(59, 30), minutes(60, 30)]) expect(at(closure)).toEqual([inside, inside, assumed]);
    for (const closure of [minutes(59, 29), minutes(60, 31)]) expect(at(closure)).toEqual([outside, outside, assumed]);
  });
});

// The same page (read): 0.1 mm of shim moves closure by about 30 minutes; shims from 0.60 to 1.40 mm in steps of 0.10 mm. The
// rate of 0.2 mm a degree is also common practice.
describe('shims under the barrel flange', () => {
  test('0.1 mm more closes half a degree later', () => {
    const after = errorsAfterShims(Float64Array.of(0, 0), Float64Array.of(0, 0.1), 1, ASSUMED_LIFT_RATE, 'barrel_shim');
    expect(after[1]).toBeCloseTo(30 / 60, 12);
  });

  test('an element half a degree early wants the next size', () => {
    const sizes = Array.from({ length: 9 }, (_, k) => 0.6 + k / 10);
    expect(sizes.at(-1)).toBeCloseTo(1.4, 12);
    const change = changeForPhase(-30 / 60, ASSUMED_LIFT_RATE, 'barrel_shim');
    expect(0.8 + nearestSize(change, 0.8, sizes)).toBeCloseTo(0.9, 12);
  });
});

// TM 5-3820-256-24-5 (read): firing order 1-5-3-6-2-4, pump at half engine speed; 720 deg of crankshaft hold six closures.
test('firing order 1-5-3-6-2-4 spaces the closures by 120 degrees of crankshaft', () => {
  const angles = nominalAngles(sixElements({ firing_order: [1, 5, 3, 6, 2, 4] }));
  const crank = [1, 5, 3, 6, 2, 4].map((element) => 2 * (angles[element - 1] ?? NaN));
  expect(crank).toEqual([0, 120, 240, 360, 480, 600]);
});

// A timing button sits under the plunger, so a thicker one raises the dimension that is measured: as a shim with dh/ds = +1.
describe('choosing a timing button', () => {
  const table = dataRows('timing-buttons.csv').map((row) => ({ code: row.code, inch: Number(row.size_in) }));
  const sizes = table.map((row) => row.inch * MM_PER_INCH).sort((a, b) => a - b);
  const chosen = (wanted: number, measured: number, installed: number) => {
    const change = changeForLift((measured - wanted) * MM_PER_INCH, 'barrel_shim');
    const inch = installed + nearestSize(change, installed * MM_PER_INCH, sizes) / MM_PER_INCH;
    return {
      exact: installed + change / MM_PER_INCH,
      code: table.find((row) => Math.abs(row.inch - inch) < 1e-6)?.code,
    };
  };

  test('table 7-4 of TM 9-2330-356-14 (read) has 16 sizes from 0.089 to 0.134 inch in steps of 0.003', () => {
    const steps = sizes.slice(1).map((size, k) => (size - (sizes[k] ?? NaN)) / MM_PER_INCH);
    expect(table).toHaveLength(16);
    for (const step of steps) expect(step).toBeCloseTo(0.003, 10);
  });

  // TM 9-2330-356-14, p. 7-65 (read): 1.109 + 0.107 - 1.103 = 0.113, which is button C of table 7-4.
  test('1.109 wanted, 1.103 measured with a button of 0.107: 0.113 inch', () => {
    const { exact, code: button } = chosen(1.109, 1.103, 0.107);
    expect(exact).toBeCloseTo(0.113, 10);
    expect(button).toBe('C');
  });

  // TM 5-6115-584-34 (read): 1.093 + 0.119 - 1.089 = 0.123, the nearest button is M at 0.122.
  test('1.093 wanted, 1.089 measured with a button of 0.119: 0.123 inch, so 0.122', () => {
    const { exact, code: button } = chosen(1.093, 1.089, 0.119);
    expect(exact).toBeCloseTo(0.123, 10);
    expect(button).toBe('M');
  });
});

// Workshop manual for the 1012 engine, specifications (read): 111.725 - (109 + 53/100) = 2.195, take 2.2 mm.
test('a shim of 2.195 mm is taken as 2.2 mm where they go by tenths', () => {
  const wanted = 111.725 - (109 + 53 / 100);
  expect(wanted).toBeCloseTo(2.195, 10);
  expect(nearestStep(wanted, 0.1)).toBeCloseTo(2.2, 10);
});
