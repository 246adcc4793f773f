import {
  axisForm,
  decimalsIn,
  differenceToShown,
  formOf,
  inMinutes,
  LOG_DISPLAY,
  toShown,
  type Display,
  type Form,
} from '../units/display';
import { units, type Unit } from '../units/units';

/** Stands where a figure could not be worked out or was not read. */
export const NO_FIGURE = '–';
const MINUS = '−';
const HARD_SPACE = '\u00a0';

export interface FigureStyle {
  /** Always write the sign: for errors and changes. */
  readonly sign?: boolean;
  /** Leave the unit out: for columns whose head carries it. */
  readonly bare?: boolean;
  /** Write a mark of degrees alone, without the name of the shaft: where that stands beside it. */
  readonly terse?: boolean;
  /** In the unit of the log; another unit has as many as tell the same apart. */
  readonly decimals?: number;
  /** A difference of two figures: a temperature then has no offset. */
  readonly difference?: boolean;
}

/** The ends of a band in the unit of the log; either may be missing. */
export type Band = readonly [low: number | null, high: number | null];

export interface BesideBand {
  readonly value: string;
  /** `2.00 to 2.10 mm`, `up to 2.10 mm`, `from 2.00 mm`. */
  readonly band: string;
  readonly low: string;
  readonly high: string;
}

/** What a hand does for plus and for minus. */
export type Verbs = readonly [plus: string, minus: string];
const SHIM_VERBS: Verbs = ['add', 'remove'];

/** Writes figures of the log in the units that a person chose. Every figure with a unit goes through one of these. */
export interface Writer {
  readonly display: Display;
  /** A number as the shop writes it: decimals by the gauge, a true minus, its unit behind a hard space. */
  readonly figure: (value: number | null, unit: Unit, style?: FigureStyle) => string;
  /** A figure and the band it is judged by, with as many more digits as it takes to see that it lies beyond it. */
  readonly beside: (value: number | null, band: Band, unit: Unit, style?: FigureStyle) => BesideBand;
  /** Two figures that are compared, with as many more digits as it takes to see that they differ, where they do. */
  readonly apart: (
    one: number | null,
    other: number | null,
    unit: Unit,
    style?: FigureStyle,
  ) => readonly [string, string];
  /** A change of a stack with the way the hand must go: `+0.15 mm, add`; without verbs the change alone. */
  readonly shimChange: (mm: number | null, style?: FigureStyle, verbs?: Verbs | null) => string;
  /** Axis title: the word and, in brackets, its unit. */
  readonly axis: (text: string, unit: Unit | null) => string;
  /** Takes figures of the log to the numbers of an axis with that title. */
  readonly scale: (unit: Unit) => (value: number) => number;
  /** Decimals of a figure on such an axis. */
  readonly axisDecimals: (unit: Unit) => number;
  /** The symbol in the head of a column; empty where the unit has none. */
  readonly symbol: (unit: Unit | null) => string;
  /** The unit as a screen reader says it. */
  readonly spoken: (unit: Unit) => string;
}

/** The digits of a figure of no sign. */
function digitsOf(size: number, form: Form, decimals: number): string {
  if (!form.minutes) return size.toFixed(decimals);
  const [degrees, minutes] = inMinutes(size, decimals);
  return `${degrees}°${HARD_SPACE}${minutes}′`;
}

function tailOf({ symbol, minutes }: Form, { bare, terse }: FigureStyle): string {
  if (bare === true || symbol === '') return '';
  const degrees = symbol === '°' || symbol.startsWith('° ');
  if (minutes) return terse === true ? '' : `${HARD_SPACE}${symbol.split(' ').at(-1) ?? ''}`;
  if (degrees) return terse === true ? '°' : symbol.replace(' ', HARD_SPACE);
  return `${HARD_SPACE}${symbol.replace(' ', HARD_SPACE)}`;
}

/** A figure as it is seen without its unit: a zero has no sign. */
function seen(value: number, form: Form, decimals: number): string {
  const shown = toShown(value, form);
  const digits = digitsOf(Math.abs(shown), form, decimals);
  return shown < 0 && /[1-9]/.test(digits) ? `${MINUS}${digits}` : digits;
}

/** How many digits more than usual may tell a figure from its limit; what is nearer than that is dust of the arithmetic. */
const MOST_MORE_DIGITS = 3;

/** More digits than usual that show a figure to lie beyond the limit it missed; 0 where it missed none. */
function moreDigits(value: number | null, [low, high]: Band, form: Form, decimals: number): number {
  if (value === null) return 0;
  const missed = low !== null && value < low ? low : high !== null && value > high ? high : null;
  if (missed === null) return 0;
  for (let more = 0; more <= MOST_MORE_DIGITS; more += 1) {
    if (seen(value, form, decimals + more) !== seen(missed, form, decimals + more)) return more;
  }
  return 0;
}

