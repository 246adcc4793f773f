import { readFileSync } from 'node:fs';

/** The worked examples of a document in docs/, as its tables have them. */

/** A row of a worked example, by the headings of its columns. */
export type Row = ReadonlyMap<string, string>;

const cells = (line: string): string[] =>
  line
    .split('|')
    .slice(1, -1)
    .map((cell) => cell.trim());

/** A document's text as it stands. */
export const textOf = (document: string): string =>
  readFileSync(new URL(`../docs/${document}`, import.meta.url), 'utf8');

/** The tables of a document by the headings of their sections; those before the first section are left out. */
export const examplesIn = (document: string): ReadonlyMap<string, readonly Row[]> =>
  new Map(
    textOf(document)
      .split('\n## ')
      .slice(1)
      .map((section) => {
        const [heading = '', ...body] = section.split('\n');
        const [header = '', , ...lines] = body.filter((line) => line.startsWith('|'));
        const rows = lines.map((line): Row => new Map(cells(header).map((name, k) => [name, cells(line)[k] ?? ''])));
        return [heading, rows] as const;
      }),
  );

export const text = (row: Row, name: string): string => {
  const cell = row.get(name);
  if (cell === undefined) throw new Error(`The worked example has no column ${name}`);
  return cell;
};
export const number = (row: Row, name: string): number => Number(text(row, name));
export const list = (row: Row, name: string): number[] => text(row, name).split(' ').map(Number);
