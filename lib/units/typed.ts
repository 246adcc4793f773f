import { decimalsIn, formOf, inMinutes, toLog, toShown, type Display } from './display';
import { units, type Unit } from './units';

/** Figures in fields: what stands there, and what is typed into them, in the units that a person chose. */

/** Finer than any gauge, and coarse enough to leave out what binary fractions add. */
const DUST = 6;

/** A figure of the log as it stands in a field; empty where it was not read. */
export function typed(value: number, unit: Unit, display: Display): string {
  if (Number.isNaN(value)) return '';
  const form = formOf(unit, display);
  const shown = toShown(value, form);
  const decimals = decimalsIn(form, units[unit].decimals);
  if (form.minutes) {
    const [degrees, minutes] = inMinutes(Math.abs(shown), decimals);
    return `${shown < 0 ? '-' : ''}${degrees}° ${minutes}′`;
  }
  return String(Number(shown.toFixed(form.times === form.over ? DUST : decimals)));
}

/** Degrees, then minutes after a mark or a space: `120° 21.5′`, `120 21.5`, `120°`. Plain decimal degrees are taken too. */
const DEGREES_AND_MINUTES = /^([-−+]?)\s*(\d+(?:\.\d+)?)(?:\s*°\s*|\s+|\s*$)(?:(\d+(?:\.\d+)?)\s*['′]?)?$/;

function fromMinutes(text: string): number {
  const [, sign = '', degrees = '', minutes = '0'] = DEGREES_AND_MINUTES.exec(text) ?? [];
  // Decimals of a degree and minutes beside them would say the same thing twice.
  if (degrees === '' || Number(minutes) >= 60 || (degrees.includes('.') && minutes !== '0')) return Number.NaN;
  const size = Number(degrees) + Number(minutes) / 60;
  return sign === '-' || sign === '−' ? -size : size;
}

/** The figure of the log that a typed text stands for; NaN for none and for text that is no figure. */
export function readTyped(text: string, unit: Unit, display: Display): number {
  const trimmed = text.trim();
  if (trimmed === '') return Number.NaN;
  const form = formOf(unit, display);
  return toLog(form.minutes ? fromMinutes(trimmed) : Number(trimmed), form);
}

/** The step of a number field: a power of ten in the shown unit that is no coarser than `step` of the log. */
export function stepTyped(step: number, unit: Unit, display: Display): number {
  const { times, over } = formOf(unit, display);
  return times === over ? step : 10 ** Math.floor(Math.log10((step * times) / over) + 1e-9);
}
