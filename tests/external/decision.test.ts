import { describe, expect, test } from 'vitest';
import { spread } from '../../lib/calc/delivery/spread';
import type { SpreadBasis } from '../../lib/calc/types';
import {
  changeUncertainty,
  conformanceProbability,
  decide,
  deliveryUncertainty,
  meanUncertainty,
  normalShare,
  phaseUncertainty,
  spreadUncertainty,
} from '../../lib/calc/proof/uncertainty';
import { CANNOT_TELL, IN, OUT } from '../../lib/calc/proof/verdict';

// Normal distribution: Abramowitz and Stegun, table 26.1 (M, from memory; computed again with scipy 1.17.1, C). The stated error of
// formula 26.2.17 is 7.5e-8.
test.each([
  [0, 0.5],
  [0.5, 0.6914624613],
  [1, 0.8413447461],
  [1.5, 0.9331927987],
  [1.64, 0.9494974165],
  [1.96, 0.9750021049],
  [2, 0.9772498681],
  [2.33, 0.9900969244],
  [3, 0.998650102],
  [4, 0.9999683288],
])('share of the normal distribution below %f: %f', (z, published) => {
  expect(Math.abs(normalShare(z) - published)).toBeLessThan(7.5e-8);
  expect(Math.abs(normalShare(-z) - (1 - published))).toBeLessThan(7.5e-8);
});

// Examples of JCGM 106:2012, clause 7 (M, from memory, arithmetic done again): value, standard uncertainty, limits, probability.
test.each([
  ['breakdown voltage of a diode, at most -5.40 V', -5.47, 0.05, NaN, -5.4, '0.92'],
  ['burst pressure of a vessel, at least 490 kPa', 509.7, 8.6, 490, NaN, '0.99'],
  ['viscosity of an oil, 12.5 to 16.3 mm2/s', 13.6, 1.8, 12.5, 16.3, '0.66'],
])('conformance probability of the %s', (_, value, standard, low, high, published) => {
  expect(conformanceProbability(value, low, high, 2 * standard).toFixed(2)).toBe(published);
});

// The same examples decided with U at k = 2 as the guard band (JCGM 106:2012, 8.3.2; the arithmetic in the comment): with a probability
// of 0.92 and 0.66 neither side is sure; the vessel's 509.7 lies 19.7 above 490, beyond U = 17.2.
test.each([
  ['breakdown voltage of a diode', -5.47, 0.05, NaN, -5.4, CANNOT_TELL],
  ['burst pressure of a vessel', 509.7, 8.6, 490, NaN, IN],
  ['viscosity of an oil', 13.6, 1.8, 12.5, 16.3, CANNOT_TELL],
])('decision on the %s', (_, value, standard, low, high, verdict) => {
  expect(decide(value, low, high, 2 * standard)).toBe(verdict);
});

// ISO 14253-1 and JCGM 106:2012, 8.3.2 (M, from memory): with a guard band of U at k = 2 at one limit, a figure that is accepted at
// the guard band's end still conforms with 97.7 %, one rejected beyond the limit with no more than 2.3 %.
describe('guard band of U', () => {
  test.each([
    [10 - 0.2, IN, 0.97725],
    [10 - 0.19, CANNOT_TELL, 0.97128],
    [10, CANNOT_TELL, 0.5],
    [10 + 0.19, CANNOT_TELL, 0.02872],
    [10 + 0.2001, OUT, 0.0227],
  ])('%f against at most 10 with U 0.2', (value, verdict, share) => {
    expect(decide(value, NaN, 10, 0.2)).toBe(verdict);
    expect(conformanceProbability(value, NaN, 10, 0.2)).toBeCloseTo(share, 4);
  });
});

