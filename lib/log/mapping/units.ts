import { INCH_MM, PSI_KPA, type Unit } from '../../units/units';

/**
 * The units that a shop's own sheets are written in, each with its factor to the base unit of its quantity. A factor is a
 * fraction of whole or defined numbers, so that it is exact; each stands here once, with the definition it follows from.
 */

type Quantity =
  | 'length'
  | 'lift_rate'
  | 'lead'
  | 'volume'
  | 'pressure'
  | 'temperature'
  | 'cam_angle'
  | 'angle'
  | 'speed'
  | 'time'
  | 'density'
  | 'viscosity'
  | 'share';

interface SourceUnitFacts {
  readonly symbol: string;
  readonly quantity: Quantity;
  /** Added first; other than 0 for temperatures alone. */
  readonly plus: number;
  readonly times: number;
  readonly over: number;
  readonly definition: string;
}

const unit = (
  symbol: string,
  quantity: Quantity,
  definition: string,
  times = 1,
  over = 1,
  plus = 0,
): SourceUnitFacts => ({ symbol, quantity, plus, times, over, definition });

const INCH_SAYS = '1 in = 25.4 mm exactly (international yard and pound agreement, 1959)';

export const sourceUnits = {
  mm: unit('mm', 'length', 'base'),
  inch: unit('in', 'length', INCH_SAYS, ...INCH_MM),
  thou: unit('thou', 'length', 'a thousandth of an inch', INCH_MM[0], INCH_MM[1] * 1000),
  mm_per_deg: unit('mm/°', 'lift_rate', 'base: per degree of camshaft'),
  inch_per_deg: unit('in/°', 'lift_rate', INCH_SAYS, ...INCH_MM),
  mm_per_turn: unit('mm/turn', 'lead', 'base'),
  inch_per_turn: unit('in/turn', 'lead', INCH_SAYS, ...INCH_MM),
  cm3: unit('cm³', 'volume', 'base'),
  cc: unit('cc', 'volume', 'another name of the cubic centimetre'),
  ml: unit('ml', 'volume', '1 ml = 1 cm3 exactly (12th CGPM, 1964)'),
  mm3: unit('mm³', 'volume', '10 mm cubed are 1 cm3', 1, 1000),
  kpa: unit('kPa', 'pressure', 'base'),
  bar: unit('bar', 'pressure', '1 bar = 100 kPa exactly (NIST SP 811, 2008, B.8)', 100),
  mpa: unit('MPa', 'pressure', 'SI prefix', 1000),
  psi: unit(
    'psi',
    'pressure',
    'a pound-force on a square inch: 0.45359237 kg x 9.80665 m/s2 over 645.16 mm2',
    ...PSI_KPA,
  ),
  celsius: unit('°C', 'temperature', 'base'),
  fahrenheit: unit('°F', 'temperature', 'C = (F - 32) x 5 / 9 exactly', 5, 9, -32),
  kelvin: unit('K', 'temperature', 'C = K - 273.15 exactly (SI brochure)', 1, 1, -273.15),
  cam_deg: unit('° cam', 'cam_angle', 'base'),
  crank_deg: unit('° crank', 'cam_angle', 'four-stroke: the camshaft turns once in two turns of the crankshaft', 1, 2),
  cam_arcmin: unit("' cam", 'cam_angle', '60 minutes of arc are a degree', 1, 60),
  crank_arcmin: unit("' crank", 'cam_angle', '60 minutes of arc are a degree; four-stroke', 1, 120),
  deg: unit('°', 'angle', 'base'),
  arcmin: unit("'", 'angle', '60 minutes of arc are a degree', 1, 60),
  rpm: unit('rpm', 'speed', 'base: of the pump'),
  crank_rpm: unit(
    'rpm of the engine',
    'speed',
    'four-stroke: the pump turns once in two turns of the crankshaft',
    1,
    2,
  ),
  hours: unit('h', 'time', 'base'),
  minutes: unit('min', 'time', '60 minutes are an hour', 1, 60),
  kg_per_m3: unit('kg/m³', 'density', 'base'),
  g_per_cm3: unit('g/cm³', 'density', '1 g/cm3 = 1000 kg/m3 exactly', 1000),
  mpa_s: unit('mPa·s', 'viscosity', 'base'),
  centipoise: unit('cP', 'viscosity', '1 P = 0.1 Pa s exactly'),
  ratio: unit('', 'share', 'base'),
  percent: unit('%', 'share', 'hundredths', 1, 100),
} as const satisfies Readonly<Record<string, SourceUnitFacts>>;

