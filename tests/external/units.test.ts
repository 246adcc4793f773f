import { expect, test } from 'vitest';
import { perStroke } from '../../lib/calc/delivery';
import { MM3_PER_CM3, MM_PER_INCH } from '../../lib/units/units';

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
