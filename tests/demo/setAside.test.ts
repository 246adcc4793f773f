import { openAsBlob, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { truthsFile } from '../../data-demo/truths';
import { inspect, type LogFile } from '../../lib/log/inspect';
import { load, type FileReport } from '../../lib/store/load';
import { NativeDatabase } from '../../lib/store/native/database';
import { EMPTY_LOG } from '../../lib/store/tables';

const truths = truthsFile.parse(JSON.parse(readFileSync('data-demo/truths.json', 'utf8')));

const filesOf = (folder: string): Promise<LogFile[]> =>
  Promise.all(
    readdirSync(folder).map(async (name) => ({
      name,
      blob: await openAsBlob(join(folder, name)),
      path: join(folder, name),
    })),
  );

/** Spreadsheets count the header as row 1; a Parquet file has none. */
describe.each([
  { folder: 'log', headerRows: 0 },
  { folder: 'year', headerRows: 1 },
] as const)('what was spoilt in $folder', ({ folder, headerRows }) => {
  let db: NativeDatabase;
  let reports: readonly FileReport[] = [];
  beforeAll(async () => {
    db = await NativeDatabase.open(1);
    await db.run(EMPTY_LOG);
    reports = await load(db, await filesOf(join('data-demo', folder)), { inspect, at: '2026-01-01 08:00:00' });
  });
  afterAll(() => db.close());
  const bad = truths.bad_rows.filter((row) => row.folder === folder);

  test('is set aside when the log is loaded, every row of it and no other', async () => {
    const rows = await db.rows('select log_table, row_no from set_aside');
    const name = (table: unknown, row: number) => `${String(table)} ${row}`;
    expect(rows.map((row) => name(row['log_table'], Number(row['row_no']) - headerRows)).sort()).toEqual(
      bad.map((row) => name(row.table, row.row)).sort(),
    );
  });

  test('leaves all else accepted', () => {
    for (const report of reports) {
      expect(report.refused).toBeNull();
      expect(report.read).toBe(truths.rows[folder]?.[String(report.table)]);
      expect(report.accepted).toBe(report.read - bad.filter((row) => row.table === report.table).length);
    }
  });
});
