import { expect, it } from 'vitest';
import { openPrepared } from '../../lib/headless/log';
import { prepareFile } from '../../lib/log/mapping/prepare';
import { mappingSchema } from '../../lib/log/mapping/mapping';
import { asItIs, type PreparedFile } from '../../lib/log/prepared';
import { bookBytes, sheetOfCsv } from '../log/workbook/book';
import { constant, header } from '../log/mapping/foreign';
import { smallLog } from './smallLog';
import { textFile } from './openLog';

const AT = '2026-01-01 00:00:00';
const prepared = async (file: ReturnType<typeof textFile>, ...mappings: object[]): Promise<readonly PreparedFile[]> =>
  (
    await prepareFile(
      asItIs(file),
      mappings.map((each) => mappingSchema.parse(each)),
      (each) => each,
    )
  ).files;

it('two sheets of one workbook are both taken in under its hash and size, and the same workbook again changes nothing', async () => {
  const bytes = bookBytes({
    sheets: [sheetOfCsv('specs', smallLog['specs.csv'] ?? ''), sheetOfCsv('jobs', smallLog['jobs.csv'] ?? '')],
  });
  const book = await prepared(textFile('Shop.xlsx', bytes));
  const again = await prepared(textFile('Copy.xlsx', bytes));
  const { db, files } = await openPrepared([...book, ...again], AT);
  expect(files.map(({ file, table }) => [file, table])).toEqual([
    ['Shop.xlsx / specs', 'specs'],
    ['Shop.xlsx / jobs', 'jobs'],
    ['Copy.xlsx / specs', null],
    ['Copy.xlsx / jobs', null],
  ]);
  expect(files[3]?.note).toContain('already in the log as Shop.xlsx / jobs');
  const rows = await db.rows('select distinct hash, bytes::integer as bytes from sources');
  const digest = Buffer.from(await crypto.subtle.digest('SHA-256', bytes)).toString('hex');
  expect(rows).toEqual([{ hash: digest, bytes: bytes.length }]);
  await db.close();
});

it('a sheet of a shop read by a mended mapping is taken in anew, and both are told by the sheet that came', async () => {
  const sheet = textFile('cards.csv', 'Card;Pump\nJ-9;S-9\n');
  const mapping = (model: string) => ({
    shimbook_mapping: 1,
    name: 'cards',
    headers: ['Card', 'Pump'],
    encoding: 'utf-8',
    delimiter: ';',
    decimal: 'point',
    dates: 'iso',
    targets: [
      {
        table: 'jobs',
        shape: 'a row a reading',
        columns: {
          job_id: header('Card'),
          pump_serial: header('Pump'),
          pump_model: constant(model),
          spec_id: constant('K-1'),
          spec_revision: constant('A'),
          received_on: constant('2024-05-01'),
          work_type: constant('recalibrate'),
        },
      },
    ],
  });
  const files = [
    ...(await prepared(textFile('specs.csv', smallLog['specs.csv'] ?? ''))),
    ...(await prepared(sheet, mapping('Heron'))),
    ...(await prepared(sheet, mapping('Kestrel'))),
  ];
  const { db } = await openPrepared(files, AT);
  expect(await db.rows('select pump_model from jobs')).toEqual([{ pump_model: 'Kestrel' }]);
  const rows = await db.rows(
    "select count(*)::integer as n, count(distinct hash)::integer as hashes, max(bytes)::integer as bytes from sources where log_table = 'jobs'",
  );
  expect(rows).toEqual([{ n: 2, hashes: 1, bytes: sheet.blob.size }]);
  await db.close();
});
