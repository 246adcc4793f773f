import { z } from 'zod';
import { question } from '../question';
import { int, real, text } from './rows';

const row = z.object({
  source_no: int,
  file: text,
  bytes: real,
  format: z.enum(['csv', 'parquet', 'xlsx']),
  log_table: text,
  rows_read: int,
  rows_accepted: int,
  rows_set_aside: int,
  loaded_at: text,
});
export type Source = z.infer<typeof row>;

/** The files in the log, in the order loaded. */
export const sources = question<null, Source>(
  'sources',
  row,
  () => [],
  `select source_no::integer as source_no, file, bytes::double as bytes, format, log_table, rows_read::integer as rows_read,
    rows_accepted::integer as rows_accepted, rows_set_aside::integer as rows_set_aside,
    strftime(loaded_at, '%Y-%m-%d %H:%M') as loaded_at
  from sources order by source_no`,
);
