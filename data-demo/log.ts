import { LATEST_YEAR_STARTS } from './calendar';
import { badSheetRows, spoilText, spoilTyped, unspoilt, type Spoiled } from './mess';
import { dice, streams } from './random';
import { emptyJobRows, shopTables, specTables, type ShopTable, type WrittenRow, type WrittenRows } from './rows';
import { sheetRows, sheets, sheetsOn } from './sheets';
import { simulate, type Simulation, type SimulationOptions } from './simulate';
import type { BadRow, Truth, TruthsFile } from './truths';

export interface LogOptions extends SimulationOptions {
  /** Bad rows: none, those that typed files can carry (the default), or also those that only text can carry. */
  readonly mess?: false | 'typed' | 'text';
}

/** A log in memory. */
export interface Log {
  readonly tables: Readonly<Record<ShopTable, readonly WrittenRow[]>>;
  readonly truths: readonly Truth[];
  /** Their rows are counted from 1, as in the files. */
  readonly bad_rows: readonly BadRow[];
}

/** What a folder of a log is given, and what it then knows of itself. */
export class Ledger {
  readonly counts = new Map<ShopTable, number>();
  readonly bad: BadRow[] = [];

  constructor(
    private readonly folder: BadRow['folder'],
    private readonly take: (table: ShopTable, rows: readonly WrittenRow[]) => void,
  ) {}

  add(tablesOfRows: WrittenRows, spoilt: Spoiled['spoilt']): void {
    for (const { index, ...bad } of spoilt) {
      this.bad.push({ folder: this.folder, row: (this.counts.get(bad.table) ?? 0) + index + 1, ...bad });
    }
    for (const table of shopTables) {
      const rows = tablesOfRows[table];
      if (rows === undefined) continue;
      this.take(table, rows);
      this.counts.set(table, (this.counts.get(table) ?? 0) + rows.length);
    }
  }

  /** Specifications and gauges: all of them, or what the latest year's jobs need. */
  addSheets(simulation: Simulation, latestYearOnly: boolean, mess: boolean): void {
    const chosen = latestYearOnly
      ? sheets.filter(
          (sheet) =>
            sheetsOn(sheet.model, LATEST_YEAR_STARTS).at(-1) === sheet || sheet.valid_from > LATEST_YEAR_STARTS,
        )
      : sheets;
    const calibrations = simulation.shop.calibrations.filter(({ due }) => !latestYearOnly || due > LATEST_YEAR_STARTS);
    const rows: Record<(typeof specTables)[number], WrittenRow[]> = {
      ...sheetRows(chosen),
      instruments: calibrations.map(({ row }) => row),
    };
    const spoilt: Spoiled['spoilt'][number][] = [];
    if (mess) {
      for (const { row, ...bad } of badSheetRows) spoilt.push({ ...bad, index: rows[bad.table].push(row) - 1 });
    }
    this.add(rows, spoilt);
  }

  rowCounts(): Record<string, number> {
    return Object.fromEntries(shopTables.map((table) => [table, this.counts.get(table) ?? 0]));
  }
}

/**
 * The jobs' rows piece by piece, with what was spoilt in them for typed files and for text. Rounds of the benches come last and stay clean:
 * whoever compares benches takes care, and the rows before them are the same with or without.
 */
export function* spoiledChunks(
  simulation: Simulation,
  seed: number,
  mess: false | 'typed' | 'text',
): Generator<{ readonly typed: Spoiled; readonly text: () => Spoiled; readonly latestYear: boolean }> {
  let piece = 0;
  for (const chunk of simulation.chunks()) {
    const n = (piece += 1);
    const typed = mess === false ? unspoilt(chunk) : spoilTyped(chunk, dice(seed, streams.mess, n));
    const text = () => (mess === 'text' ? spoilText(typed, dice(seed, streams.textMess, n)) : typed);
    yield { typed, text, latestYear: chunk.latestYear };
  }
  for (const round of simulation.rounds()) {
    const clean = unspoilt(round);
    yield { typed: clean, text: () => clean, latestYear: round.latestYear };
  }
}

/** A whole log in memory, for tests: keep `jobs` small. */
export function generateLog(options: LogOptions): Log {
  const { mess = 'typed', seed } = options;
  const simulation = simulate(options);
  const collected: Record<ShopTable, WrittenRow[]> = {
    specs: [],
    cam_lift: [],
    test_points: [],
    checks: [],
    instruments: [],
    ...emptyJobRows(),
  };
  const ledger = new Ledger('log', (table, rows) => {
    for (const row of rows) collected[table].push(row);
  });
  ledger.addSheets(simulation, false, mess !== false);
  for (const { typed, text } of spoiledChunks(simulation, seed, mess)) {
    const { rows, spoilt } = mess === 'text' ? text() : typed;
    ledger.add(rows, spoilt);
  }
  return { tables: collected, truths: simulation.faults.truths(), bad_rows: ledger.bad };
}

/** The file of truths beside a log. */
export const truthsOf = (
  { jobs, seed }: SimulationOptions,
  simulation: Simulation,
  ledgers: Readonly<Record<string, Ledger>>,
): TruthsFile => ({
  jobs,
  seed,
  rows: Object.fromEntries(Object.entries(ledgers).map(([folder, ledger]) => [folder, ledger.rowCounts()])),
  truths: simulation.faults.truths(),
  bad_rows: Object.values(ledgers).flatMap((ledger) => ledger.bad),
});
