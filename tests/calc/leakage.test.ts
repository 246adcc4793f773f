import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  clearanceFromFlow,
  coefficientOfVariation,
  emptyLeakFit,
  equivalentClearance,
  fitLeak,
  flowFromClearance,
  leakFlow,
  retentionDeficit,
  slopeFromFlow,
  type Gap,
  type LeakFit,
} from '../../lib/calc/wear/leakage';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

function fitOf(draws: readonly (readonly [number, number])[], count = draws.length): LeakFit {
  const fit = emptyLeakFit();
  const rpm = Float64Array.from(draws, ([speed]) => speed);
  fitLeak(
    rpm,
    Float64Array.from(draws, ([, q]) => q),
    count,
    fit,
  );
  return fit;
}

describe('leak slope', () => {
  // 60 mm3 without leakage, 2000 / rpm lost: 10 mm3 at 200 rpm, 4 at 500, 2 at 1000.
  const exact = [
    [1000, 58],
    [500, 56],
    [200, 50],
  ] as const;

  test('draws on the line', () => {
    const fit = fitOf(exact);
    expect(fit.unleaked).toBeCloseTo(60, 10);
    expect(fit.slope).toBeCloseTo(2000, 8);
    expect(fit.n).toBe(3);
    expect(fit.residual).toBeCloseTo(0, 10);
  });

  test('two draws leave nothing over to tell their scatter', () => {
    const fit = fitOf([
      [1000, 58],
      [200, 50],
    ]);
    expect(fit.slope).toBeCloseTo(2000, 8);
    expect(fit.n).toBe(2);
    expect(fit.residual).toBeNaN();
  });

  test('by hand: 1 / rpm of 1, 2, 3 thousandths against 58, 57, 53', () => {
    // Mean 56; products -1 * 2 + 1 * -3 = -5 thousandths, squares 2 millionths: slope -2500. Residuals -0.5, 1, -0.5.
    const fit = fitOf([
      [1000, 58],
      [500, 57],
      [1000 / 3, 53],
    ]);
    expect(fit.slope).toBeCloseTo(2500, 8);
    expect(fit.unleaked).toBeCloseTo(61, 10);
    expect(fit.residual).toBeCloseTo(Math.sqrt(1.5), 10);
  });

  test('draws that lack a figure, or deliver nothing, are left out, and so are those past the count', () => {
    const rest = [...exact, [NaN, 60], [100, NaN], [0, 40], [-50, 40], [80, 0], [Infinity, 60]] as const;
    expect(fitOf(rest)).toEqual(fitOf(exact));
    expect(fitOf([...exact, [700, 1]], 3)).toEqual(fitOf(exact));
  });

  test.each<[string, [number, number][]]>([
    ['no draw', []],
    ['one draw', [[600, 55]]],
    [
      'repeats at one speed, as near as it was held',
      [
        [600, 55],
        [606, 56],
        [603, 54],
      ],
    ],
  ])('%s tells none', (_, draws) => {
    expect(fitOf(draws)).toEqual({ unleaked: NaN, slope: NaN, n: draws.length, residual: NaN });
  });

  test('an earlier fit does not linger', () => {
    const fit = emptyLeakFit();
    fitLeak(Float64Array.of(200, 1000), Float64Array.of(50, 58), 2, fit);
    fitLeak(Float64Array.of(200), Float64Array.of(50), 1, fit);
    expect(fit).toEqual({ unleaked: NaN, slope: NaN, n: 1, residual: NaN });
  });

  const draws = fc.array(fc.tuple(between(80, 2000), between(5, 300)), { minLength: 3, maxLength: 8 });

  test('residuals add up to nothing, plainly and weighted by 1 / rpm', () => {
    fc.assert(
      fc.property(draws, (list) => {
        const fit = fitOf(list);
        fc.pre(!Number.isNaN(fit.slope));
        const over = list.map(([speed, q]) => q - fit.unleaked + fit.slope / speed);
        expect(over.reduce((sum, r) => sum + r, 0)).toBeCloseTo(0, 6);
        expect(list.reduce((sum, [speed], k) => sum + (over[k] ?? NaN) / speed, 0)).toBeCloseTo(0, 8);
      }),
    );
  });

  test('any order of the draws gives the same line, and a delivery greater throughout the same slope', () => {
    fc.assert(
      fc.property(draws, between(0, 50), (list, more) => {
        const fit = fitOf(list);
        fc.pre(!Number.isNaN(fit.slope));
        const scale = Math.max(1, Math.abs(fit.slope));
        expect(fitOf(list.toReversed()).slope / scale).toBeCloseTo(fit.slope / scale, 7);
        const raised = fitOf(list.map(([speed, q]) => [speed, q + more] as const));
        expect(raised.slope / scale).toBeCloseTo(fit.slope / scale, 7);
        expect(raised.residual).toBeCloseTo(fit.residual, 6);
      }),
    );
  });
});

