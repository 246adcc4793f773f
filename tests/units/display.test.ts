import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  angleForms,
  axisForm,
  decimalsIn,
  formOf,
  inMinutes,
  LOG_DISPLAY,
  systems,
  toLog,
  toShown,
  type Display,
} from '../../lib/units/display';
import { readTyped, stepTyped, typed } from '../../lib/units/typed';
import { units, type Unit } from '../../lib/units/units';

const all = Object.keys(units) as Unit[];
const displays = systems.flatMap((system) => angleForms.map((angles): Display => ({ system, angles })));
const us: Display = { system: 'us', angles: 'cam' };
const crank: Display = { system: 'metric', angles: 'crank' };
const minutes: Display = { system: 'metric', angles: 'minutes' };

describe('units shown', () => {
  it('are those of the log unless another is chosen', () => {
    for (const unit of all) {
      expect(formOf(unit, LOG_DISPLAY)).toMatchObject({ symbol: units[unit].symbol, times: 1, over: 1, plus: 0 });
      expect(decimalsIn(formOf(unit, LOG_DISPLAY), units[unit].decimals)).toBe(units[unit].decimals);
    }
  });

  it('leave volumes, speeds, hours and the rotation of a barrel alone', () => {
    for (const unit of ['cm3', 'mm3_per_stroke', 'rpm', 'hours', 'deg', 'percent'] as const) {
      for (const display of displays) expect(formOf(unit, display)).toEqual(formOf(unit, LOG_DISPLAY));
    }
  });

  it('tell lifts in inches and shims and clearances in thousandths', () => {
    expect(formOf('mm', us).symbol).toBe('in');
    expect([formOf('shim', us).symbol, formOf('um', us).symbol]).toEqual(['thou', 'thou']);
    expect(toShown(25.4, formOf('shim', us))).toBeCloseTo(1000, 9);
    expect(toShown(25.4, formOf('um', us))).toBeCloseTo(1, 12);
  });

  it('double the angles of the camshaft on the crankshaft, and halve what goes by the degree', () => {
    expect(toShown(60.5, formOf('cam_deg', crank))).toBe(121);
    expect(toShown(0.2, formOf('mm_per_deg', crank))).toBe(0.1);
    expect(toShown(0.2, formOf('mm_per_deg', { system: 'us', angles: 'crank' }))).toBeCloseTo(0.2 / 0.0254 / 2, 12);
  });

  it('put angles in minutes on an axis as minutes alone', () => {
    expect(axisForm('cam_deg', minutes).symbol).toBe('′ cam');
    expect(toShown(-0.5, axisForm('cam_deg', minutes))).toBe(-30);
    expect(axisForm('mm', minutes)).toEqual(formOf('mm', minutes));
  });

  it('come back as the figure of the log', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...all),
        fc.constantFrom(...displays),
        fc.double({ min: -1000, max: 1000, noNaN: true }),
        (unit, display, value) => {
          const form = formOf(unit, display);
          expect(toLog(toShown(value, form), form)).toBeCloseTo(value, 9);
        },
      ),
    );
  });
});

describe('decimals', () => {
  it('are the fewest that are no coarser than the last digit of the log', () => {
    for (const unit of all) {
      for (const display of displays) {
        const form = axisForm(unit, display);
        const decimals = decimalsIn(form, units[unit].decimals);
        const step = (10 ** -units[unit].decimals * form.times) / form.over;
        expect(10 ** -decimals).toBeLessThanOrEqual(step * 1.000001 + (decimals === 0 ? 1 : 0));
        if (decimals > 0) expect(10 ** -(decimals - 1)).toBeGreaterThan(step * 0.999999);
      }
    }
  });

  it('are one for thou, four for inches, one for psi and for minutes of arc', () => {
    const of = (unit: Unit, display: Display): number => decimalsIn(formOf(unit, display), units[unit].decimals);
    expect([of('shim', us), of('mm', us), of('kpa', us), of('celsius', us)]).toEqual([1, 4, 1, 1]);
    expect([of('cam_deg', minutes), of('cam_deg', crank)]).toEqual([1, 2]);
  });
});

describe('minutes of arc', () => {
  it('are carried over after they are rounded', () => {
    expect(inMinutes(0.5, 1)).toEqual([0, '30.0']);
    expect(inMinutes(59.9999, 1)).toEqual([60, '00.0']);
    expect(inMinutes(120.09, 1)).toEqual([120, '05.4']);
    expect(inMinutes(1.1, 0)).toEqual([1, '06']);
  });
});

describe('figures typed', () => {
  it('stand in a field as they are read back, to the digit shown', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('cam_deg', 'mm_fine', 'cm3'),
        fc.constantFrom(...displays),
        fc.double({ min: 0, max: 359, noNaN: true }),
        (unit: Unit, display, value) => {
          const again = readTyped(typed(value, unit, display), unit, display);
          expect(Math.abs(again - value)).toBeLessThanOrEqual(10 ** -units[unit].decimals);
        },
      ),
    );
  });

  it('are read in the units chosen', () => {
    expect(readTyped('0.0800', 'mm_fine', us)).toBeCloseTo(2.032, 12);
    expect(readTyped('241', 'cam_deg', crank)).toBe(120.5);
    expect(readTyped('12.5', 'cm3', us)).toBe(12.5);
  });

  it.each([
    ['120° 21.5′', 120 + 21.5 / 60],
    ["120 21.5'", 120 + 21.5 / 60],
    ['120°30', 120.5],
    ['120.25', 120.25],
    ['120°', 120],
    ['-0° 30′', -0.5],
  ])('take %s as degrees and minutes', (text, degrees) => {
    expect(readTyped(text, 'cam_deg', minutes)).toBeCloseTo(degrees, 12);
  });

  it.each(['', ' ', 'x', '120° 60′', '120.5° 10′', '12 10 5', '12′'])('take no %j', (text) => {
    expect(readTyped(text, 'cam_deg', minutes)).toBeNaN();
  });

  it('go by steps that are round in the unit shown', () => {
    expect(stepTyped(0.05, 'cam_deg', LOG_DISPLAY)).toBe(0.05);
    expect(stepTyped(0.05, 'cam_deg', crank)).toBe(0.1);
    expect(stepTyped(0.01, 'mm_fine', us)).toBeCloseTo(0.0001, 12);
  });
});
