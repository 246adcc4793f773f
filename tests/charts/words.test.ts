import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { codes, layout } from '../../lib/calc/layout';
import { tables } from '../../lib/log/tables';
import { columnWords } from '../../lib/words/columns';
import { count, day, inLogUnits, percentRange, quarterName } from '../../lib/words/figures';
import { glossary } from '../../lib/words/glossary';
import { allLabels, setAsideKinds, spreadBases, terms, windowUnits } from '../../lib/words/labels';

describe('labels', () => {
  it('stand in docs/glossary.md as they stand on the screens', () => {
    expect(readFileSync('docs/glossary.md', 'utf8')).toBe(glossary());
  });

  it('exist for every column of the log and of the results', () => {
    const places = allLabels().map((label) => label.place);
    const held = [
      ...Object.values(tables).map((table) => [table.name, table.columns.length] as const),
      ...Object.entries(layout).map(([table, { columns }]) => [table, Object.keys(columns).length] as const),
    ];
    expect(held.map(([table]) => [table, places.filter((place) => place === table).length])).toEqual(held);
  });

  it('name no column that does not exist', () => {
    const columns = new Set([
      ...Object.values(tables).flatMap((table) =>
        table.columns.flatMap((column) => [column.name, `${table.name}.${column.name}`]),
      ),
      ...Object.entries(layout).flatMap(([table, { columns: own }]) =>
        Object.keys(own).flatMap((name) => [name, `${table}.${name}`]),
      ),
    ]);
    expect(Object.keys(columnWords).filter((key) => !columns.has(key))).toEqual([]);
  });

  it('explain themselves in a sentence', () => {
    expect(allLabels().filter((label) => !/[^.]\.$/.test(label.meaning))).toEqual([]);
  });

  it('cover every word that the engine answers with', () => {
    const words: readonly string[] = Object.values(terms).map((label) => label.text);
    expect([...codes.verdict, ...codes.answer].filter((word) => !words.includes(word))).toEqual([]);
    expect(Object.keys(spreadBases)).toEqual([...codes.spread_basis]);
    expect(Object.keys(windowUnits)).toEqual([...codes.exclusion]);
    expect(Object.keys(setAsideKinds)).toEqual(['format', 'reference', 'repeat', 'replaced', 'mended', 'left_out']);
  });
});

const { figure, shimChange, axis } = inLogUnits;

describe('figures', () => {
  it('carry the sign of a change, a true minus and their unit', () => {
    expect(figure(0.149, 'mm', { sign: true })).toBe('+0.15\u00a0mm');
    expect(figure(-0.5, 'cam_deg', { sign: true })).toBe('−0.50°\u00a0cam');
    expect(figure(62.04, 'mm3_per_stroke')).toBe('62.0\u00a0mm³/stroke');
    expect(figure(40.25, 'celsius', { bare: true })).toBe('40.3');
  });

  it('write no sign before a zero, and a dash for what is not known', () => {
    expect(figure(-0.001, 'mm', { sign: true })).toBe('0.00\u00a0mm');
    expect(figure(null, 'mm')).toBe('–');
    expect(figure(Number.NaN, 'mm')).toBe('–');
  });

  it('say which way the hand must go', () => {
    expect(shimChange(0.15)).toBe('+0.15\u00a0mm, add');
    expect(shimChange(-0.15)).toBe('−0.15\u00a0mm, remove');
    expect(shimChange(0.004)).toBe('0.00\u00a0mm, leave');
    expect(shimChange(0.004, { decimals: 3 })).toBe('+0.004\u00a0mm, add');
  });

  it('write intervals, thousands, days and quarters as the shop does', () => {
    expect(percentRange(0.537, 0.684)).toBe('54 to 68\u00a0%');
    expect(count(1234567)).toBe('1\u202f234\u202f567');
    expect(day('2024-03-04')).toBe('4\u00a0Mar\u00a02024');
    expect(day('2024-13-04')).toBe('2024-13-04');
    expect(quarterName('2024-10-01')).toBe('2024 Q4');
    expect(axis('Shim stack', 'mm')).toBe('Shim stack (mm)');
  });
});
