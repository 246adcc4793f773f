import type { Guess } from './evidence';
import { columnOf, readHeader } from './headers';

/** The row that the headers stand in, where titles, addresses or blank rows may stand above them. */

/** Further down nobody writes a header. */
const SEARCHED = 30;

interface Row {
  /** As a spreadsheet counts. */
  readonly no: number;
  readonly filled: number;
  /** Cells that are names which the trade knows. */
  readonly known: number;
  readonly figures: number;
}

const FIGURE = /^[-+]?[\d.,:/\s°'"%-]+$/;

const knows = (cell: string): boolean => {
  const facts = readHeader(cell);
  return columnOf(facts, false) !== null || (facts.element !== null && columnOf(facts, true) !== null);
};

/** A title is a sentence in one or two cells; a header has names side by side, and no figures. */
export function guessHeaderRow(rows: readonly (readonly string[])[]): Guess<number> {
  const looked = rows.slice(0, SEARCHED).map((row, i): Row => {
    const cells = row.map((cell) => cell.trim()).filter((cell) => cell !== '');
    return {
      no: i + 1,
      filled: cells.length,
      known: cells.filter(knows).length,
      figures: cells.filter((cell) => FIGURE.test(cell)).length,
    };
  });
  const named = looked.filter(({ filled, figures }) => filled > 1 && figures <= filled / 2);
  const [best, next] = [...named].sort((a, b) => b.known - a.known || a.no - b.no);
  if (best !== undefined && best.known > 1) {
    const rival = next !== undefined && next.known > 1 && next.known * 4 >= best.known * 3;
    const why = `Row ${best.no} has ${best.known} names that the trade knows${rival ? `; row ${next.no} has ${next.known}` : ''}.`;
    return { value: best.no, confidence: rival ? 'unsure' : best.no === 1 ? 'sure' : 'likely', why };
  }
  const widest = Math.max(...looked.map(({ filled }) => filled), 0);
  const first = named.find(({ filled, figures }) => figures === 0 && filled * 2 > widest);
  if (first === undefined) return { value: 1, confidence: 'unsure', why: 'No row looks like one of headers.' };
  return {
    value: first.no,
    confidence: first.no === 1 ? 'likely' : 'unsure',
    why: `Row ${first.no} is the first with a name over most columns.`,
  };
}
