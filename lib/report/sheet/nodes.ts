import { visible } from '../../words/visible';

/**
 * The sheet as a small tree of plain elements, from which both the saved file and the page are made. Texts are put in as they are;
 * whoever writes them out escapes them.
 */

export const tags = [
  ...(['article', 'header', 'section', 'h1', 'h2', 'h3', 'p', 'ul', 'li', 'dl', 'div', 'dt', 'dd'] as const),
  ...(['table', 'caption', 'thead', 'tbody', 'tr', 'th', 'td', 'strong', 'span', 'code'] as const),
] as const;
export type Tag = (typeof tags)[number];
export type AttributeName = 'class' | 'id' | 'scope' | 'role' | 'tabindex' | 'aria-label' | 'aria-hidden';

export interface SheetElement {
  readonly tag: Tag;
  readonly attributes: Readonly<Partial<Record<AttributeName, string>>>;
  readonly children: readonly SheetNode[];
}
export type SheetNode = string | SheetElement;

export const element = (
  tag: Tag,
  attributes: SheetElement['attributes'],
  ...children: readonly SheetNode[]
): SheetElement => ({ tag, attributes, children });

/** Text out of the log as it is shown: what can't be seen is written out. */
export const shown = (text: string | null): string => (text === null ? '–' : visible(text));

export const paragraph = (...children: readonly SheetNode[]): SheetElement => element('p', {}, ...children);

export const section = (title: string, ...children: readonly SheetNode[]): SheetElement =>
  element('section', {}, element('h2', {}, title), ...children);

export interface SheetColumn<R> {
  readonly head: string;
  readonly cell: (row: R) => SheetNode;
  /** A figure is set to the right and stays on one line, as does a moment; free text of the log may break anywhere. */
  readonly kind?: 'figure' | 'line' | 'free';
}

/** A table whose head is repeated on each page; a sentence where there is nothing to list. */
export function table<R>(
  caption: string,
  columns: readonly SheetColumn<R>[],
  rows: readonly R[],
  none = 'None.',
): SheetElement {
  if (rows.length === 0) return element('p', { class: 'none' }, element('strong', {}, `${caption}: `), none);
  const kind = (column: SheetColumn<R>): SheetElement['attributes'] =>
    column.kind === undefined ? {} : { class: column.kind };
  // A long one may run over several pages; a short one moves to the next page whole.
  const long = rows.length > MOST_ROWS_WHOLE;
  const inside = element(
    'table',
    {},
    element('caption', {}, caption),
    element(
      'thead',
      {},
      element('tr', {}, ...columns.map((column) => element('th', { ...kind(column), scope: 'col' }, column.head))),
    ),
    element(
      'tbody',
      {},
      ...rows.map((row) =>
        element('tr', {}, ...columns.map((column) => element('td', kind(column), column.cell(row)))),
      ),
    ),
  );
  // On a narrow screen it moves sideways by itself, which a keyboard must be able to do.
  const kinds = ['wide', ...(long ? ['long'] : []), ...(columns.length >= MANY_COLUMNS ? ['dense'] : [])];
  const box = { class: kinds.join(' '), role: 'region', tabindex: '0', 'aria-label': `Table: ${caption}` };
  return element('div', box, inside);
}

/** So many columns need smaller letters to fit on paper. */
const MANY_COLUMNS = 10;
/** More rows than these do not fit on one page. */
const MOST_ROWS_WHOLE = 25;

/** Terms with what there is to say of each. */
export const facts = (given: readonly (readonly [term: string, says: SheetNode])[]): SheetElement =>
  element(
    'dl',
    {},
    ...given.map(([term, says]) => element('div', {}, element('dt', {}, term), element('dd', {}, says))),
  );

export const list = (items: readonly string[]): SheetElement =>
  element('ul', {}, ...items.map((item) => element('li', {}, item)));

const marks = {
  good: '●',
  bad: '◆',
  open: '◐',
  none: '○',
} as const;
export type Mark = keyof typeof marks;

/** A word with a mark of its own shape, so that it can be told in black and white. */
export const marked = (mark: Mark, word: string): SheetElement =>
  element('span', { class: `word word-${mark}` }, element('span', { 'aria-hidden': 'true' }, marks[mark]), ` ${word}`);
