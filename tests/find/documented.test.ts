import { describe, expect, test } from 'vitest';
import { measureOrder, rules } from '../../lib/find/measures';
import { textOf } from '../workedExamples';

const section = textOf('method.md').split('\n## The search for recurring faults')[1]?.split('\n## ')[0] ?? '';
const rows = section
  .split('\n')
  .map((line) => line.split('|').map((cell) => cell.trim()))
  .filter((cells) => cells.length === 4);

describe('docs/method.md', () => {
  test.each(measureOrder)('lists what %s is searched by, in the order of the search', (measure) => {
    const told = rows.filter(([, name]) => name === measure).map(([, , by]) => by);
    expect(told).toContain(rules[measure].factors.join(', '));
  });
});
