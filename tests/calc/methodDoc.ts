import { readFileSync } from 'node:fs';
import { expect } from 'vitest';

/** docs/method.md section by section, and its worked examples row by row. */

const document = readFileSync(new URL('../../docs/method.md', import.meta.url), 'utf8');
export const sections = new Map(
  document
    .split('\n## ')
    .slice(1)
    .map((section) => {
      const [heading = '', ...body] = section.split('\n');
      return [heading.toLowerCase().replaceAll(' ', '-'), body.join('\n')];
    }),
);

/** Sections whose figures are asked of a whole log: run in tests/questions/method.test.ts. */
export const runOnLogs: readonly string[] = [
  'retention-baseline',
  'room-left-in-the-tolerance',
  'stack-drift-over-visits',
  'rotation-over-visits',
];

export type Cells = ReadonlyMap<string, string>;

/** The worked examples of one section: the rows of its table, by the headings of their columns. */
export function examples(anchor: string): Cells[] {
  const cells = (line: string) =>
    line
      .split('|')
      .slice(1, -1)
      .map((cell) => cell.trim());
  const lines = (sections.get(anchor) ?? '').split('\n').filter((line) => line.startsWith('|'));
  const [header = '', , ...body] = lines;
  return body.map((line) => new Map(cells(header).map((name, k) => [name, cells(line)[k] ?? ''])));
}

export const text = (row: Cells, name: string): string => {
  const cell = row.get(name);
  if (cell === undefined) throw new Error(`The worked example has no column ${name}`);
  return cell;
};
export const number = (row: Cells, name: string): number => (text(row, name) === '' ? NaN : Number(text(row, name)));
export const list = (row: Cells, name: string): number[] => text(row, name).split(' ').map(Number);

/** The figure equals the one written, to the decimals written; an empty cell means that none is told. */
export function expectAsWritten(figure: number, row: Cells, name: string): void {
  const written = text(row, name);
  if (written === '') expect(figure).toBeNaN();
  else expect(figure).toBeCloseTo(Number(written), written.split('.')[1]?.length ?? 0);
}

/** The same, figure by figure. */
export function expectListAsWritten(figures: Float64Array, row: Cells, name: string): void {
  const written = text(row, name).split(' ');
  expect(figures.length).toBe(written.length);
  written.forEach((figure, k) => {
    expectAsWritten(figures[k] ?? NaN, new Map([[name, figure]]), name);
  });
}

export const reals = (row: Cells, name: string): Float64Array => Float64Array.from(list(row, name));
export const dayOf = (row: Cells, name: string): number => Date.parse(text(row, name)) / 86_400_000;

export function oneOf<T extends string>(words: readonly T[], row: Cells, name: string): T {
  const word = words.find((candidate) => candidate === text(row, name));
  if (word === undefined) throw new Error(`Not a known word: ${text(row, name)}`);
  return word;
}
