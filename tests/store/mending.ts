import { z } from 'zod';
import { inspect } from '../../lib/log/inspect';
import { mendCsv } from '../../lib/log/mend';
import type { TableName } from '../../lib/log/table';
import { tables } from '../../lib/log/tables';
import { load, type FileReport, type LoadOptions } from '../../lib/store/load';
import type { NativeDatabase } from '../../lib/store/native/database';
import { rowsToMend, type RowToMend } from '../../lib/store/questions/setAsideToMend';
import { setAsideSums } from '../../lib/store/questions/setAsideSums';
import { textFile } from './openLog';

/** Steps that a person takes with rows set aside, and the sums that hold after each. */

export const add = (
  db: NativeDatabase,
  files: Readonly<Record<string, string>>,
  confirm?: LoadOptions['confirm'],
): Promise<readonly FileReport[]> =>
  load(
    db,
    Object.entries(files).map(([name, content]) => textFile(name, content)),
    { inspect, at: '2026-01-02 08:00:00', ...(confirm === undefined ? {} : { confirm }) },
  );

export const rowsOf = async (db: NativeDatabase, table: TableName): Promise<readonly RowToMend[]> => {
  const asked = rowsToMend(tables[table]);
  return z.array(asked.row).parse(await db.rows(asked.sql));
};

/** The file that a person saves, with the cells changed that they mend. */
export const mended = async (
  db: NativeDatabase,
  table: TableName,
  mend: (row: RowToMend, i: number) => Readonly<Record<string, string | null>> = () => ({}),
): Promise<string> =>
  mendCsv(
    tables[table],
    (await rowsOf(db, table)).map((row, i) => ({ ...row, ...mend(row, i) })),
  );

const broken = (name: string, sums: Readonly<Record<string, number>>): string => `${name}: ${JSON.stringify(sums)}`;

/** Sums of the log and of each file that do not hold; and tables whose accepted rows are not as many as are counted. */
export async function brokenSums(db: NativeDatabase): Promise<string[]> {
  const files = (await db.rows('select * from sources order by source_no')).map((row) => ({
    file: String(row.file),
    ...setAsideSums.row.parse(row),
  }));
  const [whole] = z.tuple([setAsideSums.row]).parse(await db.rows(setAsideSums.sql));
  const wrong = [...files, { ...whole, file: 'the log' }].flatMap(({ file, ...sums }) =>
    sums.rows_read === sums.rows_accepted + sums.rows_set_aside &&
    sums.rows_set_aside ===
      sums.rows_needing_hand + sums.rows_repeated + sums.rows_replaced + sums.rows_mended + sums.rows_left_out
      ? []
      : [broken(file, sums)],
  );
  for (const name of Object.keys(tables)) {
    const [seen] = await db.rows(`select (select count(*) from ${name})::integer as visible,
      (select coalesce(sum(rows_accepted), 0) from sources where log_table = '${name}')::integer as counted`);
    if (seen?.visible !== seen?.counted) wrong.push(`${name}: ${JSON.stringify(seen)}`);
  }
  return wrong;
}
