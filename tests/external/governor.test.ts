import { describe, expect, test } from 'vitest';
import { CheckReadings, governorBases, speedDroop } from '../../lib/calc/governor/governor';
import { code } from '../../lib/calc/layout';
import type { Check } from '../../lib/calc/types';

// TM 55-1930-209-14P-9-2, p. 9 of its governor section (read): no-load speed less full-load speed, over the full-load speed, times 100, is percent of speed droop.
// ISO 8528-5 and ISO 3046-4 (M, from memory): the same, with declared or rated for full-load speed. Generating sets run 52.5 Hz without load for 50 Hz at rated load, or 5 %.
test.each([
  [1575, 1500, 5],
  [1890, 1800, 5],
  [52.5, 50, 5],
  [1500, 1500, 0],
])('%d without load and %d at rated load is a droop of %d %%', (noLoad, rated, percent) => {
  expect(speedDroop(noLoad, rated)).toBeCloseTo(percent, 12);
});

// Reckoned by hand (common practice, no source). Plateau (9.80 + 9.82 + 9.78 + 9.80) / 4 = 9.80, so breakaway is at 9.70:
// 1220 + 20 (9.80 - 9.70) / (9.80 - 8.80) = 1222. Lowest rack 2.00, so cut-off is at 2.10: 1300 + 20 (4.10 - 2.10) / (4.10 - 2.00) = 1319.05.
// Droop against 1200 is 100 x 119.0476 / 1200 = 9.9206 %.
describe('a worked sweep', () => {
  const sweep = [
    [1160, 9.8],
    [1180, 9.82],
    [1200, 9.78],
    [1220, 9.8],
    [1240, 8.8],
    [1260, 7.2],
    [1280, 5.65],
    [1300, 4.1],
    [1320, 2],
    [1340, 2.02],
    [1360, 2],
  ] as const;
  const readings = new CheckReadings();
  for (const [speed, rack] of sweep) readings.add(speed, rack, NaN, NaN, -1);

  test.each<[Check['kind'], Check['unit'], number, number, number, 'in' | 'out']>([
    ['breakaway', 'rpm', 1222, 1205, 1245, 'in'],
    ['cut_off', 'rpm', 1319.0476, 1320, 1350, 'out'],
    ['droop', 'percent', 9.9206, 8, 12, 'in'],
  ])('%s in %s is %d', (kind, unit, value, low, high, verdict) => {
    const check = { check: 0, name: kind, kind, unit, speed_rpm: 1200, boost_kpa: NaN, lever: -1, low, high };
    expect(readings.judge(check)).toBe(code('verdict', verdict));
    expect(readings.value).toBeCloseTo(value, 4);
    expect(governorBases[readings.basis]).toBe('interpolated');
    expect(readings.used).toBe(sweep.length);
  });
});
