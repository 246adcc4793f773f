import { describe, expect, test } from 'vitest';
import { gaugeAnova } from '../../lib/stats/gaugeAnova';
import { gaugeRange } from '../../lib/stats/gaugeRange';
import { dataRows } from './csv';

const readings = dataRows('gauge-study.csv').map(({ part = '', appraiser = '', y }) => ({
  part,
  operator: appraiser,
  value: Number(y),
}));

// The worked gauge study of ten parts, three appraisers and three trials.
describe('gauge study', () => {
  // Read in a second-hand copy (R2): EV 0.2019, AV 0.2297, GRR 0.3058, PV 1.1046, TV 1.1461, 26.7 %, 5 categories.
  test('by averages and ranges', () => {
    const study = gaugeRange(readings);
    for (const [figure, published] of [
      [study?.repeatability, 0.2019],
      [study?.reproducibility, 0.2297],
      [study?.gauge, 0.3058],
      [study?.part, 1.1046],
      [study?.total, 1.1461],
    ] as const) {
      // The book rounds its factors to four decimals.
      expect(Math.abs((figure ?? NaN) - published)).toBeLessThan(0.00015);
    }
    expect(study?.percent).toBeCloseTo(26.7, 1);
    expect(study?.categories).toBe(5);
  });

  // Computed from the same readings with another program (C).
  test('by analysis of variance', () => {
    const study = gaugeAnova(readings);
    if (study.kind !== 'study') throw new Error(study.kind);
    const { table, pooled } = study;
    expect(table.operator.squares).toBeCloseTo(3.1673, 4);
    expect(table.part.squares).toBeCloseTo(88.3619, 4);
    expect(table.interaction.squares).toBeCloseTo(0.359, 4);
    expect(table.error.squares).toBeCloseTo(2.7589, 4);
    expect([table.operator, table.part, table.interaction, table.error].map(({ freedom }) => freedom)).toEqual([
      2, 9, 18, 60,
    ]);
    expect(study.chosen).toBe(pooled);
    expect(pooled.repeatability.sd).toBeCloseTo(0.19993, 5);
    expect(pooled.reproducibility.sd).toBeCloseTo(0.22684, 5);
    expect(pooled.gauge.sd).toBeCloseTo(0.30237, 5);
    expect(pooled.part.sd).toBeCloseTo(1.04233, 5);
    expect(pooled.categories).toBe(4);
  });
});
