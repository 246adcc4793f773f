import { expect, test } from 'vitest';
import { perStroke } from '../../lib/calc/delivery/delivery';
import { differenceToShown, formOf, inMinutes, toLog, toShown } from '../../lib/units/display';
import { MM3_PER_CM3, MM_PER_INCH, type Unit } from '../../lib/units/units';

// BIPM, The International System of Units, 9th ed. (2019), 2.3 and table 7: 1 cm = 10 mm, so 1 cm3 = 10^3 mm3. From memory.
test('a cubic centimetre is a thousand cubic millimetres', () => {
  expect(MM3_PER_CM3).toBe(10 ** 3);
});

// International yard and pound agreement of 1959: 1 yard = 0.9144 m; 36 inches a yard. From memory.
test('an inch is 25.4 mm', () => {
  expect(MM_PER_INCH).toBeCloseTo(914.4 / 36, 12);
});

// By definition of the units: 1 cm3 over 1000 strokes is 1 mm3 a stroke.
test('1 cm3 over 1000 strokes is 1 mm3 a stroke', () => {
  expect(perStroke(1, 1000)).toBe(1);
});

const us = { system: 'us', angles: 'cam' } as const;
const shown = (value: number, unit: Unit): number => toShown(value, formOf(unit, us));

// NIST SP 811 (2008), appendix B.8: inch to metre 2.54 E-02, exact; mil (0.001 in) to millimetre 2.54 E-02, exact. M: from memory.
test('the inch and the thou shown are those of NIST SP 811', () => {
  expect(toLog(1, formOf('mm', us))).toBe(25.4);
  expect(toLog(1, formOf('shim', us))).toBeCloseTo(0.0254, 15);
  expect(shown(25.4, 'mm')).toBe(1);
});

// NIST SP 811 (2008), appendix B.8: psi to pascal 6.894757 E+03. M: from memory. By definition it is 0.45359237 kg (exact, 1959)
// x 9.80665 m/s2 (exact, 3rd CGPM 1901) over (0.0254 m)2, 6894.757293168 Pa.
test('a psi is 6.894757293168 kPa', () => {
  expect(toLog(1, formOf('kpa', us))).toBeCloseTo(6.894757293168, 11);
  expect(toLog(1, formOf('kpa', us)).toFixed(6)).toBe('6.894757');
  expect(toLog(1000, formOf('mpa', us))).toBeCloseTo(6.894757293168, 11);
});

// NIST SP 811 (2008), B.8 and table: t/C = (t/F - 32)/1.8; a kelvin is 1.8 degrees Fahrenheit as a difference. M: from memory.
// Fixed points: water freezes at 0 C, 32 F; -40 is the same in both (C: computed from the formula).
test('degrees Fahrenheit', () => {
  expect(shown(0, 'celsius')).toBe(32);
  expect(shown(100, 'celsius')).toBe(212);
  expect(shown(-40, 'celsius')).toBe(-40);
  expect(differenceToShown(1, formOf('celsius', us))).toBe(1.8);
});

// SI brochure, 9th ed. (2019), table 8: 1' = (1/60) degree. M: from memory. Four-stroke: two turns of the crankshaft to one of the
// camshaft (C: by construction).
test('minutes of arc and degrees of the crankshaft', () => {
  expect(inMinutes(1 / 60, 1)).toEqual([0, '01.0']);
  expect(toShown(360, formOf('cam_deg', { system: 'metric', angles: 'crank' }))).toBe(720);
});
