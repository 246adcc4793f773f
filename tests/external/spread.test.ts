import { expect, test } from 'vitest';
import { calibrate } from '../../lib/calc/batch';
import { code } from '../../lib/calc/layout';
import { spread } from '../../lib/calc/delivery/spread';
import { within } from '../../lib/calc/proof/verdict';
import { drawsOf, readings, rows, sixElements, specsOf, testPoint } from '../calc/build';

// TM 9-2815-237-34 (read): no element may differ from the mean of all by more than 6 mm3 a stroke.
test.each([
  [[54, 60, 60, 60, 60, 66], 'in'],
  [[53.9, 60.1, 60, 60, 60, 66], 'out'],
  [[60, 60, 60, 60, 60, 68], 'out'],
] as const)('deliveries %j against a deviation of 6 mm3 from the mean: %s', (deliveries, verdict) => {
  const asked = testPoint({ low_mm3: NaN, high_mm3: NaN, spread: 6, spread_basis: 'deviation_mm3' });
  const log = readings({ draws: drawsOf(deliveries) });
  const [row] = rows(calibrate(specsOf(sixElements({ test_points: [asked] })), log).points);
  expect(row?.spread_verdict).toBe(code('verdict', verdict));
});

// TM 5-3805-260-24 (read): every reading 0 +/- 0.050 mm, and no two of them further apart than 0.050 mm.
test.each([
  [[0, 0.05, 0.02], true, true],
  [[-0.03, 0.03, 0], true, false],
  [[0.03, 0.06, 0.05], false, true],
])('readings %j mm: each within 0.050 is %s, all within 0.050 of one another is %s', (readingsMm, each, together) => {
  expect(readingsMm.every((reading) => within(reading, -0.05, 0.05))).toBe(each);
  const range = spread(Float64Array.from(readingsMm), readingsMm.length, 'range_mm3');
  expect(within(range, NaN, 0.05)).toBe(together);
});
