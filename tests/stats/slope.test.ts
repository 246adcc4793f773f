import { readFileSync } from 'node:fs';
import { csvParse } from 'd3-dsv';
import { mean, sum } from 'd3-array';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { slopeWithin, sumsOfAll, type CentredSums } from '../../lib/stats/slope';

interface Row {
  readonly group: number;
  readonly x: number;
  readonly y: number;
}

function centred(rows: readonly Row[]): CentredSums {
  const groups = [...new Set(rows.map((row) => row.group))];
  const off = rows.map((row) => {
    const own = rows.filter((other) => other.group === row.group);
    return { x: row.x - (mean(own, (r) => r.x) ?? 0), y: row.y - (mean(own, (r) => r.y) ?? 0) };
  });
  return {
    n: rows.length,
    groups: groups.length,
    sxx: sum(off, (r) => r.x * r.x),
    sxy: sum(off, (r) => r.x * r.y),
    syy: sum(off, (r) => r.y * r.y),
  };
}

describe('slope within groups', () => {
  test('Norris: certified slope (R) and its standard error (from memory: 0.000429796848199937), NIST StRD linear regression', () => {
    const lines = readFileSync('tests/external/data/norris.csv', 'utf8');
    const rows = csvParse(lines).map((row): Row => ({ group: 0, x: Number(row.x), y: Number(row.y) }));
    const fit = slopeWithin(centred(rows));
    expect(fit?.slope).toBeCloseTo(1.00211681802045, 9);
    expect(fit?.error).toBeCloseTo(0.000429796848199937, 9);
  });

  test('levels of the groups do not matter', () => {
    const row = fc.record({
      group: fc.integer({ min: 0, max: 2 }),
      x: fc.integer({ min: 0, max: 9 }),
      e: fc.integer({ min: -5, max: 5 }),
    });
    fc.assert(
      fc.property(
        fc.array(row, { minLength: 40, maxLength: 60 }),
        fc.array(fc.integer({ min: -90, max: 90 }), { minLength: 3, maxLength: 3 }),
        (drawn, levels) => {
          const flat = drawn.map(({ group, x, e }): Row => ({ group, x, y: 2 * x + e }));
          const shifted = flat.map((r): Row => ({ ...r, y: r.y + (levels[r.group] ?? 0) }));
          const a = slopeWithin(centred(flat));
          const b = slopeWithin(centred(shifted));
          expect(a === null).toBe(b === null);
          if (a !== null && b !== null) expect(b.slope).toBeCloseTo(a.slope, 9);
        },
      ),
    );
  });

  test('may be told of the groups in parts', () => {
    const row = fc.record({
      group: fc.integer({ min: 0, max: 5 }),
      x: fc.integer({ min: 0, max: 9 }),
      y: fc.integer({ min: -50, max: 50 }),
    });
    fc.assert(
      fc.property(fc.array(row, { minLength: 40, maxLength: 60 }), fc.integer({ min: 0, max: 6 }), (rows, cut) => {
        const parts = [rows.filter(({ group }) => group < cut), rows.filter(({ group }) => group >= cut)];
        const whole = slopeWithin(centred(rows));
        const added = slopeWithin(sumsOfAll(parts.map(centred)));
        expect(added === null).toBe(whole === null);
        if (added !== null && whole !== null) {
          expect(added.slope).toBeCloseTo(whole.slope, 9);
          expect(added.error).toBeCloseTo(whole.error, 9);
        }
      }),
    );
    expect(slopeWithin(sumsOfAll([]))).toBeNull();
  });

  test('says nothing for few rows, or where nothing varies', () => {
    const rows = Array.from({ length: 29 }, (_, i): Row => ({ group: 0, x: i, y: i }));
    expect(slopeWithin(centred(rows))).toBeNull();
    const same = Array.from({ length: 40 }, (_, i): Row => ({ group: 0, x: 3, y: i }));
    expect(slopeWithin(centred(same))).toBeNull();
  });
});
