import { describe, expect, it } from 'vitest';
import {
  scaled,
  scaleTo,
  sourceUnitNames,
  sourceUnits,
  unitsFor,
  type SourceUnit,
} from '../../../lib/log/mapping/units';
import { units, type Unit } from '../../../lib/units/units';

const to = (log: Unit, from: SourceUnit, value: number, strokes = 1): number => {
  const scale = scaleTo(log, from, strokes);
  return scale === null ? NaN : scaled(value, scale);
};

describe('units of sheets, against their definitions', () => {
  it.each<[string, Unit, SourceUnit, number, number]>([
    ['an inch: 25.4 mm (NIST SP 811, 2008, B.8, exact)', 'mm', 'inch', 1, 25.4],
    ['a thousandth of an inch: 0.0254 mm (NIST SP 811, B.8, mil, exact)', 'mm', 'thou', 1, 0.0254],
    ['a tenth of an inch, without what binary fractions add', 'mm', 'inch', 0.1, 2.54],
    ['cc are cm3', 'cm3', 'cc', 40.5, 40.5],
    ['a litre is a cubic decimetre (12th CGPM, resolution 6, 1964)', 'cm3', 'ml', 1000, 1000],
    ['1000 mm3 are 1 cm3', 'cm3', 'mm3', 1000, 1],
    ['a bar: 100 kPa (NIST SP 811, B.8, exact)', 'kpa', 'bar', 1.5, 150],
    ['a bar in MPa', 'mpa', 'bar', 200, 20],
    ['a kPa in MPa', 'mpa', 'kpa', 1000, 1],
    ['water freezes at 32 F and boils at 212 F', 'celsius', 'fahrenheit', 32, 0],
    ['water boils', 'celsius', 'fahrenheit', 212, 100],
    ['both scales meet at -40', 'celsius', 'fahrenheit', -40, -40],
    ['0 C is 273.15 K (SI brochure)', 'celsius', 'kelvin', 273.15, 0],
    ['two turns of the crankshaft are one of the camshaft, four-stroke', 'cam_deg', 'crank_deg', 720, 360],
    ['a full turn has 21600 minutes of arc', 'cam_deg', 'cam_arcmin', 21600, 360],
    ['and two turns of the crankshaft 43200', 'cam_deg', 'crank_arcmin', 43200, 360],
    ['30 minutes of arc are half a degree', 'deg', 'arcmin', 30, 0.5],
    ['the pump turns at half the engine speed, four-stroke', 'rpm', 'crank_rpm', 2200, 1100],
    ['0.825 g/cm3', 'kg_per_m3', 'g_per_cm3', 0.825, 825],
    ['a centipoise is a millipascal second', 'mpa_s', 'centipoise', 2.1, 2.1],
    ['90 minutes are an hour and a half', 'hours', 'minutes', 90, 1.5],
    ['92 percent', 'ratio', 'percent', 92, 0.92],
  ])('%s', (_, log, from, value, is) => {
    expect(to(log, from, value)).toBe(is);
  });

  it('psi: 6.894 757 E+03 Pa (NIST SP 811, 2008, B.8, seven figures)', () => {
    expect(to('kpa', 'psi', 1)).toBeCloseTo(6.894757, 6);
  });

  it('brings a volume over so many strokes to one stroke', () => {
    expect(to('mm3_per_stroke', 'cc', 40, 500)).toBe(80);
    expect(to('mm3_per_stroke', 'mm3', 80)).toBe(80);
  });

  it('knows no way between quantities', () => {
    expect(scaleTo('mm', 'psi', 1)).toBeNull();
    expect(scaleTo('money', 'mm', 1)).toBeNull();
    // Degrees of a helix or a barrel are no camshaft angle.
    expect(unitsFor('deg')).toEqual(['deg', 'arcmin']);
  });

  it('has a place in the log for each unit', () => {
    const had = new Set((Object.keys(units) as Unit[]).flatMap((unit) => [...unitsFor(unit)]));
    expect(sourceUnitNames.filter((name) => !had.has(name))).toEqual([]);
    expect(sourceUnitNames.filter((name) => sourceUnits[name].definition === '')).toEqual([]);
  });
});
