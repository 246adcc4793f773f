import { describe, expect, test } from 'vitest';
import { generateLog } from '../../data-demo/log';
import { shopTables, type ShopTable } from '../../data-demo/rows';
import { badKinds } from '../../data-demo/truths';
import { tables } from '../../lib/log/tables';
import { draws } from '../../lib/log/tables/jobs';

const log = generateLog({ jobs: 500, seed: 5, mess: 'text' });
const bad = new Set(log.bad_rows.map(({ table, row }) => `${table} ${row}`));

/** Kinds that a row's own schema finds; the others show only beside other rows. */
const ownKinds = new Set([
  'missing',
  'decimalComma',
  'notNumber',
  'notWhole',
  'outside',
  'notDate',
  'dateOutside',
  'notMoment',
  'notYesNo',
  'notChoice',
]);

describe('rows', () => {
  const unspoilt = (name: ShopTable) => log.tables[name].filter((_, i) => !bad.has(`${name} ${i + 1}`));

  test.each(shopTables.filter((name) => name !== 'draws'))(
    'every row of %s that was not spoilt obeys its schema',
    (name) => {
      const schema = tables[name].schema.strict();
      expect(unspoilt(name).length).toBeGreaterThan(0);
      for (const row of unspoilt(name)) expect(schema.safeParse(row).error).toBeUndefined();
    },
  );

  // A moment is slow to check and stands in the draws of all elements: each is checked once.
  test('every row of draws that was not spoilt obeys its schema', () => {
    const schema = draws.schema.omit({ taken_at: true }).strict();
    const moments = new Set<unknown>();
    for (const { taken_at, ...row } of unspoilt('draws')) {
      moments.add(taken_at);
      expect(schema.safeParse(row).error).toBeUndefined();
    }
    expect(moments.size).toBeGreaterThan(1000);
    for (const moment of moments) expect(draws.schema.shape.taken_at.safeParse(moment).success).toBe(true);
  });

  test.each(shopTables)('no two rows of %s that were not spoilt have the same key', (name) => {
    const keys = new Set<string>();
    const doubled = log.tables[name].filter((row, i) => {
      if (bad.has(`${name} ${i + 1}`)) return false;
      const key = JSON.stringify(tables[name].key.map((column) => row[column] ?? null));
      const there = keys.has(key);
      keys.add(key);
      return there;
    });
    expect(doubled).toEqual([]);
  });

  test('a spoilt row is refused by its schema just where a cell of its own was spoilt', () => {
    for (const { table, row, kind, column } of log.bad_rows) {
      const read = tables[table].schema.safeParse(log.tables[table][row - 1]);
      expect({ kind, refused: !read.success }).toEqual({ kind, refused: ownKinds.has(kind) });
      if (!read.success) expect(read.error.issues[0]?.path[0]).toBe(column);
    }
  });

  test('every kind of bad row is there, and few of each', () => {
    const rows = shopTables.reduce((sum, name) => sum + log.tables[name].length, 0);
    expect(new Set(log.bad_rows.map(({ kind }) => kind))).toEqual(new Set(badKinds));
    expect(log.bad_rows.length / rows).toBeLessThan(0.012);
  });

  test('nothing is spoilt where nothing shall be', () => {
    const clean = generateLog({ jobs: 60, seed: 5, mess: false });
    expect(clean.bad_rows).toEqual([]);
    for (const name of shopTables) {
      for (const row of clean.tables[name]) expect(tables[name].schema.safeParse(row).success).toBe(true);
    }
  });
});
