import { MOST_ELEMENTS, normalName, NUMBER_PLACE } from './mapping';
import { synonyms, unitWords, witnesses } from './synonyms';
import type { SourceUnit } from './units';
import { tables } from '../tables';
import type { Confidence } from './evidence';

/** What one header of a sheet says: its words, a unit, an element's number. */
export interface HeaderFacts {
  readonly header: string;
  /** Its words without unit and number. */
  readonly words: string;
  readonly unit: SourceUnit | null;
  /** Strokes that a volume is stated over, as in cc/500; 1 for mm3/stroke. */
  readonly strokes: number | null;
  /** The element's number, and the header with {n} in its place; null where no one number stands in it. */
  readonly element: { readonly number: number; readonly pattern: string } | null;
}

const BRACKETS = /[([]([^()[\]]*)[)\]]/;
const PER_STROKES = /^(.*?)\s*(?:\/|per)\s*(\d{2,6})?\s*(?:strokes?|str|shots?)?\.?$/;

interface UnitHint {
  readonly unit: SourceUnit;
  readonly strokes: number | null;
}

function unitOf(text: string, bracketed: boolean): UnitHint | null {
  const plain = text.trim();
  const known = unitWords.find(([, alone, ...words]) => (bracketed || alone) && words.includes(plain));
  if (known !== undefined) return { unit: known[0], strokes: null };
  const per = PER_STROKES.exec(plain);
  if (per === null || !/\/|per/.test(plain) || (per[2] === undefined && !/str|shot/.test(plain))) return null;
  const volume = unitOf(per[1] ?? '', true);
  return volume === null ? null : { unit: volume.unit, strokes: Number(per[2] ?? '1') };
}

/** A unit that stands last without brackets, as in "feed psi". */
function trailingUnit(name: string): { hint: UnitHint; rest: string } | null {
  const words = name.split(' ');
  for (let from = Math.max(1, words.length - 3); from < words.length; from += 1) {
    const hint = unitOf(words.slice(from).join(' '), false);
    if (hint !== null) return { hint, rest: words.slice(0, from).join(' ') };
  }
  return null;
}

const ELEMENT_WORDS = /\b(?:elements?|elem|el|lines?|cylinders?|cyl|zylinder|zyl|nos?|e|l|c)\b|#/g;
const LONE_NUMBER = /(?<!\d|\d[.,])(0?[1-9]|1[0-2])(?!\d|[.,]\d)/g;

/** Longer than any header that a person wrote. */
const LONGEST_HEADER = 200;

export function readHeader(header: string): HeaderFacts {
  const name = normalName(header).slice(0, LONGEST_HEADER);
  const brackets = BRACKETS.exec(name);
  const bracketed = brackets === null ? null : unitOf(brackets[1] ?? '', true);
  const outside = brackets === null ? name : name.replace(brackets[0], ' ').replace(/\s+/g, ' ').trim();
  const trailing = bracketed === null ? trailingUnit(outside) : null;
  const rest = trailing?.rest ?? outside;
  const hint = bracketed ?? trailing?.hint ?? null;
  const numbers = [...rest.matchAll(LONE_NUMBER)];
  const [number] = numbers;
  const element =
    numbers.length === 1 && number !== undefined && Number(number[0]) <= MOST_ELEMENTS
      ? { number: Number(number[0]), pattern: withPlace(name, number[0]) }
      : null;
  return {
    header,
    words: wordsOf(rest),
    unit: hint?.unit ?? null,
    strokes: hint?.strokes ?? null,
    element,
  };
}

/** The header with {n} for its first lone number that is not within brackets. */
const withPlace = (name: string, number: string): string => {
  const open = name.search(/[([]/);
  const close = open < 0 ? -1 : name.slice(open).search(/[)\]]/) + open;
  const at = [...name.matchAll(LONE_NUMBER)].find(
    (found) => found[0] === number && !(open >= 0 && found.index > open && found.index < close),
  )?.index;
  return at === undefined ? name : `${name.slice(0, at)}${NUMBER_PLACE}${name.slice(at + number.length)}`;
};

const wordsOf = (text: string): string =>
  text
    .replace(/[._:;,-]+/g, ' ')
    .replace(/\s+/g, ' ')
    .trim();

export interface ColumnGuess {
  readonly column: string;
  readonly confidence: Confidence;
  readonly why: string;
}

/** Of the tables that are proposed: the revision of a specification is another column than that of a job. */
const ownNames: ReadonlySet<string> = new Set(
  witnesses.flatMap(([name]) => tables[name].columns.map((column) => column.name)),
);

/** What a header stands for in the log, by the words of the trade; `many`: one of a column an element. */
export function columnOf(facts: HeaderFacts, many: boolean): ColumnGuess | null {
  const name = normalName(facts.header);
  if (ownNames.has(name)) return { column: name, confidence: 'sure', why: "It is the log's own name." };
  const words = many
    ? wordsOf(facts.words.replace(/\d+/g, ' ').replace(ELEMENT_WORDS, ' '))
    : facts.words.replace(/ #$/, ' no');
  const exact = synonyms.find(([, ...known]) => known.includes(words));
  if (exact !== undefined)
    return { column: exact[0], confidence: 'likely', why: `"${words}" stands for it in the trade.` };
  const within = synonyms
    .flatMap(([column, ...known]) => known.map((word) => ({ column, word })))
    .filter(({ word }) => ` ${words} `.includes(` ${word} `))
    .sort((a, b) => b.word.length - a.word.length);
  const [best] = within;
  if (best !== undefined) {
    return { column: best.column, confidence: 'unsure', why: `"${best.word}" is among its words.` };
  }
  return many && words === '' ? byUnit(facts) : null;
}

/** Whether a header has an element's number and no word beside it. */
export const onlyNumbered = ({ words, element }: HeaderFacts): boolean =>
  element !== null && wordsOf(words.replace(/\d+/g, ' ').replace(ELEMENT_WORDS, ' ')) === '';

/** Columns numbered by element that say no more than their unit. */
function byUnit({ unit }: HeaderFacts): ColumnGuess | null {
  if (unit === 'cc' || unit === 'cm3' || unit === 'ml' || unit === 'mm3') {
    return { column: 'volume_cm3', confidence: 'unsure', why: 'A volume an element is most likely a draw.' };
  }
  if (unit === 'deg' || unit === 'cam_deg' || unit === 'crank_deg') {
    return { column: 'cam_deg', confidence: 'unsure', why: 'An angle an element is most likely its closure.' };
  }
  return null;
}
