import type { z } from 'zod';

/** A value that may stand for a placeholder in SQL. Text from files or the page reaches SQL by this way only. */
export type SqlValue = string | number | boolean | null;

/**
 * One thing a page wants to know: its SQL (placeholders $1, $2 ...), the row it answers with, and how the page's arguments
 * become the placeholders' values. SQL text lives in lib/store and nowhere else.
 */
export interface Question<Args, Row> {
  readonly name: string;
  readonly sql: string;
  readonly row: z.ZodType<Row>;
  readonly params: (args: Args) => readonly SqlValue[];
}

export function question<Args, Row>(
  name: string,
  row: z.ZodType<Row>,
  params: (args: Args) => readonly SqlValue[],
  sql: string,
): Question<Args, Row> {
  return { name, sql, row, params };
}
