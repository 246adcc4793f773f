import { z } from 'zod';
import { narrowed } from '../filters';
import { question } from '../question';
import { setAsideKind, type SetAsideKind } from './setAsideCounts';
import { int, maybeText, text } from './rows';

/** How many rows are listed at most. */
export const LISTED_ROWS = 2_000;

const row = z.object({
  file: text,
  log_table: maybeText,
  row_no: int,
  column_name: maybeText,
  value: maybeText,
  kind: setAsideKind,
  reason: text,
});
export type SetAsideRow = z.infer<typeof row>;

/** Rows set aside, narrowed by kind and file where they are given. */
export const setAsideRows = question<{ readonly kind: SetAsideKind | null; readonly file: string | null }, SetAsideRow>(
  'setAsideRows',
  row,
  (args) => [narrowed(args.kind), narrowed(args.file)],
  `select file, log_table, row_no::integer as row_no, column_name, value, kind, reason from set_aside
  where ($1::varchar = '' or kind = $1::varchar) and ($2::varchar = '' or file = $2::varchar)
  order by file, row_no limit ${LISTED_ROWS}`,
);
