import type { LogTable } from '../table';
import { tables } from '../tables';
import { guessDates, guessNotation } from './evidence';
import { elementHeaders, normalName, signature, type Mapping } from './mapping';

/** What the cells of all rows looked at speak against, of how a mapping reads numbers and days. */
export function doubtsOf(mapping: Mapping, rows: readonly (readonly string[])[]): string[] {
  const notation = guessNotation(cellsOf(mapping, rows, ['number', 'integer']));
  const dates = guessDates(cellsOf(mapping, rows, ['date', 'moment']));
  const numbers =
    notation.confidence === 'sure' &&
    (notation.value?.decimal !== mapping.decimal ||
      (notation.value.thousands !== 'none' && notation.value.thousands !== mapping.thousands));
  const days = dates.confidence === 'sure' && dates.value !== mapping.dates && dates.value !== 'iso';
  return [...(numbers ? [`Decimal sign: ${notation.why}`] : []), ...(days ? [`Order of dates: ${dates.why}`] : [])];
}

function cellsOf(mapping: Mapping, rows: readonly (readonly string[])[], kinds: readonly string[]): string[] {
  const names = signature(mapping.headers);
  const header = (rows[mapping.header_row - 1] ?? []).map(normalName);
  const wanted = mapping.targets.flatMap(({ table, columns }) => {
    const all: LogTable = tables[table];
    return Object.entries(columns).flatMap(([name, from]) => {
      if (!kinds.includes(all.columns.find((column) => column.name === name)?.kind ?? '')) return [];
      if (from.from === 'header') return [normalName(from.header)];
      return from.from === 'elements' ? [...elementHeaders(from, names).values()] : [];
    });
  });
  const places = [...new Set(wanted)].map((name) => header.indexOf(name)).filter((place) => place >= 0);
  // Cells repeat, and one of each tells as much as all.
  const cells = new Set<string>();
  for (const row of rows.slice(mapping.header_row)) for (const place of places) cells.add(row[place] ?? '');
  cells.delete('');
  return [...cells];
}
