import { plot, type PlotOptions } from '@observablehq/plot';
import { Paper } from './paper';

/** Digits that a snapshot keeps of a coordinate: less than a tenth of a px is nothing that anyone sees. */
const DECIMALS = 1;

const rounded = (text: string): string => {
  const value = Number(Number(text).toFixed(DECIMALS));
  return String(value === 0 ? 0 : value);
};

/** Ids and classes that a page numbers as it goes, so that they differ with what was drawn before. */
const NUMBERED = /\bplot-[\w-]*?[\da-f]{6,}\b|\bplot-(?:clip|marker|ramp|gradient)-\d+\b|_r_\w+_|«r\w+»/g;

/**
 * A drawing as text that is the same whenever it looks the same: coordinates rounded, running ids numbered from 1 in the order met,
 * one element a line.
 */
export function normalSvg(svg: string): string {
  const ids = new Map<string, string>();
  const renumbered = svg.replace(NUMBERED, (id) => {
    const known = ids.get(id) ?? `id-${ids.size + 1}`;
    ids.set(id, known);
    return known;
  });
  const tags = renumbered.replace(/<[a-z][^>]*>/gi, (tag) => tag.replace(/-?\d+\.\d+(?:e-?\d+)?/g, rounded));
  return `${tags.replace(/></g, '>\n<').trim()}\n`;
}

/** A plot drawn without a browser, as such a text. */
export function drawnSvg(options: PlotOptions): string {
  const drawn: unknown = plot({ ...options, document: new Paper() as unknown as Document });
  if (typeof drawn !== 'object' || drawn === null || !('write' in drawn) || typeof drawn.write !== 'function')
    throw new Error('The plot is not drawn on paper');
  return normalSvg(String(Reflect.apply(drawn.write, drawn, [])));
}
