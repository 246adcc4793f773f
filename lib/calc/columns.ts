import { layout, type ResultColumn, type ResultColumns, type Results, type ResultTable } from './layout';
import type { Readings } from './types';

function noSuchRow(row: number): never {
  throw new RangeError(`A column has no row ${row}`);
}

/** Cell `row` of a whole-number column. Throws RangeError beyond its end: the caller's counting is wrong then. */
export function int(column: Int32Array, row: number): number {
  return column[row] ?? noSuchRow(row);
}

/** Cell `row` of a column of reals (NaN where nothing was stated). Throws RangeError beyond its end. */
export function real(column: Float64Array, row: number): number {
  return column[row] ?? noSuchRow(row);
}

/** A reading [in its column's unit]; one that is not finite counts as not read, so that no verdict rests on it. */
export function reading(column: Float64Array, row: number): number {
  const value = real(column, row);
  return Number.isFinite(value) ? value : NaN;
}

/** Rows `start` to below `end` of one table of readings: one job's. `start` moves up as they are read. */
export interface Slice {
  start: number;
  end: number;
}

type Column = Int32Array | Float64Array;

function grown(column: Column | undefined, isReal: boolean, filled: number, rows: number): Column {
  if (column?.length === rows) return column;
  const next = isReal ? new Float64Array(rows) : new Int32Array(rows);
  if (column !== undefined) next.set(column.subarray(0, filled));
  return next;
}

function grownColumns<T extends ResultTable>(
  table: T,
  old: Record<string, Column>,
  filled: number,
  rows: number,
): ResultColumns<T> {
  const columns: Record<string, Column> = {};
  for (const [name, { type }] of Object.entries<ResultColumn>(layout[table].columns)) {
    columns[name] = grown(old[name], type === 'real', filled, rows);
  }
  // The loop above walks the very definition that ResultColumns is derived from; the compiler cannot follow it.
  return columns as ResultColumns<T>;
}

/**
 * A result table while it is filled: columns that grow together. `newRow` makes room and gives the row's number; the caller
 * then writes every column's `columns.<name>[row]`. Take `columns` anew after every `newRow`.
 */
export class GrowingTable<T extends ResultTable> {
  columns: ResultColumns<T>;
  length = 0;

  /** `capacity`: how many rows there is room for at first, at least 1. */
  constructor(
    private readonly table: T,
    private capacity: number,
  ) {
    this.columns = grownColumns(table, {}, 0, capacity);
  }

  newRow(): number {
    if (this.length === this.capacity) this.resize(this.capacity * 2);
    return this.length++;
  }

  /** The filled rows, in arrays of exactly that length, so that they can be handed over without copying again. */
  finish(): ResultColumns<T> {
    this.resize(this.length);
    return this.columns;
  }

  private resize(rows: number): void {
    this.columns = grownColumns(this.table, this.columns, this.length, rows);
    this.capacity = rows;
  }
}

const FIRST_CAPACITY = 256;

/** One growing table for every result table of the layout. */
export class GrowingResults {
  readonly timing = new GrowingTable('timing', FIRST_CAPACITY);
  readonly phasing: GrowingTable<'phasing'>;
  readonly shim_plans = new GrowingTable('shim_plans', FIRST_CAPACITY);
  readonly deliveries: GrowingTable<'deliveries'>;
  readonly points = new GrowingTable('points', FIRST_CAPACITY);
  readonly balance_plans = new GrowingTable('balance_plans', FIRST_CAPACITY);
  readonly rotations = new GrowingTable('rotations', FIRST_CAPACITY);
  readonly leakage = new GrowingTable('leakage', FIRST_CAPACITY);
  readonly governor_checks = new GrowingTable('governor_checks', FIRST_CAPACITY);
  readonly findings = new GrowingTable('findings', FIRST_CAPACITY);
  readonly excluded = new GrowingTable('excluded', FIRST_CAPACITY);
  readonly retention = new GrowingTable('retention', FIRST_CAPACITY);
  readonly stages = new GrowingTable('stages', FIRST_CAPACITY);
  readonly outcomes = new GrowingTable('outcomes', FIRST_CAPACITY);

  /** The two long tables have at most a row for every row read, so they never need to grow. */
  constructor({ closures, shims, draws }: Readings) {
    this.phasing = new GrowingTable('phasing', Math.max(1, closures.job_no.length + shims.job_no.length));
    this.deliveries = new GrowingTable('deliveries', Math.max(1, draws.job_no.length));
  }

  finish(): Results {
    return {
      timing: this.timing.finish(),
      phasing: this.phasing.finish(),
      shim_plans: this.shim_plans.finish(),
      deliveries: this.deliveries.finish(),
      points: this.points.finish(),
      balance_plans: this.balance_plans.finish(),
      rotations: this.rotations.finish(),
      leakage: this.leakage.finish(),
      governor_checks: this.governor_checks.finish(),
      excluded: this.excluded.finish(),
      retention: this.retention.finish(),
      stages: this.stages.finish(),
      outcomes: this.outcomes.finish(),
      findings: this.findings.finish(),
    };
  }
}
