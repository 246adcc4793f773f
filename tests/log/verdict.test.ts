import fc from 'fast-check';
import { csvFormatRows } from 'd3-dsv';
import { expect, it } from 'vitest';
import type { Column, LogTable } from '../../lib/log/table';
import { tables } from '../../lib/log/tables';
import { faultOf } from '../../lib/log/verdict';
import { logOf } from '../store/openLog';

const good = ({ kind, min, max, choices }: Column): string => {
  switch (kind) {
    case 'number':
    case 'integer':
      return String(Math.ceil(Math.max(min ?? 0, Math.min(1, max ?? 1))));
    case 'text':
      return 'abc';
    case 'choice':
      return choices?.[0] ?? '';
    case 'date':
      return '2024-02-29';
    case 'moment':
      return '2024-02-29 10:30';
    case 'yes_no':
      return 'yes';
    case 'list':
      return '1-5-3';
  }
};

const numbers = fc.oneof(
  fc.double({ min: -2000, max: 2000, noNaN: true }).map((value) => value.toPrecision(5)),
  fc.constantFrom(
    '12',
    ' 12',
    '12 ',
    '+12',
    '-0',
    '.5',
    '5.',
    '1e2',
    '1E-2',
    '1e',
    '1,5',
    ' 1,25 ',
    '1.234,5',
    '12 mm',
  ),
  fc.constantFrom('abc', 'nan', 'inf', '-infinity', '1 2', '0x10', '--1', '1.2.3', '12.5 [as written]', '  '),
);
const days = fc.oneof(
  fc
    .date({ min: new Date('1940-01-01'), max: new Date('2110-01-01'), noInvalidDate: true })
    .map((at) => at.toISOString().slice(0, 10)),
  fc.constantFrom(
    '2023-02-29',
    '2024-13-01',
    '01/02/2024',
    '2024-1-5',
    '2024/01/05',
    '20240105',
    'soon',
    ' 2024-01-05 ',
    '2024-01-05 00:00',
  ),
);
const moments = fc.constantFrom(
  '2024-02-29T10:30',
  '2024-02-29 10:30:15.25',
  '2024-02-29 24:00',
  '2024-02-29 10:61',
  '2024-02-30 10:30',
  '2024-02-29',
  '2024-02-29 10:30:00Z',
  '03/04/2024 10:15 [as written]',
  'noon',
);

const cellOf = (column: Column): fc.Arbitrary<string> => {
  const anything = fc.oneof(
    fc.constantFrom('', ' ', '-', 'x', '?'),
    fc.stringMatching(/^[ -~äöüß°]{1,8}$/).filter((text) => !/["'\\]/.test(text)),
  );
  switch (column.kind) {
    case 'number':
    case 'integer':
      return fc.oneof({ weight: 4, arbitrary: numbers }, anything);
    case 'text':
      return fc.oneof(
        anything,
        fc.constant('x'.repeat((column.max ?? 0) + 1)),
        fc.constant('😀'.repeat(column.max ?? 0)),
      );
    case 'choice':
      return fc.oneof(
        anything,
        fc.constantFrom(...(column.choices ?? [])),
        fc.constant(` ${good(column).toUpperCase()} `),
      );
    case 'date':
      return fc.oneof({ weight: 4, arbitrary: days }, anything);
    case 'moment':
      return fc.oneof({ weight: 4, arbitrary: moments }, anything);
    case 'yes_no':
      return fc.oneof(anything, fc.constantFrom('yes', 'No', 'TRUE', '0', ' y ', 'ja', 'oui'));
    case 'list':
      return fc.oneof(anything, fc.constantFrom('1-5-3', '1 5', '1--5', '1,5', ' 7 ', '0.60 0.65', '1-'));
  }
};

/** Rows that are good but for one cell. */
const rowsOf = (table: LogTable) => {
  const one = fc.constantFrom(...table.columns).chain((column) => cellOf(column).map((cell) => ({ column, cell })));
  return fc.array(one, { minLength: 60, maxLength: 120 });
};

it.each(Object.values(tables))('$name: what is said of a cell ahead is what the log says of it', async (table) => {
  let faulty = 0;
  await fc.assert(
    fc.asyncProperty(rowsOf(table), async (changes) => {
      const lines = changes.map(({ column, cell }) =>
        table.columns.map((each) => (each === column ? cell : good(each))),
      );
      const { db } = await logOf({ 'rows.csv': csvFormatRows([table.columns.map(({ name }) => name), ...lines]) });
      const aside = await db.rows(`select row_no, column_name, reason from set_aside where kind = 'format'`);
      const said = new Map(aside.map((row) => [Number(row.row_no), [row.column_name, row.reason]]));
      changes.forEach(({ column, cell }, i) => {
        const ahead = faultOf(column, cell);
        faulty += ahead === null ? 0 : 1;
        const told = ahead === null ? undefined : [column.name, ahead];
        expect(said.get(i + 2), `${column.name} ${JSON.stringify(cell)}`).toEqual(told);
      });
    }),
    { numRuns: 3 },
  );
  expect(faulty).toBeGreaterThan(20);
});
