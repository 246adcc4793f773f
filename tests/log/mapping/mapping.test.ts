import { describe, expect, it } from 'vitest';
import { convert } from '../../../lib/log/mapping/convert';
import { fits, readMapping } from '../../../lib/log/mapping/mapping';
import { constant, header } from './foreign';

describe('a mapping file', () => {
  const good = {
    shimbook_mapping: 1,
    name: 'x',
    headers: ['Job', 'Run', 'PC 1', 'PC 2'],
    encoding: 'utf-8',
    delimiter: ',',
    decimal: 'point',
    dates: 'iso',
    targets: [
      {
        table: 'closures',
        shape: 'a column an element',
        columns: {
          job_id: header('Job'),
          run: header('run'),
          element: { from: 'element' },
          cam_deg: { from: 'elements', pattern: 'pc {n}' },
        },
      },
    ],
  };
  const withColumn = (name: string, source: unknown) => ({
    ...good,
    targets: good.targets.map((target) => ({ ...target, columns: { ...target.columns, [name]: source } })),
  });
  const reason = (mapping: unknown): string => {
    const read = readMapping(typeof mapping === 'string' ? mapping : JSON.stringify(mapping));
    return read.ok ? 'good' : read.reason;
  };

  it.each<[string, unknown, string]>([
    ['a good one', good, 'good'],
    ['no JSON', '{', 'This is not JSON'],
    ['another version', { ...good, shimbook_mapping: 2 }, 'shimbook_mapping'],
    [
      'a column that the table does not have',
      withColumn('colour', constant('red')),
      'colour: is no column of closures',
    ],
    ['a header that is not there', withColumn('run', header('Pass')), 'the sheet has no column "Pass"'],
    ['a header that is there twice', { ...good, headers: [...good.headers, 'run'] }, 'more than once'],
    [
      'a unit of another quantity',
      withColumn('lift_mm', { ...header('Job'), unit: 'psi' }),
      "lift_mm: can't be had from psi",
    ],
    [
      'a column without a source',
      { ...good, targets: [{ ...good.targets[0], columns: {} }] },
      'is needed and has no source',
    ],
    ['a pattern without a place', withColumn('cam_deg', { from: 'elements', pattern: 'pc' }), 'must hold {n} once'],
    ['one sign for two things', { ...good, thousands: 'point' }, 'is the same as the decimal sign'],
    ['a field nobody knows', { ...good, colour: 'red' }, 'colour'],
  ])('%s', (_, mapping, says) => {
    expect(reason(mapping)).toContain(says);
  });

  it('knows a header whatever the order, capitals and spaces, and no other', () => {
    const read = readMapping(JSON.stringify(good));
    const fit = (...names: string[]) => read.ok && fits(read.mapping, names);
    expect(fit('PC  2', ' pc 1', 'RUN', 'Job', '')).toBe(true);
    expect(fit('PC 2', 'PC 1', 'Job')).toBe(false);
    expect(fit('PC 2', 'PC 1', 'Run', 'Job', 'Job')).toBe(false);
  });

  it('takes elements by a list of headers of their own', () => {
    const read = readMapping(
      JSON.stringify(withColumn('cam_deg', { from: 'elements', headers: { 1: 'PC 2', 2: 'PC 1' } })),
    );
    const made = read.ok ? convert(read.mapping, [good.headers, ['J', '1', '0', '90']]) : null;
    expect(made?.ok === true && made.tables.map((table) => [table.element, table.rows[0]?.[3]])).toEqual([
      [1, '90'],
      [2, '0'],
    ]);
  });
});
