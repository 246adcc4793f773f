import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { binomialQuantile } from '../../lib/stats/binomialQuantile';
import { capability, type Capability, type CapabilityAnswer } from '../../lib/stats/capability';
import { moments } from '../../lib/stats/moments';
import { seededChance } from '../../lib/stats/shuffle';
import independent from './data/tolerance.json';

function told(answer: CapabilityAnswer): Capability {
  if (answer.kind !== 'told') throw new Error(answer.kind);
  return answer;
}

describe('the worked example of the handbook', () => {
  // NIST/SEMATECH e-Handbook 6.1.6 (from memory): limits 8 and 20, mean 16, s 2: Cp 1.0, Cpu 0.6667, Cpl 1.3333, Cpk 0.6667.
  const { cp, cpl, cpu, cpk } = told(capability({ n: 50, mean: 16, sd: 2 }, { low: 8, high: 20 }));
  test('Cp 1.0, Cpk 0.6667', () => {
    expect(cp?.value).toBeCloseTo(1, 9);
    expect(cpu?.value).toBeCloseTo(0.6667, 4);
    expect(cpl?.value).toBeCloseTo(1.3333, 4);
    expect(cpk.value).toBeCloseTo(0.6667, 4);
  });
  // The same page: k = |m - mean| / half the band = 1/3, and Cpk = Cp (1 - k).
  test('Cpk is Cp less the share of the half band that the mean is off', () => {
    expect(cpk.value).toBeCloseTo((cp?.value ?? NaN) * (1 - 2 / 6), 9);
  });
  // The approximation as it stands there, reckoned by hand: 0.6667 -+ 1.96 sqrt(1/450 + 0.4444/98) = 0.6667 -+ 0.1611.
  test('Cpk 0.51 to 0.83 from fifty readings', () => {
    expect(cpk.low).toBeCloseTo(0.5056, 4);
    expect(cpk.high).toBeCloseTo(0.8278, 4);
  });
});

// scipy's chi-square quantiles (C): make_tolerance.py; a band of 2.
test.each(independent.cps)(
  'interval of Cp from $n readings at $confidence as by scipy',
  ({ n, sd, confidence, ...ends }) => {
    const { cp } = told(capability({ n, mean: 0.1, sd }, { low: -1, high: 1 }, confidence));
    expect(cp?.low).toBeCloseTo(ends.low, 9);
    expect(cp?.high).toBeCloseTo(ends.high, 9);
  },
);

// The promise itself, counted over seeded normal draws: of Cp exactly, of Cpk by an approximation, from the 25 readings on that it asks for.
test.each([25, 100])('intervals hold the true index about 19 times in 20, %d readings', (n) => {
  const trials = 4000;
  const chance = seededChance(n);
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - chance())) * Math.cos(2 * Math.PI * chance());
  let [cpHeld, cpkHeld] = [0, 0];
  for (let trial = 0; trial < trials; trial += 1) {
    const sample = moments(Array.from({ length: n }, () => 0.2 + 0.3 * normal()));
    const { cp, cpk } = told(capability(sample, { low: -1, high: 1 }));
    const [trueCp, trueCpk] = [2 / (6 * 0.3), 0.8 / (3 * 0.3)];
    if (cp !== null && cp.low <= trueCp && trueCp <= cp.high) cpHeld += 1;
    if (cpk.low <= trueCpk && trueCpk <= cpk.high) cpkHeld += 1;
  }
  expect(cpHeld).toBeGreaterThanOrEqual(binomialQuantile(0.0005, trials, 0.95));
  expect(cpHeld).toBeLessThanOrEqual(binomialQuantile(0.9995, trials, 0.95));
  expect(cpkHeld).toBeGreaterThanOrEqual(binomialQuantile(0.0005, trials, 0.935));
  expect(cpkHeld).toBeLessThanOrEqual(binomialQuantile(0.9995, trials, 0.965));
});

describe('limits and readings as they come', () => {
  test('a band with one end has no Cp, and that side for its Cpk', () => {
    const upper = told(capability({ n: 30, mean: 0.4, sd: 0.1 }, { low: null, high: 1 }));
    expect([upper.cp, upper.cpl]).toEqual([null, null]);
    expect(upper.cpk).toEqual(upper.cpu);
    expect(upper.cpk.value).toBeCloseTo(2, 9);
    const lower = told(capability({ n: 30, mean: 0.4, sd: 0.1 }, { low: 0.5, high: null }));
    expect(lower.cpk.value).toBeCloseTo(-1 / 3, 9);
  });

  test.each([
    [{ n: 1, mean: 0, sd: NaN }, { low: -1, high: 1 }, 'too_few'],
    [{ n: 0, mean: NaN, sd: NaN }, { low: -1, high: 1 }, 'too_few'],
    [{ n: 9, mean: 0, sd: Infinity }, { low: -1, high: 1 }, 'too_few'],
    [{ n: 9, mean: 0, sd: 1 }, { low: 1, high: -1 }, 'no_band'],
    [{ n: 9, mean: 0, sd: 1 }, { low: 1, high: 1 }, 'no_band'],
    [{ n: 9, mean: 0, sd: 1 }, { low: null, high: null }, 'no_band'],
    [{ n: 9, mean: 0, sd: 1 }, { low: NaN, high: 1 }, 'no_band'],
  ] as const)('%j in %j: %s', (scatter, limits, kind) => {
    expect(capability(scatter, limits)).toEqual({ kind });
  });

  test('readings that are all alike have no index, and are in or out', () => {
    const limits = { low: -1, high: 1 };
    expect(capability({ n: 9, mean: 1, sd: 0 }, limits)).toEqual({ kind: 'no_scatter', within: true });
    expect(capability({ n: 9, mean: 1.5, sd: 0 }, limits)).toEqual({ kind: 'no_scatter', within: false });
  });

  test('the unit does not matter, and mirrored readings have the mirrored answer', () => {
    const real = fc.double({ min: -5, max: 5, noNaN: true });
    const size = fc.double({ min: 0.01, max: 5, noNaN: true });
    fc.assert(
      fc.property(real, size, real, size, size, fc.integer({ min: 2, max: 500 }), (mean, sd, low, width, unit, n) => {
        const one = told(capability({ n, mean, sd }, { low, high: low + width }));
        const scaled = told(
          capability(
            { n, mean: unit * mean + 3, sd: unit * sd },
            { low: unit * low + 3, high: unit * (low + width) + 3 },
          ),
        );
        const mirrored = told(capability({ n, mean: -mean, sd }, { low: -low - width, high: -low }));
        expect(scaled.cpk.value).toBeCloseTo(one.cpk.value, 6);
        expect(mirrored.cpl?.value).toBeCloseTo(one.cpu?.value ?? NaN, 9);
        expect(mirrored.cpk.high).toBeCloseTo(one.cpk.high, 9);
        expect(one.cpk.value).toBeLessThanOrEqual((one.cp?.value ?? NaN) + 1e-9);
      }),
    );
  });
});
