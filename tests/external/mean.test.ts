import { expect, test } from 'vitest';
import { meanInterval } from '../../lib/stats/meanInterval';
import { moments } from '../../lib/stats/moments';
import { dataRows } from './csv';

// G. J. Hahn's table of 1970, read in a copy: the interval of a mean at 95 % is k standard deviations either way. For fifteen readings
// the copy has 0.50, a misprint for 0.55: its own neighbours, 0.64 for twelve and 0.47 for twenty, are in step with the latter only.
test.each(dataRows('mean-factors.csv'))(
  'the mean of $n readings is told to $k_ci_mean_95 standard deviations',
  (row) => {
    const n = Number(row.n);
    const values = Array.from({ length: n }, (_, i) => 40 + ((7 * i) % 11) + 0.1 * i);
    const { low = NaN, high = NaN } = meanInterval(values) ?? {};
    expect((high - low) / 2 / moments(values).sd).toBeCloseTo(n === 15 ? 0.55 : Number(row.k_ci_mean_95), 2);
  },
);
