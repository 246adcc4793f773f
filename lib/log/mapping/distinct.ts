import type { LogTable, TableName } from '../table';

/** Rows of a table that a flat sheet repeats beside each reading, taken once a key. */

export interface Conflict {
  readonly table: TableName;
  /** The key's cells, in the order of the table's key. */
  readonly key: readonly string[];
  readonly column: string;
  /** Each value with the row where it stands first, as a spreadsheet counts; the last of them is the one that counts. */
  readonly values: readonly { readonly value: string; readonly row: number }[];
}

interface Held {
  readonly key: readonly string[];
  cells: string[];
  /** The sheet's row that each cell comes from. */
  rows: number[];
  readonly said: Map<number, { value: string; row: number }[]>;
}

/** The sheet's row number of the i-th converted row. */
export const FIRST_ROW = 2;

/**
 * Keeps one row a key. A cell left empty in one row is filled from another row of the same key. Where two rows disagree both
 * are kept in their places, so that the log lists the earlier one as replaced by the later, and the conflict is told.
 */
export class DistinctRows {
  private readonly held = new Map<string, Held>();
  private readonly places = new Map<number, readonly string[]>();
  private readonly keyPlaces: readonly number[];

  constructor(
    private readonly table: LogTable,
    private readonly columns: readonly string[],
  ) {
    this.keyPlaces = table.key.map((name) => columns.indexOf(name)).filter((place) => place >= 0);
  }

  add(cells: readonly string[], at: number): void {
    const key = this.keyPlaces.map((place) => (cells[place] ?? '').trim());
    // A row without its key, or with cells too many, is one to be set aside, not one to be told from others.
    if (key.every((cell) => cell === '') || cells.length > this.columns.length) {
      this.places.set(at, cells);
      return;
    }
    const name = JSON.stringify(key);
    const before = this.held.get(name);
    if (before === undefined) {
      const fresh: Held = { key, cells: [...cells], rows: cells.map(() => at + FIRST_ROW), said: new Map() };
      this.held.set(name, fresh);
      this.places.set(at, fresh.cells);
      return;
    }
    this.join(before, cells, at);
  }

  private join(before: Held, cells: readonly string[], at: number): void {
    const differs = cells.flatMap((cell, i) =>
      cell.trim() !== '' && !this.keyPlaces.includes(i) && isOther(before.cells[i] ?? '', cell) ? [i] : [],
    );
    for (const i of differs) {
      const first = { value: (before.cells[i] ?? '').trim(), row: before.rows[i] ?? at + FIRST_ROW };
      const values = before.said.get(i) ?? [first];
      const value = (cells[i] ?? '').trim();
      before.said.set(i, [...values.filter((each) => each.value !== value), { value, row: at + FIRST_ROW }]);
    }
    // A disagreement begins a new row; what is only filled in stays in the row that there is.
    if (differs.length > 0) {
      before.cells = [...before.cells];
      this.places.set(at, before.cells);
    }
    cells.forEach((cell, i) => {
      if (cell.trim() === '' || (!differs.includes(i) && (before.cells[i] ?? '').trim() !== '')) return;
      before.cells[i] = cell;
      before.rows[i] = at + FIRST_ROW;
    });
  }

  /** What stands in the i-th place: null where another row of the same key stands for it. */
  at(i: number): readonly string[] | null {
    return this.places.get(i) ?? null;
  }

  conflicts(): Conflict[] {
    return [...this.held.values()].flatMap((held) =>
      [...held.said].map(([i, values]) => ({
        table: this.table.name,
        key: held.key,
        column: this.columns[i] ?? '',
        values,
      })),
    );
  }
}

/** Both hold something, and not the same. */
const isOther = (a: string, b: string): boolean => a.trim() !== '' && a.trim() !== b.trim();