const gap: Gap = { diameter: 10, length: 12, pressure: 40, viscosity: 2.1 };
const gaps = fc.record({
  diameter: between(5, 20),
  length: between(3, 30),
  pressure: between(5, 120),
  viscosity: between(1, 5),
});

describe('equivalent clearance', () => {
  test('there and back through flow and slope', () => {
    fc.assert(
      fc.property(gaps, between(0, 40), between(2, 20), (any, clearance, injection) => {
        const slope = slopeFromFlow(flowFromClearance(clearance, any), injection);
        expect(equivalentClearance(slope, injection, any)).toBeCloseTo(clearance, 10);
      }),
    );
  });

  test('twice the clearance lets eight times as much through; twice the length half', () => {
    fc.assert(
      fc.property(gaps, between(0.5, 20), (any, clearance) => {
        const flow = flowFromClearance(clearance, any);
        expect(flowFromClearance(2 * clearance, any) / flow).toBeCloseTo(8, 10);
        expect(flowFromClearance(clearance, { ...any, length: 2 * any.length }) / flow).toBeCloseTo(0.5, 10);
      }),
    );
  });

  // Counted out in seconds and SI units: 6 deg of 300 rpm last 1/300 s.
  test('the flow is what a stroke loses over the time that injection takes', () => {
    const slope = 900;
    const rpm = 300;
    const seconds = (6 / 360) * (60 / rpm);
    expect(leakFlow(slope, 6)).toBeCloseTo(slope / rpm / seconds, 9);
    const cubicMetres = (Math.PI * 10e-3 * 3e-6 ** 3 * 40e6) / (12 * 2.1e-3 * 12e-3);
    expect(flowFromClearance(3, gap)).toBeCloseTo(cubicMetres * 1e9, 9);
  });

  test('no leakage seen is a clearance of 0', () => {
    expect(equivalentClearance(0, 6, gap)).toBe(0);
    expect(equivalentClearance(-500, 6, gap)).toBe(0);
    expect(clearanceFromFlow(-1, gap)).toBe(0);
  });

  test('is not told where something is not stated', () => {
    expect(equivalentClearance(NaN, 6, gap)).toBeNaN();
    for (const injection of [NaN, 0, -6]) expect(equivalentClearance(900, injection, gap)).toBeNaN();
    for (const name of ['diameter', 'length', 'pressure', 'viscosity'] as const) {
      for (const figure of [NaN, 0, -1]) {
        const unstated = { ...gap, [name]: figure };
        expect(equivalentClearance(900, 6, unstated)).toBeNaN();
        expect(equivalentClearance(-900, 6, unstated)).toBeNaN();
        expect(flowFromClearance(3, unstated)).toBeNaN();
      }
    }
    expect(flowFromClearance(-1, gap)).toBeNaN();
    expect(slopeFromFlow(100, 0)).toBeNaN();
  });
});

describe('scatter of light draws', () => {
  const of = (list: readonly number[]) => coefficientOfVariation(Float64Array.from(list), list.length);

  // Mean 10, squared deviations 4 + 0 + 4 over 2: standard deviation 2.
  test('8, 10 and 12 mm3 vary by 20 %', () => {
    expect(of([8, 10, 12])).toBeCloseTo(20, 12);
    expect(coefficientOfVariation(Float64Array.of(8, 10, 12, 500), 3)).toBeCloseTo(20, 12);
  });

  test.each([[[]], [[10]], [[0, 0, 0]], [[-1, -2]], [[10, NaN, 12]]])('is not told for %j', (list) => {
    expect(of(list)).toBeNaN();
  });

  test('stays when all deliver more by one factor', () => {
    const light = fc.array(between(1, 30), { minLength: 2, maxLength: 12 });
    fc.assert(
      fc.property(light, between(0.5, 4), (list, factor) => {
        expect(of(list.map((q) => q * factor))).toBeCloseTo(of(list), 8);
        expect(of(list)).toBeGreaterThanOrEqual(0);
      }),
    );
  });
});

test.each([
  [0.8, 0.8, 0],
  [0.6, 0.8, 0.25],
  [0.9, 0.8, -0.125],
  [0, 0.8, 1],
])('a retention of %f against %f is a deficit of %f', (retention, baseline, deficit) => {
  expect(retentionDeficit(retention, baseline)).toBeCloseTo(deficit, 12);
});

test.each([
  [NaN, 0.8],
  [0.8, NaN],
  [0.8, 0],
  [0.8, -1],
])('a retention of %f against %f tells no deficit', (retention, baseline) => {
  expect(retentionDeficit(retention, baseline)).toBeNaN();
});
