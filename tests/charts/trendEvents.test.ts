import { describe, expect, it } from 'vitest';
import { happenings, ticksOf } from '../../app/trends/events';
import type { LogNote } from '../../lib/keep/notes';
import type { LogEvent } from '../../lib/store/questions/trendEvents';

const logged: readonly LogEvent[] = [
  { kind: 'bench', name: 'B2', pump_model: null, on: '2024-02-10' },
  { kind: 'batch', name: 'S2', pump_model: null, on: '2024-04-01' },
  { kind: 'revision', name: 'B', pump_model: 'Heron', on: '2024-04-01' },
];
const notes: readonly LogNote[] = [
  { no: 1, on: '2024-03-05', text: 'New fluid', model: null },
  { no: 2, on: '2024-01-01', text: 'Longer run-in', model: 'Plover' },
];
const year = ['2024-01-01', '2025-01-01'] as const;

describe('what is marked on the charts', () => {
  it('is all that the log and its notes tell, in order of time', () => {
    expect(happenings(logged, notes, []).map(({ kind, name, on }) => [on, kind, name])).toEqual([
      ['2024-01-01', 'note', 'Longer run-in'],
      ['2024-02-10', 'bench', 'B2'],
      ['2024-03-05', 'note', 'New fluid'],
      ['2024-04-01', 'batch', 'S2'],
      ['2024-04-01', 'revision', 'B'],
    ]);
  });

  it('leaves out the kinds that are not wanted', () => {
    expect(happenings(logged, notes, ['note', 'batch', 'bench']).map(({ kind }) => kind)).toEqual(['revision']);
  });

  it('stands on the charts of its model alone, and on those of several with its name', () => {
    const all = happenings(logged, notes, []);
    const labels = (model: string | null) => ticksOf(all, model, year).map(({ label }) => label);
    expect(labels('Heron')).toEqual(['bench B2', 'New fluid', 'shims S2', 'rev. B']);
    expect(labels('Plover')).toEqual(['Longer run-in', 'bench B2', 'New fluid', 'shims S2']);
    expect(labels(null)).toEqual(['Longer run-in', 'bench B2', 'New fluid', 'shims S2', 'rev. B Heron']);
  });

  it("keeps to the chart's days, its last one left out, and tells a person's own marks from the log's", () => {
    const all = happenings(logged, notes, []);
    expect(ticksOf(all, null, ['2024-02-10', '2024-04-01']).map(({ label, own }) => [label, own])).toEqual([
      ['bench B2', false],
      ['New fluid', true],
    ]);
  });
});
