import { z } from 'zod';
import { mendColumns } from '../../log/recognise';
import { tableNames, type LogTable } from '../../log/table';
import { sqlText } from '../database';
import { CITED_AS } from '../mends';
import { question, type Question } from '../question';
import { held, writtenSql } from '../tables';
import { int, maybeText } from './rows';

const count = z.object({ log_table: z.enum(tableNames), rows: int });
export type ToMend = z.infer<typeof count>;

/** How many rows of each table need a hand. Repeats, replaced rows and those mended or left out do not. */
export const toMend = question<null, ToMend>(
  'toMend',
  count,
  () => [],
  `select log_table, count(*)::integer as rows from faults where kind in ('format', 'reference') group by log_table
  order by list_position([${tableNames.map(sqlText).join(', ')}], log_table)`,
);

export type RowToMend = Readonly<Record<string, string | null>>;
const row = z.record(z.string(), maybeText);

/**
 * The rows of a table that need a hand, ready to be saved, mended and loaded again: the cells as they were written, then where
 * the row was set aside and why. Only rows with a faulty cell are held as written; of one that points nowhere each cell is
 * written from its value, which reads as the same. A row that could not be taken apart has no cells; it stands behind its reason.
 */
export function rowsToMend(table: LogTable): Question<null, RowToMend> {
  const cells = table.columns.map(
    ({ name }, i) => `case when h.raw is null then ${writtenSql(`h."${name}"`)} else h.raw[${i + 1}] end as "${name}"`,
  );
  const [file, rowNo, column, reason] = mendColumns;
  return question<null, RowToMend>(
    `rowsToMend ${table.name}`,
    row,
    () => [],
    `select ${cells.join(', ')}, c.cited as ${file}, f.row_no::varchar as ${rowNo}, f.column_name as ${column},
      case when f.column_name is null then f.reason || ' It reads: ' || f.value else f.reason end as ${reason}
    from faults f join ${CITED_AS} c on c.source_no = f.source_no and c.log_table = f.log_table
    left join ${held(table.name)} h on h.source_no = f.source_no and h.row_no = f.row_no
    where f.kind in ('format', 'reference') and f.log_table = ${sqlText(table.name)} order by f.source_no, f.row_no`,
  );
}