export type SourceUnit = keyof typeof sourceUnits;
export const sourceUnitNames = Object.keys(sourceUnits) as [SourceUnit, ...SourceUnit[]];

interface LogUnitFacts {
  /** The same unit among those of the sheets: what a column is taken to be in when nothing is stated. */
  readonly own: SourceUnit;
  readonly perStroke: boolean;
}

const logUnit = (own: SourceUnit, perStroke = false): LogUnitFacts => ({ own, perStroke });

/** What each unit of the log can be had from; one that is not here has no other unit. */
const logUnits: Partial<Readonly<Record<Unit, LogUnitFacts>>> = {
  mm: logUnit('mm'),
  mm_per_deg: logUnit('mm_per_deg'),
  mm_per_turn: logUnit('mm_per_turn'),
  cm3: logUnit('cm3'),
  mm3_per_stroke: logUnit('mm3', true),
  kpa: logUnit('kpa'),
  mpa: logUnit('mpa'),
  celsius: logUnit('celsius'),
  cam_deg: logUnit('cam_deg'),
  deg: logUnit('deg'),
  rpm: logUnit('rpm'),
  hours: logUnit('hours'),
  kg_per_m3: logUnit('kg_per_m3'),
  mpa_s: logUnit('mpa_s'),
  ratio: logUnit('ratio'),
};

/** The units in which a column of the log may be written in a sheet; none where the log's unit has no other. */
export function unitsFor(to: Unit | null): readonly SourceUnit[] {
  const facts = to === null ? undefined : logUnits[to];
  if (facts === undefined) return [];
  return sourceUnitNames.filter((name) => sourceUnits[name].quantity === sourceUnits[facts.own].quantity);
}

/** The sheet unit that is the log's own; null where the log's unit has no other. */
export const ownUnit = (to: Unit | null): SourceUnit | null => (to === null ? null : (logUnits[to]?.own ?? null));

export const isPerStroke = (to: Unit | null): boolean => to !== null && logUnits[to]?.perStroke === true;

/** How a figure of a sheet becomes one of the log: (figure + plus) x times / over. */
export interface Scale {
  readonly plus: number;
  readonly times: number;
  readonly over: number;
}

/**
 * The scale from a sheet's unit to a unit of the log. `strokes` is over how many strokes a volume was drawn, where the log
 * wants it for one; 1 otherwise. Null where the two do not measure the same.
 */
export function scaleTo(to: Unit | null, from: SourceUnit, strokes: number): Scale | null {
  const own = ownUnit(to);
  if (own === null || sourceUnits[own].quantity !== sourceUnits[from].quantity) return null;
  const source = sourceUnits[from];
  const target = sourceUnits[own];
  return {
    plus: source.plus,
    times: source.times * target.over,
    over: source.over * target.times * (isPerStroke(to) ? strokes : 1),
  };
}

export const isIdentity = (scale: Scale): boolean => scale.plus === 0 && scale.times === scale.over;

/** Twelve figures: finer than any gauge, and coarse enough to leave out what binary fractions add. */
const FIGURES = 12;

/** The figure in the log's unit, to twelve figures. */
export const scaled = (value: number, scale: Scale): number =>
  Number((((value + scale.plus) * scale.times) / scale.over).toPrecision(FIGURES));
