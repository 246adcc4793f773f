import { readFileSync } from 'node:fs';
import { csvParse } from 'd3-dsv';

/** Rows of a file in tests/external/data; lines that begin with # are remarks. */
export function dataRows(name: string) {
  const text = readFileSync(new URL(`data/${name}`, import.meta.url), 'utf8');
  return csvParse(
    text
      .split('\n')
      .filter((line) => !line.startsWith('#'))
      .join('\n'),
  );
}
