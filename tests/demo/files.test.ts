import { tableFromIPC } from 'apache-arrow';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readParquet } from 'parquet-wasm/node';
import { afterAll, describe, expect, test } from 'vitest';
import { writeLog } from '../../data-demo/files';
import { shopTables } from '../../data-demo/rows';
import { textOfTruths, truthsFile } from '../../data-demo/truths';
import { parquetBytes, parquetFolder } from '../../data-demo/write';

const out = mkdtempSync(join(tmpdir(), 'shimbook-demo-'));
afterAll(() => {
  rmSync(out, { recursive: true });
});

const bytesOf = (folder: string): number =>
  readdirSync(folder).reduce((sum, name) => sum + statSync(join(folder, name)).size, 0);

describe('the committed log', () => {
  const truths = writeLog({ jobs: 2500, seed: 1, out, format: 'parquet' });

  test.each(['log', 'year'])('%s comes out again byte for byte', (folder) => {
    const committed = readdirSync(join('data-demo', folder)).sort();
    expect(readdirSync(join(out, folder)).sort()).toEqual(committed);
    expect(committed).toHaveLength(shopTables.length);
    for (const name of committed) {
      const again = readFileSync(join(out, folder, name));
      expect({ name, same: again.equals(readFileSync(join('data-demo', folder, name))) }).toEqual({ name, same: true });
    }
  });

  test('its truths come out again as well', () => {
    expect(textOfTruths(truths)).toBe(readFileSync('data-demo/truths.json', 'utf8'));
    expect(() => truthsFile.parse(truths)).not.toThrow();
  });

  test('takes less than 8 MB', () => {
    expect(bytesOf('data-demo/log') + bytesOf('data-demo/year')).toBeLessThan(8e6);
  });

  test('has as many rows in its files as the truths count', () => {
    for (const name of shopTables) {
      const parquet = tableFromIPC(readParquet(readFileSync(join('data-demo/log', `${name}.parquet`))).intoIPCStream());
      expect({ name, rows: parquet.numRows }).toEqual({ name, rows: truths.rows['log']?.[name] });
      const lines = readFileSync(join('data-demo/year', `${name}.csv`), 'utf8')
        .trimEnd()
        .split('\n');
      expect({ name, rows: lines.length - 1 }).toEqual({ name, rows: truths.rows['year']?.[name] });
    }
  });
});

test('another number for chance makes another log', () => {
  const other = writeLog({ jobs: 20, seed: 2, out: join(out, 'other'), format: 'both' });
  const same = writeLog({ jobs: 20, seed: 3, out: join(out, 'another'), format: 'both' });
  expect(readdirSync(join(out, 'other')).sort()).toEqual(['csv', 'log', 'year']);
  expect(other.rows).not.toEqual(same.rows);
});

test('Parquet cells have the types of the schema', () => {
  const row = { job_id: 'J1', run: 2, element: 3, rotation_deg: -1.25, scribed: true };
  const none = { job_id: 'J2', run: null, element: 1, rotation_deg: 0.5, scribed: null };
  const read = tableFromIPC(readParquet(parquetBytes('barrels', [row, none])).intoIPCStream());
  expect(read.schema.fields.map((field) => String(field.type))).toEqual(['Utf8', 'Int32', 'Int32', 'Float64', 'Bool']);
  for (const [i, written] of [row, none].entries()) {
    for (const [column, cell] of Object.entries(written)) expect(read.getChild(column)?.get(i)).toBe(cell);
  }
  const dated = { instrument_id: 'DG-1', kind: 'dial gauge', calibrated_on: '2024-02-29', due_on: '1900-01-01' };
  const days = tableFromIPC(readParquet(parquetBytes('instruments', [dated])).intoIPCStream());
  expect(days.getChild('calibrated_on')?.get(0)).toBe(Date.UTC(2024, 1, 29));
  expect(days.getChild('due_on')?.get(0)).toBe(Date.UTC(1900, 0, 1));
});

test('a log of one job has every table, and leaves alone what else lies in its folder', () => {
  const path = join(out, 'one');
  mkdirSync(join(path, 'log'), { recursive: true });
  for (const name of ['keep.txt', 'draws-004.parquet']) writeFileSync(join(path, 'log', name), 'old');
  writeLog({ jobs: 1, seed: 1, out: path, format: 'parquet' });
  expect(readdirSync(join(path, 'year')).sort()).toEqual(shopTables.map((name) => `${name}.csv`).sort());
  expect(readdirSync(join(path, 'log')).sort()).toEqual(
    ['keep.txt', ...shopTables.map((name) => `${name}.parquet`)].sort(),
  );
});

test('a long table goes on in further files, and a short one stays in one', () => {
  const path = join(out, 'long');
  const folder = parquetFolder(path, 4);
  const rows = Array.from({ length: 3 }, (_, i) => ({
    job_id: `J${i}`,
    run: 1,
    element: 1,
    rotation_deg: 1,
    scribed: true,
  }));
  for (let i = 0; i < 3; i += 1) folder.add('barrels', rows);
  folder.add('parts', [{ job_id: 'J1', part: 'seal kit', quantity: 1 }]);
  folder.close();
  expect(readdirSync(path).sort()).toEqual(['barrels-001.parquet', 'barrels-002.parquet', 'parts.parquet']);
});
