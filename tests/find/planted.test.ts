import { describe, expect, test } from 'vitest';
import { search } from '../../lib/find/search';
import type { Found, Level, Measure } from '../../lib/find/types';
import { simulateHistory, type Fault } from './simulated';

/** A drawn fault of every kind, large enough for its log, is found where it was planted and not taken for another. */

const plain = { technicians: false };

interface Planted {
  readonly fault: Fault;
  readonly measure: Measure;
  readonly where: readonly Level[];
}

const planted: readonly Planted[] = [
  {
    fault: { kind: 'complaint', share: 0.3 },
    measure: 'timing and phasing fails first',
    where: [{ factor: 'complaint', level: 'leaks' }],
  },
  {
    fault: { kind: 'season', share: 0.3 },
    measure: 'a test point fails first',
    where: [{ factor: 'season', level: 'winter' }],
  },
  {
    fault: { kind: 'governor', share: 0.3 },
    measure: 'governor fails first',
    where: [{ factor: 'bench', level: 'B2' }],
  },
  {
    fault: { kind: 'gauge', share: 0.15 },
    measure: 'gauge past its date',
    where: [{ factor: 'gauge', level: 'DG-2' }],
  },
  {
    fault: { kind: 'batch', mm: 0.08 },
    measure: 'shim does what is marked',
    where: [{ factor: 'shim batch', level: 'S10' }],
  },
  {
    fault: { kind: 'superseded', share: 0.15 },
    measure: 'superseded revision',
    where: [{ factor: 'branch', level: 'Saltmarsh' }],
  },
  {
    fault: { kind: 'wrong way', share: 0.3 },
    measure: 'shim changed the wrong way',
    where: [{ factor: 'bench', level: 'B2' }],
  },
  {
    fault: { kind: 'hours', hours: 1.5 },
    measure: 'bench hours',
    where: [{ factor: 'branch', level: 'Saltmarsh' }],
  },
];

const found = (fault: Fault, seed: number, tied?: number): readonly Found[] =>
  search(simulateHistory({ jobs: 2000, seed, fault, ...(tied === undefined ? {} : { tied }) }), plain).found;

describe('a fault is found where it was planted', () => {
  test.each(planted)('$fault.kind', ({ fault, measure, where }) => {
    const [first, ...others] = found(fault, 11);
    expect(first?.measure).toBe(measure);
    expect(first?.where).toEqual(where);
    expect(first?.certainty).toBe('certain');
    expect(others).toEqual([]);
  });
});

describe('a bench that reads high is told from the branch that sends it most of its pumps', () => {
  test.each([0.7, 0.9])('%s of the branch and its even share of the others', (tied) => {
    const all = found({ kind: 'bench', percent: 2.5 }, 12, tied);
    expect(all.map(({ where }) => where)).toEqual([[{ factor: 'bench', level: 'B2' }]]);
    // What else goes along with it is held even: the branch leaves the difference as it is.
    expect(all[0]?.others.map(({ level }) => level.factor)).not.toContain('branch');
  });
});
