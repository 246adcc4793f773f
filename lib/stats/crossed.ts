import { group } from 'd3-array';

/** One reading of a crossed study: every part read by every operator (or on every bench), each as many times. */
export interface CrossedReading {
  readonly part: string | number;
  /** Whoever or whatever reads: operator, bench, gauge. */
  readonly operator: string | number;
  /** [any one unit] */
  readonly value: number;
}

/** Readings by part, then operator, then trial; names in the order in which they came. */
export interface CrossedTable {
  readonly parts: readonly (string | number)[];
  readonly operators: readonly (string | number)[];
  readonly trials: number;
  readonly cells: readonly (readonly (readonly number[])[])[];
}

/**
 * Sorts readings into a table. What is not finite is left out.
 * @returns null where the study is not balanced (some cell has more readings than another, or none), or there is nothing
 */
export function crossedTable(readings: readonly CrossedReading[]): CrossedTable | null {
  const kept = readings.filter(({ value }) => Number.isFinite(value));
  const parts = [...new Set(kept.map(({ part }) => part))];
  const operators = [...new Set(kept.map(({ operator }) => operator))];
  const byCell = group(
    kept,
    ({ part }) => part,
    ({ operator }) => operator,
  );
  const cells = parts.map((part) =>
    operators.map((operator) => (byCell.get(part)?.get(operator) ?? []).map(({ value }) => value)),
  );
  const trials = cells[0]?.[0]?.length ?? 0;
  const balanced = trials > 0 && cells.every((row) => row.every((cell) => cell.length === trials));
  return balanced ? { parts, operators, trials, cells } : null;
}
