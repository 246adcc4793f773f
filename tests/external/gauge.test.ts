import { describe, expect, test } from 'vitest';
import { chartConstants, rangeDivisor } from '../../lib/stats/chartConstants';
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
    const { repeatability = NaN, reproducibility = NaN, part = NaN } = study ?? {};
    // The book rounds its factors, the inverses of d2 and d2*, to four decimals: 0.5908, 0.5231, 0.3146 (from memory).
    const equipment = repeatability * 0.5908 * chartConstants(3).d2;
    const spread = Math.hypot(reproducibility, repeatability / Math.sqrt(30)) * 0.5231 * rangeDivisor(3, 1);
    const appraiser = Math.sqrt(spread ** 2 - equipment ** 2 / 30);
    const ofParts = part * 0.3146 * rangeDivisor(10, 1);
    for (const [figure, published] of [
      [equipment, 0.2019],
      [appraiser, 0.2297],
      [Math.hypot(equipment, appraiser), 0.3058],
      [ofParts, 1.1046],
      [Math.hypot(equipment, appraiser, ofParts), 1.1461],
    ] as const) {
      expect(figure).toBeCloseTo(published, 4);
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
