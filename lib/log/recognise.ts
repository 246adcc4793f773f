import { tableNames, type TableName } from './table';
import { tables } from './tables';

export type Recognised =
  | { readonly table: TableName; readonly unknown: readonly string[] }
  | { readonly table: null; readonly nearest: TableName | null; readonly lacking: readonly string[] };

/** Columns of a file of rows to mend that are no part of its table: where each row was set aside, and why (lib/log/mend.ts). */
export const mendColumns = ['set_aside_file', 'set_aside_row', 'set_aside_column', 'set_aside_reason'] as const;

/** Column names are compared without regard to case and outer spaces. */
export const normalHeader = (name: string): string => name.trim().toLowerCase();

/**
 * Finds the table that a header belongs to: of the tables whose required columns are all there, the one with the most
 * columns in common. Where there is none, names the nearest and what it lacks.
 */
export function recognise(header: readonly string[]): Recognised {
  const present = new Set(header.map(normalHeader));
  const scored = tableNames.map((name) => {
    const { columns } = tables[name];
    const required = columns.filter((column) => column.required);
    return {
      name,
      common: columns.filter((column) => present.has(column.name)).length,
      lacking: required.filter((column) => !present.has(column.name)).map((column) => column.name),
      required: required.length,
    };
  });
  const whole = scored.filter((score) => score.lacking.length === 0);
  if (whole.length > 0) {
    const best = whole.reduce((a, b) =>
      b.common > a.common || (b.common === a.common && b.required > a.required) ? b : a,
    );
    const known = new Set<string>([...tables[best.name].columns.map((column) => column.name), ...mendColumns]);
    return { table: best.name, unknown: header.filter((name) => !known.has(normalHeader(name))) };
  }
  const near = scored.reduce((a, b) =>
    b.common / (b.common + b.lacking.length) > a.common / (a.common + a.lacking.length) ? b : a,
  );
  return near.common === 0
    ? { table: null, nearest: null, lacking: [] }
    : { table: null, nearest: near.name, lacking: near.lacking };
}
