import fc from 'fast-check';
import { csvFormat } from 'd3-dsv';
import { expect, it } from 'vitest';
import type { Column, LogTable } from '../../lib/log/table';
import { tables } from '../../lib/log/tables';
import { logOf } from '../store/openLog';

interface Values {
  readonly fits: fc.Arbitrary<unknown>;
  readonly misses: fc.Arbitrary<unknown>;
}

function valuesOf({ kind, min, max, choices }: Column): Values {
  const low = min ?? 0;
  const high = max ?? 0;
  switch (kind) {
    case 'number':
      return {
        fits: fc.oneof(fc.double({ min: low, max: high, noNaN: true }), fc.constantFrom(low, high)),
        misses: fc.constantFrom(low - 1e-6, high + 1e-6, 1e300, 'abc', '1,5'),
      };
    case 'integer':
      return {
        fits: fc.integer({ min: low, max: high }),
        misses: fc.constantFrom(low - 1, high + 1, low + 0.5, 'one'),
      };
    case 'text':
      return { fits: fc.stringMatching(/^[A-Za-z0-9<>'";=-]{1,3}$/), misses: fc.constant('x'.repeat(high + 1)) };
    case 'choice':
      return { fits: fc.constantFrom(...(choices ?? [])), misses: fc.constant('none of these') };
    case 'date':
      return {
        fits: fc.constantFrom('2024-02-29', '1999-12-31', '1950-01-01', '2099-12-31'),
        misses: fc.constantFrom(
          '2023-02-29',
          '2024-13-01',
          '1949-12-31',
          '2100-01-01',
          '01/02/2024',
          '2024-1-5',
          '2024/01/05',
        ),
      };
    case 'moment':
      return {
        fits: fc.constantFrom('2024-02-29T10:30', '2024-02-29 10:30:15', '2024-02-29T10:30:15.25'),
        misses: fc.constantFrom(
          '2024-02-30T10:30',
          '2024-02-29',
          '2024-02-29T25:00',
          '2024-02-29T10:30:00Z',
          '2024-02-29T10:30+02:00',
        ),
      };
    case 'yes_no':
      return { fits: fc.boolean(), misses: fc.constant('perhaps') };
    case 'list':
      return {
        fits: fc.constantFrom('1-5-3-6-2-4', '0.60 0.65 0.70', '0-30', '7'),
        misses: fc.constantFrom('1,2', 'abc', '1;2', '1-', '1  2'),
      };
  }
}

/** A cell that mostly fits, and is now and then empty or just off, so that about half of all rows are good. */
const valueOf = (column: Column): fc.Arbitrary<unknown> => {
  const { fits, misses } = valuesOf(column);
  return fc.oneof(
    { weight: 60, arbitrary: fits },
    { weight: 1, arbitrary: misses },
    { weight: 1, arbitrary: fc.constant(null) },
  );
};

const rowsOf = (table: LogTable): fc.Arbitrary<Record<string, unknown>[]> =>
  fc.array(fc.record(Object.fromEntries(table.columns.map((column) => [column.name, valueOf(column)]))), {
    minLength: 20,
    maxLength: 60,
  });

it.each(Object.values(tables))('$name: the database judges cells as the schema does', async (table) => {
  let good = 0;
  let bad = 0;
  await fc.assert(
    fc.asyncProperty(rowsOf(table), async (rows) => {
      const { db } = await logOf({ 'rows.csv': csvFormat(rows) });
      const aside = await db.rows(`select row_no from set_aside where kind = 'format' order by row_no`);
      const byDatabase = aside.map((row) => Number(row.row_no));
      const bySchema = rows.flatMap((row, i) => (table.schema.safeParse(row).success ? [] : [i + 2]));
      expect(byDatabase).toEqual(bySchema);
      good += rows.length - bySchema.length;
      bad += bySchema.length;
    }),
    { numRuns: 4 },
  );
  // Both answers must have been given, or the comparison says nothing.
  expect(Math.min(good, bad)).toBeGreaterThan(0);
});