/** Evenly spread numbers from 0 to 1 (mulberry32), the same at every run. */
function evenNumbers(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** Normal errors with a standard deviation of 1 (Box and Muller). */
function normalErrors(seed: number): () => number {
  const even = evenNumbers(seed);
  return () => Math.sqrt(-2 * Math.log(1 - even())) * Math.cos(2 * Math.PI * even());
}

const TRIALS = 40_000;

/** Twice the standard deviation of what `figure` comes out at, trial by trial. */
function expandedOf(figure: () => number): number {
  let sum = 0;
  let squares = 0;
  const first = figure();
  for (let k = 0; k < TRIALS; k++) {
    const away = figure() - first;
    sum += away;
    squares += away * away;
  }
  return 2 * Math.sqrt((squares - sum ** 2 / TRIALS) / (TRIALS - 1));
}

/** With 40 000 trials a standard deviation is known to 0.35 %; four times that. */
const expectAlike = (told: number, tried: number) => {
  expect(Math.abs(told / tried - 1)).toBeLessThan(0.014);
};

// JCGM 101:2008: distributions are put through the measurement model itself (C, seeded trials).
describe('propagated uncertainty against trials', () => {
  test('phase error and shim change', () => {
    const error = normalErrors(1);
    const phase = () => 61.2 + 0.1 * error() - (0.3 + 0.1 * error()) - 60;
    expectAlike(phaseUncertainty(0.2, 0.2), expandedOf(phase));
    expectAlike(
      changeUncertainty(phaseUncertainty(0.2, 0.2), 0.21),
      expandedOf(() => -0.21 * phase()),
    );
  });

  test.each([
    [60, 1000, 0.4, 2],
    [60, 1000, 0.1, 10],
    [3.5, 500, 0.2, 4],
  ])('delivery of %f cm3 in %i strokes', (volume, strokes, ofVolume, ofStrokes) => {
    const error = normalErrors(2);
    const tried = expandedOf(
      () => (1000 * (volume + (ofVolume / 2) * error())) / (strokes + (ofStrokes / 2) * error()),
    );
    expectAlike(deliveryUncertainty(volume, strokes, ofVolume, ofStrokes), tried);
  });

  /** Standard deviations: what graduates get wrong, and what repeats scatter [mm3/stroke]. */
  const ofGraduates = 0.2;
  const ofRepeats = 0.1;
  const values = [68, 54, 59, 60.5, 58, 62.5];
  const count = values.length;
  const typeB = new Float64Array(count).fill(2 * ofGraduates);
  const typeA = new Float64Array(count).fill(2 * ofRepeats);

  function trial(error: () => number, common: number): Float64Array {
    const shared = Math.sqrt(common) * error();
    return Float64Array.from(
      values,
      (q) => q + ofGraduates * (shared + Math.sqrt(1 - common) * error()) + ofRepeats * error(),
    );
  }

  test('mean, where graduates share their error; less where they do not', () => {
    const error = normalErrors(3);
    const meanOf = (common: number) => () => trial(error, common).reduce((sum, q) => sum + q, 0) / count;
    const told = meanUncertainty(typeB, typeA, count);
    expectAlike(told, expandedOf(meanOf(1)));
    expect(expandedOf(meanOf(0.5))).toBeLessThan(told);
  });

  test.each<SpreadBasis>(['range_mm3', 'range_percent', 'deviation_mm3', 'deviation_percent'])(
    'spread on the basis %s, where graduates share none of it; less where they do',
    (basis) => {
      const error = normalErrors(4);
      const spreadOf = (common: number) => () => spread(trial(error, common), count, basis);
      const told = spreadUncertainty(Float64Array.from(values), typeB, typeA, count, basis, new Float64Array(count));
      expectAlike(told, expandedOf(spreadOf(0)));
      expect(expandedOf(spreadOf(0.5))).toBeLessThan(told);
    },
  );

  test('two elements equally far from the mean leave their deviation no more open than is told', () => {
    const error = normalErrors(6);
    const pair = [66, 54, 60, 60];
    const tried = expandedOf(() => {
      const list = Float64Array.from(pair, (q) => q + ofGraduates * error());
      return spread(list, pair.length, 'deviation_mm3');
    });
    const told = spreadUncertainty(
      Float64Array.from(pair),
      typeB,
      new Float64Array(pair.length),
      pair.length,
      'deviation_mm3',
      new Float64Array(pair.length),
    );
    expect(tried).toBeLessThan(told);
  });

  test('share of trials in the band against the probability', () => {
    const error = normalErrors(5);
    let kept = 0;
    for (let k = 0; k < TRIALS; k++) {
      const truth = 2.1 + 0.1 * error();
      if (truth >= 1.8 && truth <= 2.2) kept++;
    }
    expect(Math.abs(kept / TRIALS - conformanceProbability(2.1, 1.8, 2.2, 0.2))).toBeLessThan(0.008);
  });
});