function makeWriter(display: Display): Writer {
  const write = (value: number | null, unit: Unit, style: FigureStyle, more: number): string => {
    if (value === null || !Number.isFinite(value)) return NO_FIGURE;
    const form = formOf(unit, display);
    const shown = style.difference === true ? differenceToShown(value, form) : toShown(value, form);
    const digits = digitsOf(Math.abs(shown), form, decimalsIn(form, style.decimals ?? units[unit].decimals) + more);
    const zero = !/[1-9]/.test(digits);
    const sign = zero ? '' : shown < 0 ? MINUS : style.sign === true ? '+' : '';
    return `${sign}${digits}${tailOf(form, style)}`;
  };
  const figure: Writer['figure'] = (value, unit, style = {}) => write(value, unit, style, 0);
  const beside: Writer['beside'] = (value, band, unit, style = {}) => {
    const form = formOf(unit, display);
    const more = moreDigits(value, band, form, decimalsIn(form, style.decimals ?? units[unit].decimals));
    const [low, high] = band.map((end) => write(end, unit, { ...style, sign: false }, more));
    const bareLow = write(band[0], unit, { ...style, sign: false, bare: true }, more);
    const range =
      band[0] === null
        ? band[1] === null
          ? NO_FIGURE
          : `up to ${high ?? ''}`
        : band[1] === null
          ? `from ${low ?? ''}`
          : `${bareLow} to ${high ?? ''}`;
    return { value: write(value, unit, style, more), band: range, low: low ?? '', high: high ?? '' };
  };
  const apart: Writer['apart'] = (one, other, unit, style = {}) => {
    const form = formOf(unit, display);
    const more = moreDigits(one, [other, other], form, decimalsIn(form, style.decimals ?? units[unit].decimals));
    return [write(one, unit, style, more), write(other, unit, style, more)];
  };
  const shimChange: Writer['shimChange'] = (mm, style = {}, verbs = SHIM_VERBS) => {
    if (mm === null || !Number.isFinite(mm)) return NO_FIGURE;
    // Rounded in the log's unit, so that the word is the same whatever unit is shown.
    const written = Number(mm.toFixed(style.decimals ?? units.shim.decimals));
    const text = figure(written === 0 ? 0 : mm, 'shim', { ...style, sign: true });
    if (verbs === null) return text;
    return written === 0 ? `${text}, leave` : `${text}, ${written > 0 ? verbs[0] : verbs[1]}`;
  };
  const axis: Writer['axis'] = (text, unit) => {
    const symbol = unit === null ? '' : axisForm(unit, display).symbol;
    return symbol === '' ? text : `${text} (${symbol})`;
  };
  return {
    display,
    figure,
    beside,
    apart,
    shimChange,
    axis,
    scale: (unit) => (value) => toShown(value, axisForm(unit, display)),
    axisDecimals: (unit) => decimalsIn(axisForm(unit, display), units[unit].decimals),
    symbol: (unit) => (unit === null ? '' : formOf(unit, display).symbol),
    spoken: (unit) => formOf(unit, display).spoken,
  };
}

const writers = new Map<string, Writer>();

/** The writer for a choice of units; the same one each time. */
export function writerFor(display: Display): Writer {
  const key = `${display.system} ${display.angles}`;
  const writer = writers.get(key) ?? makeWriter(display);
  writers.set(key, writer);
  return writer;
}

/** Writes in the log's own units: for whatever leaves the page as data, and where no person has chosen. */
export const inLogUnits = writerFor(LOG_DISPLAY);

/** A stack as it was written down: in one piece, or both halves of a split pair: `1.20 + 1.25`. */
export const bothHalves = (
  first: number | null,
  second: number | null,
  write: (mm: number | null) => string,
): string => (second === null ? write(first) : `${write(first)} + ${write(second)}`);

/** A share from 0 to 1 as whole per cent. */
export const percent = (share: number | null, decimals = 0): string =>
  share === null || !Number.isFinite(share) ? NO_FIGURE : `${(100 * share).toFixed(decimals)}\u00a0%`;

/** `54 to 68 %`, from shares 0 to 1. */
export const percentRange = (low: number, high: number): string =>
  `${(100 * low).toFixed(0)} to ${(100 * high).toFixed(0)}\u00a0%`;

/** A whole number with thin gaps in thousands. */
export const count = (n: number): string =>
  Math.round(n)
    .toString()
    .replace(/\B(?=(\d{3})+(?!\d))/g, '\u202f');

/** `1 job`, `2 jobs`. */
export const counted = (n: number, one: string, many = `${one}s`): string => `${count(n)}\u00a0${n === 1 ? one : many}`;

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** yyyy-mm-dd as `4 Mar 2024`; anything else as it stands. */
export function day(iso: string | null): string {
  if (iso === null) return NO_FIGURE;
  const parts = /^(\d{4})-(\d\d)-(\d\d)/.exec(iso);
  const month = MONTHS[Number(parts?.[2]) - 1];
  return parts === null || month === undefined ? iso : `${Number(parts[3])}\u00a0${month}\u00a0${parts[1] ?? ''}`;
}

const LONG_MONTHS = [
  ...['January', 'February', 'March', 'April', 'May', 'June'],
  ...['July', 'August', 'September', 'October', 'November', 'December'],
];

/** The first day of a month as `March 2024`. */
export function monthName(iso: string): string {
  const parts = /^(\d{4})-(\d\d)/.exec(iso);
  const month = LONG_MONTHS[Number(parts?.[2]) - 1];
  return parts === null || month === undefined ? iso : `${month}\u00a0${parts[1] ?? ''}`;
}

/** The first day of a quarter as `2024 Q1`. */
export function quarterName(iso: string): string {
  const parts = /^(\d{4})-(\d\d)/.exec(iso);
  return parts === null ? iso : `${parts[1] ?? ''} Q${Math.ceil(Number(parts[2]) / 3)}`;
}
