import { INCH_MM, PSI_KPA, units, type Unit } from './units';

/**
 * The units that a person sees, chosen apart from those of the log. The log, the results, verdicts, limits and plans stay in
 * the log's units; only what is written on a page or drawn on an axis is converted, and what is typed into it back.
 */

export const systems = ['metric', 'us'] as const;
export const angleForms = ['cam', 'crank', 'minutes'] as const;

export interface Display {
  /** Lengths, pressures and temperatures. Volumes are cm3 and mm3/stroke in both, as graduates and sheets have them. */
  readonly system: (typeof systems)[number];
  /** Angles of the camshaft; the rotation of a barrel is in degrees of the barrel whatever is chosen. */
  readonly angles: (typeof angleForms)[number];
}

/** The units of the log. */
export const LOG_DISPLAY: Display = { system: 'metric', angles: 'cam' };

/** How a figure of the log is shown: figure x times / over + plus, in the unit of that symbol. */
export interface Form {
  readonly symbol: string;
  readonly spoken: string;
  readonly times: number;
  readonly over: number;
  /** Other than 0 for temperatures alone; a difference of two has none. */
  readonly plus: number;
  /** Written as whole degrees and minutes of arc. */
  readonly minutes: boolean;
}

const MINUTES = 60;
const CRANK_TURNS = 2;

const form = (symbol: string, spoken: string, times = 1, over = 1, plus = 0): Form => ({
  symbol,
  spoken,
  times,
  over,
  plus,
  minutes: false,
});

const [INCH_TENTHS, TENTHS] = INCH_MM;
const [PSI_TOP, PSI_UNDER] = PSI_KPA;
const inch = form('in', 'inches', TENTHS, INCH_TENTHS);
const thou = form('thou', 'thousandths of an inch', 1000 * TENTHS, INCH_TENTHS);
const psi = form('psi', 'pounds per square inch', PSI_UNDER, PSI_TOP);

const customary: Partial<Readonly<Record<Unit, Form>>> = {
  mm: inch,
  mm_fine: inch,
  shim: thou,
  shim_fine: thou,
  // 1000 um are 1 mm.
  um: { ...thou, over: 1000 * thou.over },
  mm_per_deg: { ...thou, symbol: 'thou/°', spoken: 'thousandths of an inch per degree of camshaft' },
  mm_per_turn: { ...thou, symbol: 'thou/turn', spoken: 'thousandths of an inch per turn' },
  kpa: psi,
  mpa: { ...psi, times: 1000 * psi.times },
  celsius: form('°F', 'degrees Fahrenheit', 9, 5, 32),
};

/** The crankshaft of a four-stroke engine turns twice while the pump's camshaft turns once. */
function ofCrank(unit: Unit, cam: Form): Form {
  const spoken = cam.spoken.replace('camshaft', 'crankshaft');
  if (unit === 'cam_deg') return { ...cam, symbol: '° crank', spoken, times: CRANK_TURNS };
  return unit === 'mm_per_deg' ? { ...cam, symbol: `${cam.symbol} crank`, spoken, over: CRANK_TURNS * cam.over } : cam;
}

/** How figures in a unit of the log are shown. */
export function formOf(unit: Unit, { system, angles }: Display): Form {
  const { symbol, spoken } = units[unit];
  const own = (system === 'us' ? customary[unit] : undefined) ?? form(symbol, spoken);
  if (angles === 'crank') return ofCrank(unit, own);
  return angles === 'minutes' && unit === 'cam_deg'
    ? { ...own, symbol: '° ′ cam', spoken: 'degrees and minutes of camshaft', minutes: true }
    : own;
}

/** The same on an axis, where a figure is one plain number: angles in minutes of arc alone. */
export function axisForm(unit: Unit, display: Display): Form {
  const shown = formOf(unit, display);
  return shown.minutes
    ? { ...shown, symbol: '′ cam', spoken: 'minutes of camshaft', times: MINUTES * shown.times, minutes: false }
    : shown;
}

export const toShown = (value: number, { times, over, plus }: Form): number => (value * times) / over + plus;

/** A difference of two figures of the log; temperatures lose their offset. */
export const differenceToShown = (value: number, { times, over }: Form): number => (value * times) / over;

export const toLog = (shown: number, { times, over, plus }: Form): number => ((shown - plus) * over) / times;

/**
 * Decimals in the shown unit for `decimals` in the log's: the fewest whose last digit is no coarser than the log's last digit,
 * so that two readings that the gauge tells apart never look alike. 0.01 mm is 0.39 thou, so thou have one decimal.
 */
export function decimalsIn({ times, over, minutes }: Form, decimals: number): number {
  const step = ((minutes ? MINUTES : 1) * times) / over;
  return step === 1 ? decimals : Math.max(0, Math.ceil(decimals - Math.log10(step) - 1e-9));
}

/** Whole degrees and the minutes beside them, of an angle of no sign, the minutes rounded before they are carried over. */
export function inMinutes(degrees: number, decimals: number): readonly [degrees: number, minutes: string] {
  const minutes = Number((degrees * MINUTES).toFixed(decimals));
  const whole = Math.floor(minutes / MINUTES);
  const rest = (minutes - whole * MINUTES).toFixed(decimals);
  return [whole, rest.padStart(decimals === 0 ? 2 : decimals + 3, '0')];
}
