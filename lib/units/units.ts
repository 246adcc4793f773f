/**
 * Every physical unit that a column, a figure or an axis may carry: how it is written, and with how many decimals a
 * figure in it is shown (the resolution of the gauge that usually reads it).
 */
export const units = {
  mm: { symbol: 'mm', spoken: 'millimetres', decimals: 2 },
  mm_fine: { symbol: 'mm', spoken: 'millimetres', decimals: 3 },
  // A shim, a change of one or a clearance: a length too, but where people speak of inches these are told in thousandths.
  shim: { symbol: 'mm', spoken: 'millimetres', decimals: 2 },
  shim_fine: { symbol: 'mm', spoken: 'millimetres', decimals: 3 },
  um: { symbol: 'µm', spoken: 'micrometres', decimals: 1 },
  deg: { symbol: '°', spoken: 'degrees', decimals: 2 },
  cam_deg: { symbol: '° cam', spoken: 'degrees of camshaft', decimals: 2 },
  mm_per_deg: { symbol: 'mm/°', spoken: 'millimetres per degree of camshaft', decimals: 3 },
  mm_per_turn: { symbol: 'mm/turn', spoken: 'millimetres per turn', decimals: 2 },
  cm3: { symbol: 'cm³', spoken: 'cubic centimetres', decimals: 1 },
  mm3_per_stroke: { symbol: 'mm³/stroke', spoken: 'cubic millimetres per stroke', decimals: 1 },
  leak_slope: {
    symbol: 'mm³/stroke × rpm',
    spoken: 'cubic millimetres per stroke times revolutions per minute',
    decimals: 0,
  },
  strokes: { symbol: 'strokes', spoken: 'strokes', decimals: 0 },
  rpm: { symbol: 'rpm', spoken: 'revolutions per minute of the pump', decimals: 0 },
  celsius: { symbol: '°C', spoken: 'degrees Celsius', decimals: 1 },
  kpa: { symbol: 'kPa', spoken: 'kilopascals', decimals: 0 },
  mpa: { symbol: 'MPa', spoken: 'megapascals', decimals: 1 },
  mpa_s: { symbol: 'mPa·s', spoken: 'millipascal seconds', decimals: 2 },
  kg_per_m3: { symbol: 'kg/m³', spoken: 'kilograms per cubic metre', decimals: 1 },
  hours: { symbol: 'h', spoken: 'hours', decimals: 1 },
  percent: { symbol: '%', spoken: 'percent', decimals: 1 },
  ratio: { symbol: '', spoken: 'ratio', decimals: 3 },
  money: { symbol: '', spoken: "in the row's currency", decimals: 2 },
  count: { symbol: '', spoken: 'count', decimals: 0 },
} as const;

export type Unit = keyof typeof units;

/** 1 inch in mm, exactly (ISO 80000-3:2019, and the 1959 definition of the yard). */
export const MM_PER_INCH = 25.4;
/** 1 cm3 in mm3, exactly (10 mm cubed). */
export const MM3_PER_CM3 = 1000;

/** One inch is 254 tenths of a millimetre: the same, as whole numbers, so that no digit is lost on the way. */
export const INCH_MM = [254, 10] as const;
/** Pound-force: 0.45359237 kg (1959) times 9.80665 m/s2 (3rd CGPM, 1901), in newtons. */
const POUND_FORCE_N = 0.45359237 * 9.80665;
/** Square inch in mm2, exactly. */
const SQUARE_INCH_MM2 = 645.16;
/** A pound-force on a square inch in kPa, as a fraction: N/mm2 are MPa, times 1000. It is 6.894757293168 kPa. */
export const PSI_KPA = [POUND_FORCE_N * 1000, SQUARE_INCH_MM2] as const;
