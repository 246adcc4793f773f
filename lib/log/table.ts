import { z } from 'zod';
import { columnFacts, type ColumnFact } from './column';

export interface Column extends ColumnFact {
  readonly name: string;
}

/** A row of this table names rows of another one; a row whose counterpart is missing is set aside. */
export interface Reference {
  readonly columns: readonly string[];
  readonly table: TableName;
}

export const tableNames = [
  'specs',
  'cam_lift',
  'test_points',
  'checks',
  'instruments',
  'jobs',
  'closures',
  'shims',
  'draws',
  'barrels',
  'governor',
  'parts',
  'remarks',
] as const;
export type TableName = (typeof tableNames)[number];

export interface LogTable {
  readonly name: TableName;
  /** What one row is, to follow "a row is ...". */
  readonly row: string;
  /** The columns that tell one row from another; a later row with the same key replaces the earlier one. */
  readonly key: readonly string[];
  readonly references: readonly Reference[];
  readonly schema: z.ZodObject;
  readonly columns: readonly Column[];
}

export interface TypedTable<S extends z.ZodRawShape> extends LogTable {
  readonly schema: z.ZodObject<S>;
}

/** Puts a table together from its zod columns; throws at start-up when a column was made without its facts. */
export function table<S extends z.ZodRawShape>(
  name: TableName,
  row: string,
  key: readonly (keyof S & string)[],
  shape: S,
  references: readonly Reference[] = [],
): TypedTable<S> {
  const columns = Object.entries(shape).map(([column, schema]): Column => {
    const fact = columnFacts.get(schema as z.ZodType);
    if (fact === undefined) throw new Error(`Column ${name}.${column} has no facts: make it with lib/log/column`);
    return { ...fact, name: column };
  });
  return { name, row, key, references, schema: z.object(shape), columns };
}
