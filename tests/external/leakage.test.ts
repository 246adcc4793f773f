import { describe, expect, test } from 'vitest';
import {
  clearanceFromFlow,
  coefficientOfVariation,
  emptyLeakFit,
  fitLeak,
  flowFromClearance,
  type Gap,
} from '../../lib/calc/wear/leakage';
import { dataRows } from './csv';

// Fox and McDonald, Introduction to Fluid Mechanics, example 8.1, leakage past a piston (M, from memory, arithmetic done again):
// 25 mm piston, 15 mm long, 0.005 mm on the radius, 20 MPa against 1.0 MPa, 0.018 Pa s; 57.6 mm3/s.
describe('leakage past a piston', () => {
  const piston: Gap = { diameter: 25, length: 15, pressure: 20 - 1, viscosity: 18 };

  test('5 um let 57.6 mm3/s through', () => {
    expect(flowFromClearance(5, piston)).toBeCloseTo(57.6, 1);
  });

  test('57.6 mm3/s tell 5 um', () => {
    expect(clearanceFromFlow(57.6, piston)).toBeCloseTo(5, 2);
  });
});

/** Exact laminar flow [mm3/s] through a concentric annulus, radii in mm, dp / l in MPa/mm, viscosity in mPa s. */
function annulus(inner: number, outer: number, gap: Gap): number {
  const ring = outer ** 2 - inner ** 2;
  const bracket = outer ** 4 - inner ** 4 - ring ** 2 / Math.log(outer / inner);
  return (Math.PI * gap.pressure * bracket) / (8 * gap.viscosity * 1e-9 * gap.length);
}

// Exact solution of the concentric annulus (Bird, Stewart and Lightfoot, Transport Phenomena, section 2.4; M, from memory).
describe('unrolled gap against the exact annulus', () => {
  const gap: Gap = { diameter: 10, length: 12, pressure: 40, viscosity: 2.1 };
  const short = (clearanceMm: number) =>
    1 - flowFromClearance(1000 * clearanceMm, gap) / annulus(5, 5 + clearanceMm, gap);

  test.each([0.02, 0.05, 0.1, 0.2])('with %f mm it falls short by about c / d', (clearanceMm) => {
    const share = clearanceMm / gap.diameter;
    expect(short(clearanceMm) / share).toBeGreaterThan(0.9);
    expect(short(clearanceMm) / share).toBeLessThan(1.1);
  });

  test('half the clearance, half the shortfall', () => {
    expect(short(0.2) / short(0.1)).toBeCloseTo(2, 1);
  });
});

/** Mean over the circumference of the local gap cubed, over the even gap cubed; eccentricity as a share of the clearance. */
function flowOfEccentric(eccentricity: number): number {
  const steps = 720;
  let sum = 0;
  for (let k = 0; k < steps; k++) sum += (1 + eccentricity * Math.cos((2 * Math.PI * k) / steps)) ** 3;
  return sum / steps;
}

// A plunger to one side lets up to 2.5 times as much through: 1 + 1.5 e^2 (common in hydraulics texts; M), here summed up
// over the circumference.
test('the equivalent clearance of a plunger to one side is no smaller than its clearance', () => {
  const gap: Gap = { diameter: 8, length: 10, pressure: 30, viscosity: 2 };
  expect(flowOfEccentric(1)).toBeCloseTo(2.5, 12);
  for (const eccentricity of [0, 0.3, 0.7, 1]) {
    expect(flowOfEccentric(eccentricity)).toBeCloseTo(1 + 1.5 * eccentricity ** 2, 12);
    const flow = flowFromClearance(4, gap) * flowOfEccentric(eccentricity);
    const share = 4 / clearanceFromFlow(flow, gap);
    expect(share).toBeLessThanOrEqual(1 + 1e-12);
    expect(share).toBeGreaterThan(0.73);
  }
});

// ISO 4113 (R2, a second-hand copy): 2.45 to 2.75 mm2/s at 40 deg C. What that band leaves open of a clearance: a third of its share.
test('calibration fluid at the ends of its viscosity band', () => {
  const at = (mm2PerS: number): Gap => ({ diameter: 9, length: 10, pressure: 40, viscosity: mm2PerS * 0.825 * 0.978 });
  const thin = clearanceFromFlow(100, at(2.45));
  const thick = clearanceFromFlow(100, at(2.75));
  expect(thick / thin - 1).toBeGreaterThan(0.038);
  expect(thick / thin - 1).toBeLessThan(0.04);
});

// NIST StRD, linear regression, Norris (R): slope 1.00211681802045, intercept -0.262323073774029, residual standard deviation
// 0.884796396144373. The fit goes by 1 / rpm, so each x is handed over as 1 / x; slope has the other sign.
test('leak slope through the Norris readings', () => {
  const rows = dataRows('norris.csv').map((row) => ({ x: Number(row.x), y: Number(row.y) }));
  expect(rows).toHaveLength(36);
  const fit = emptyLeakFit();
  fitLeak(
    Float64Array.from(rows, ({ x }) => 1 / x),
    Float64Array.from(rows, ({ y }) => y),
    rows.length,
    fit,
  );
  expect(fit.n).toBe(36);
  expect(-fit.slope).toBeCloseTo(1.00211681802045, 11);
  expect(fit.unleaked).toBeCloseTo(-0.262323073774029, 9);
  expect(fit.residual).toBeCloseTo(0.884796396144373, 10);
});

// NIST StRD, univariate, NumAcc1 and NumAcc2 (R): 10000001, 10000003, 10000002 with a standard deviation of 1; 1.2 and then 1.1
// and 1.3 in turn, 1001 values, mean 1.2 and standard deviation 0.1.
test('coefficient of variation of certified sets', () => {
  expect(coefficientOfVariation(Float64Array.of(10000001, 10000003, 10000002), 3)).toBeCloseTo(100 / 10000002, 15);
  const turns = Float64Array.from({ length: 1001 }, (_, k) => (k === 0 ? 1.2 : k % 2 === 1 ? 1.1 : 1.3));
  expect(coefficientOfVariation(turns, 1001)).toBeCloseTo((100 * 0.1) / 1.2, 10);
});
