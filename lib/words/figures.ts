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
  readonly decimals?: number;
}

/** A number as the shop writes it: decimals by the gauge, a true minus, its unit behind a hard space. */
export function figure(value: number | null, unit: Unit, style: FigureStyle = {}): string {
  if (value === null || !Number.isFinite(value)) return NO_FIGURE;
  const { symbol, decimals } = units[unit];
  const digits = Math.abs(value).toFixed(style.decimals ?? decimals);
  const zero = Number(digits) === 0;
  const sign = zero ? '' : value < 0 ? MINUS : style.sign === true ? '+' : '';
  const tight = symbol === '°' || symbol.startsWith('° ');
  const tail =
    style.bare === true || symbol === '' ? '' : `${tight ? '' : HARD_SPACE}${symbol.replace(' ', HARD_SPACE)}`;
  return `${sign}${digits}${tail}`;
}

/** A change of a stack with the way the hand must go: `+0.15 mm, add`. */
export function shimChange(mm: number | null, style: FigureStyle = {}): string {
  const text = figure(mm, 'mm', { ...style, sign: true });
  if (mm === null || !Number.isFinite(mm)) return text;
  const written = Number(mm.toFixed(style.decimals ?? units.mm.decimals));
  return written === 0 ? `${text}, leave` : `${text}, ${written > 0 ? 'add' : 'remove'}`;
}

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

/** The first day of a quarter as `2024 Q1`. */
export function quarterName(iso: string): string {
  const parts = /^(\d{4})-(\d\d)/.exec(iso);
  return parts === null ? iso : `${parts[1] ?? ''} Q${Math.ceil(Number(parts[2]) / 3)}`;
}

/** Axis title: the word and, in brackets, its unit. */
export const axis = (text: string, unit: Unit | null): string => {
  const symbol = unit === null ? '' : units[unit].symbol;
  return symbol === '' ? text : `${text} (${symbol})`;
};
