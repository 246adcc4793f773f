import fc from 'fast-check';
import { expect, it } from 'vitest';
import { NativeDatabase } from '../../lib/store/native/database';

const VECTOR = 2048;
const MOST = 2 ** 31 - 1;

it('numbers come back as they were put in, an empty cell for each NaN, whatever the number of rows', async () => {
  const db = await NativeDatabase.open(1);
  const rows = fc.oneof(fc.nat(70), fc.constantFrom(0, 63, 64, 65, VECTOR - 1, VECTOR, VECTOR + 1, 2 * VECTOR + 9));
  const cells = rows.chain((length) =>
    fc.record({
      whole: fc.array(fc.integer({ min: -MOST, max: MOST }), { minLength: length, maxLength: length }),
      code: fc.array(fc.integer({ min: -1, max: 100 }), { minLength: length, maxLength: length }),
      real: fc.array(fc.oneof(fc.double({ noNaN: true }), fc.constant(Number.NaN)), {
        minLength: length,
        maxLength: length,
      }),
    }),
  );
  await fc.assert(
    fc.asyncProperty(cells, async ({ whole, code, real }) => {
      await db.run(`create or replace table kept (whole INTEGER, code TINYINT, "real" DOUBLE)`);
      const put = { whole: Int32Array.from(whole), code: Int32Array.from(code), real: Float64Array.from(real) };
      await db.append('kept', put);
      const stored = await db.rows('from kept');
      expect(stored.map((row) => row.real)).toEqual(real.map((value) => (Number.isNaN(value) ? null : value)));
      expect(
        await db.pack(`select whole, code::integer as code, coalesce("real", 'nan'::double) as "real" from kept`),
      ).toEqual(put);
    }),
    { numRuns: 40 },
  );
  await db.close();
});

it('columns that the engine can not take are refused by name', async () => {
  const db = await NativeDatabase.open(1);
  await expect(db.pack('select 1::integer as a, null::integer as b')).rejects.toThrow('Column b has an empty cell');
  await expect(db.pack(`select 1::bigint as c`)).rejects.toThrow('Column c is neither INTEGER nor DOUBLE');
  await db.run('create table kept (a INTEGER, b DOUBLE)');
  await expect(db.append('kept', { a: Int32Array.of(1) })).rejects.toThrow('kept has 2 columns, not 1');
  await expect(db.append('kept', { a: Float64Array.of(1), b: Float64Array.of(1) })).rejects.toThrow('other numbers');
  await db.close();
});
