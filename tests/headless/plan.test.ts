import { describe, expect, it } from 'vitest';
import { only, planOf, type Seen } from '../../lib/headless/partitions/plan';
import type { TableName } from '../../lib/log/table';
import { textFile } from '../store/openLog';

const seen = (files: Readonly<Record<string, TableName | null>>): Seen[] =>
  Object.entries(files).map(([name, table]) => ({ file: textFile(name, ''), holds: table === null ? [] : [table] }));
const named = (files: Readonly<Record<string, TableName | null>>) => {
  const { partitions, shared, unused } = planOf(seen(files));
  return {
    partitions: Object.fromEntries(partitions.map((one) => [one.name, one.files.map((file) => file.name)])),
    shared: shared.map((file) => file.name),
    unused: unused.map((file) => file.name),
  };
};

describe('the partitions of a folder', () => {
  it('are its KEY=VALUE folders, in whatever order, and sheets elsewhere are shared', () => {
    expect(
      named({
        'specs.csv': 'specs',
        'sheets/branch=west/checks.csv': 'checks',
        'jobs/branch=north/year=2019/a.parquet': 'jobs',
        'old/draws/year=2019/branch=north/b.parquet': 'draws',
        'jobs/branch=south/year=2019/a.parquet': 'jobs',
        'jobs/branch=south/year=2019/notes.txt': null,
        'readme.txt': null,
      }),
    ).toEqual({
      partitions: {
        'branch=north/year=2019': [
          'jobs/branch=north/year=2019/a.parquet',
          'old/draws/year=2019/branch=north/b.parquet',
        ],
        'branch=south/year=2019': ['jobs/branch=south/year=2019/a.parquet', 'jobs/branch=south/year=2019/notes.txt'],
      },
      shared: ['specs.csv', 'sheets/branch=west/checks.csv'],
      unused: ['readme.txt'],
    });
  });

  it('are its plain folders where none is KEY=VALUE, but for those named after a table', () => {
    expect(
      named({
        'sheets/specs.csv': 'specs',
        'north/2019/jobs.csv': 'jobs',
        'draws/north/2019/a.csv': 'draws',
        'north/2020/Jobs/a.csv': 'jobs',
      }),
    ).toEqual({
      partitions: {
        'north/2019': ['north/2019/jobs.csv', 'draws/north/2019/a.csv'],
        'north/2020': ['north/2020/Jobs/a.csv'],
      },
      shared: ['sheets/specs.csv'],
      unused: [],
    });
  });

  it.each<[string, Readonly<Record<string, TableName>>, string]>([
    ['no jobs', { 'a/specs.csv': 'specs' }, 'No file holds rows of jobs'],
    ['jobs at the top alone', { 'jobs/jobs.csv': 'jobs' }, 'Leave out --by-partition'],
    [
      'jobs at the top too',
      { 'jobs.csv': 'jobs', 'north/draws.csv': 'draws' },
      'jobs.csv holds rows of jobs and lies in',
    ],
    [
      'jobs above a partition',
      { 'north/jobs.csv': 'jobs', 'north/2019/draws.csv': 'draws' },
      'north/jobs.csv holds rows of jobs and lies above the partition north/2019.',
    ],
    [
      'jobs above a partition by keys',
      { 'jobs/year=2019/a.csv': 'jobs', 'draws/branch=n/year=2019/a.csv': 'draws' },
      'jobs/year=2019/a.csv holds rows of jobs and lies above the partition branch=n/year=2019.',
    ],
    ['a key that is a column', { 'jobs/run=1/a.csv': 'jobs' }, 'The folders run=...'],
  ])('can not be told with %s', (_, files, says) => {
    expect(() => planOf(seen(files))).toThrow(says);
  });

  it('are picked by the folders they lie in', () => {
    const { partitions } = planOf(
      seen({ 'jobs/b=n/y=1/a.csv': 'jobs', 'jobs/b=n/y=2/a.csv': 'jobs', 'jobs/b=s/y=1/a.csv': 'jobs' }),
    );
    const picked = (...asked: string[]) => only(partitions, asked).map(({ name }) => name);
    expect(picked()).toEqual(['b=n/y=1', 'b=n/y=2', 'b=s/y=1']);
    expect(picked('y=1')).toEqual(['b=n/y=1', 'b=s/y=1']);
    expect(picked('b=n/y=2')).toEqual(['b=n/y=2']);
    expect(picked('y=2', 'b=n')).toEqual(['b=n/y=2']);
    expect(picked('y=20')).toEqual([]);
  });
});
