import { describe, expect, test } from 'vitest';
import { widened } from '../../lib/quote/modelSpread';
import { inTodaysMoney, weightOn } from '../../lib/quote/prepare';
import { drawn } from '../../lib/quote/rolling';
import * as settings from '../../lib/quote/settings';
import { daysOf, freedOf, waitAtLeast, waitWithin } from '../../lib/quote/waits';
import { conformalInterval, conformalUpper } from '../../lib/stats/conformal';
import { kaplanMeier } from '../../lib/stats/kaplanMeier';
import { WeightedSample } from '../../lib/stats/weightedSample';
import { examplesIn, list, number, text, textOf, type Row } from '../workedExamples';

const sections = examplesIn('quote.md');

/** The figure is the one written, to the decimals written. */
function expectWritten(figure: number | undefined, row: Row, name: string) {
  const written = text(row, name);
  if (written.endsWith('Infinity')) expect(figure).toBe(Number(written));
  else expect(figure).toBeCloseTo(Number(written), written.split('.')[1]?.length ?? 0);
}

const runs: Readonly<Record<string, (row: Row) => void>> = {
  'Weight of a job': (row) => {
    expectWritten(weightOn(-365.25 * number(row, 'age'), 0, number(row, 'half-life')), row, 'w');
  },
  'Middle of a group': (row) => {
    const [sample, weights] = [new WeightedSample(), list(row, 'weights')];
    list(row, 'hours').forEach((hours, k) => {
      sample.add(Math.log(hours), weights[k] ?? NaN);
    });
    expectWritten(Math.exp(sample.midmean()), row, 'exp(m)');
  },
  'Drawn towards the parent': (row) => {
    const c = drawn(Math.log(number(row, 'exp(m)')), number(row, 'n′'), Math.log(number(row, 'exp(c_parent)')));
    expectWritten(Math.exp(c), row, 'exp(c)');
  },
  Ranges: (row) => {
    const range = conformalInterval(list(row, 'misses'), number(row, 'C'), list(row, 'weights'));
    expectWritten(range?.low, row, 'low');
    expectWritten(range?.high, row, 'high');
  },
  'Few jobs of a model': (row) => {
    const [low = NaN, high = NaN] = list(row, 'ends of misses');
    const spread = { variance: number(row, 's') ** 2, freedom: number(row, 'freedom'), models: number(row, 'K') };
    const ends = widened({ low, high, middle: number(row, 'M') }, number(row, 'n′'), number(row, 'C'), spread);
    expectWritten(ends.low, row, 'low');
    expectWritten(ends.high, row, 'high');
  },
  'Parts and cost': (row) => {
    expectWritten(inTodaysMoney(number(row, 'cost'), number(row, 'years'), number(row, 'index')), row, 'parts today');
  },
  Days: (row) => {
    const written = text(row, 'days').split(' ');
    const curve = kaplanMeier(
      written.map((days) => Number(days.replace('+', ''))),
      written.map((days) => (days.endsWith('+') ? 0 : 1)),
    );
    expectWritten(waitWithin(curve, number(row, 'share')), row, 'within');
    expectWritten(waitAtLeast(curve, number(row, 'share')), row, 'at least');
  },
  'What moves the days': (row) => {
    const [written, added] = [text(row, 'days').split(' '), list(row, 'a of each')];
    const curve = kaplanMeier(
      written.map((days, k) => freedOf(Number(days.replace('+', '')), added[k] ?? NaN)),
      written.map((days) => (days.endsWith('+') ? 0 : 1)),
    );
    expectWritten(daysOf(waitWithin(curve, number(row, 'share')), number(row, 'a of the next')), row, 'middle');
  },
  'What if': (row) => {
    expectWritten(conformalUpper(list(row, 'costs'), 1 - number(row, 'p')), row, 'price');
  },
};

describe('docs/quote.md', () => {
  test.each(Object.entries(runs))('the worked examples under %s come out as written', (heading, run) => {
    const rows = sections.get(heading) ?? [];
    expect(rows.length).toBeGreaterThan(2);
    rows.forEach(run);
  });

  test.each([
    [`the half-life is ${settings.HALF_LIFE_YEARS} years unless`],
    [`A group tells a middle from ${settings.FEWEST_JOBS} jobs on`],
    [`(n′ m + ${settings.PARENT_JOBS} c_parent) / (n′ + ${settings.PARENT_JOBS})`],
    [`complaint: Σ w r / (Σ w + ${settings.COMPLAINT_JOBS})`],
    [`branch: Σ w r / (Σ w + ${settings.BRANCH_JOBS})`],
    [`It takes ${settings.JOBS_A_FEATURE} jobs for each reading`],
    [
      `Misses of the log's last ${settings.DRIFT_DAYS} days (back from the last job finished), from ${settings.FEWEST_FOR_DRIFT} jobs on`,
    ],
    [`of the last ${settings.LAST_JOBS} jobs of the group`],
    [`drawn towards none as by ${settings.DAYS_SLOPE_JOBS}\njobs for each thing read`],
    [`From the first of\nthese with ${settings.FEWEST_FOR_RATE} jobs that tell`],
  ])('says the setting that is in force: %s', (sentence) => {
    expect(textOf('quote.md').replaceAll('\n', ' ')).toContain(sentence.replaceAll('\n', ' '));
  });
});
