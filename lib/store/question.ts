import { z } from 'zod';

/** A value that may stand for a placeholder in SQL. Text from files or the page reaches SQL by this way only. */
export type SqlValue = string | number | boolean | null;

/** Rows that the answer to other values holds too. */
export interface Part<Row> {
  readonly whole: readonly SqlValue[];
  readonly holds: (row: Row) => boolean;
}

/**
 * One thing a page wants to know: its SQL (placeholders $1, $2 ...), the row it answers with, and how the page's arguments
 * become the placeholders' values. SQL text lives in lib/store and nowhere else.
 */
export interface Question<Args, Row> {
  readonly name: string;
  readonly sql: string;
  readonly row: z.ZodType<Row>;
  readonly params: (args: Args) => readonly SqlValue[];
  /** The rows of an answer, checked and worked out; of the same answer once only. Throws where a row is not of this shape. */
  readonly read: (answer: readonly unknown[]) => readonly Row[];
  /** Where the answer is some rows of a wider one, so that it need not be asked for while that one is known; null where it is not. */
  readonly partOf: (params: readonly SqlValue[]) => Part<Row> | null;
}

export function question<Args, Row>(
  name: string,
  row: z.ZodType<Row>,
  params: (args: Args) => readonly SqlValue[],
  sql: string,
  partOf: Question<Args, Row>['partOf'] = () => null,
): Question<Args, Row> {
  const known = new WeakMap<readonly unknown[], readonly Row[]>();
  const read = (answer: readonly unknown[]): readonly Row[] => {
    const rows = known.get(answer) ?? z.array(row).parse(answer);
    known.set(answer, rows);
    return rows;
  };
  return { name, sql, row, params, read, partOf };
}
