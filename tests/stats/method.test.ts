import { describe, expect, test } from 'vitest';
import { attributePlan, chanceOfAcceptance, upperShare } from '../../lib/stats/attributePlan';
import { binomialTest } from '../../lib/stats/binomialTest';
import { capability } from '../../lib/stats/capability';
import { clopperPearson } from '../../lib/stats/clopperPearson';
import { falseDiscovery } from '../../lib/stats/falseDiscovery';
import { fisher } from '../../lib/stats/fisher';
import { funnelLimits } from '../../lib/stats/funnel';
import { eventTime, kaplanMeier, survivalAt } from '../../lib/stats/kaplanMeier';
import { logRank } from '../../lib/stats/logRank';
import { mannKendall } from '../../lib/stats/mannKendall';
import { newcombe } from '../../lib/stats/newcombe';
import { eventRate, rateRatio } from '../../lib/stats/poisson';
import { quantileInterval } from '../../lib/stats/quantiles';
import { theilSen } from '../../lib/stats/theilSen';
import {
  howeFactor,
  natrellaFactor,
  shareCovered,
  toleranceFactor,
  tolerancePlaces,
} from '../../lib/stats/toleranceInterval';
import { examplesIn, list, number, text, type Row } from '../workedExamples';

const sections = examplesIn('statistics.md');

const share = (row: Row, k: string, n: string) => ({ successes: number(row, k), trials: number(row, n) });

/** The figure is the one written, to the decimals written; an empty cell means that none is told. */
function expectWritten(figure: number | undefined, written: string) {
  if (written === '') expect(figure ?? NaN).toBeNaN();
  else if (written.endsWith('Infinity')) expect(figure).toBe(Number(written));
  else expect(figure).toBeCloseTo(Number(written), written.split('.')[1]?.length ?? 0);
}

/** Each figure is the one written in its column. */
function expectRow(row: Row, figures: Readonly<Record<string, number | undefined>>) {
  for (const [name, figure] of Object.entries(figures)) expectWritten(figure, text(row, name));
}

/** Times as written, + behind those without the event. */
const watched = (row: Row, name: string) => {
  const written = text(row, name).split(' ');
  return {
    times: written.map((time) => Number(time.replace('+', ''))),
    events: written.map((time) => (time.endsWith('+') ? 0 : 1)),
  };
};

const runs: Readonly<Record<string, (row: Row) => void>> = {
  'Exact interval of a share': (row) => {
    const got = clopperPearson(number(row, 'k'), number(row, 'n'), number(row, 'C'));
    expectRow(row, { low: got?.low, high: got?.high });
  },
  'Difference of two shares': (row) => {
    const got = newcombe(share(row, 'k₁', 'n₁'), share(row, 'k₂', 'n₂'));
    expectRow(row, { D: got?.difference, low: got?.low, high: got?.high });
  },
  'Exact test of two shares': (row) => {
    const got = fisher(share(row, 'k₁', 'n₁'), share(row, 'k₂', 'n₂'));
    expectRow(row, { P: got?.p, 'mid-P': got?.midP });
  },
  'Exact test of a share against a rate': (row) => {
    const got = binomialTest(share(row, 'k', 'n'), number(row, 'θ'));
    expectRow(row, { P: got?.p, 'mid-P': got?.midP });
  },
  'Funnel limits': (row) => {
    const got = funnelLimits(number(row, 'n'), number(row, 'θ'), number(row, 'C'), number(row, 'φ'));
    expectRow(row, { low: got?.low, high: got?.high });
  },
  'False discovery rate': (row) => {
    const got = falseDiscovery(list(row, 'P'));
    const written = text(row, 'q').split(' ');
    expect(got).toHaveLength(written.length);
    written.forEach((q, k) => {
      expectWritten(got[k], q);
    });
  },
  'Rate of events': (row) => {
    const first = { events: number(row, 'k₁'), exposure: number(row, 'T₁') };
    const second = { events: number(row, 'k₂'), exposure: number(row, 'T₂') };
    const [own, against] = [eventRate(first), rateRatio(first, second)];
    expectRow(row, { rate: own?.rate, low: own?.low, high: own?.high });
    expectRow(row, { ratio: against?.ratio, from: against?.low, to: against?.high, P: against?.p });
  },
  'Time to return': (row) => {
    const { times, events } = watched(row, 'times');
    const curve = kaplanMeier(times, events);
    const at = survivalAt(curve, number(row, 't'));
    const median = eventTime(curve);
    expectRow(row, { S: at?.survival, low: at?.low, high: at?.high });
    expectRow(row, { median: median.time, from: median.low, to: median.high });
  },
  'Log-rank test': (row) => {
    const [a, b] = [watched(row, 'first'), watched(row, 'second')];
    const group = [...a.times.map(() => 0), ...b.times.map(() => 1)];
    const got = logRank([...a.times, ...b.times], [...a.events, ...b.events], group, 2);
    const first = got?.groups[0];
    expectRow(row, { 'O₁': first?.observed, 'E₁': first?.expected, 'χ²': got?.chiSquare, P: got?.p });
  },
  'Robust line': (row) => {
    const got = theilSen(list(row, 'x'), list(row, 'y'), number(row, 'C'));
    expectRow(row, { slope: got?.slope, intercept: got?.intercept, low: got?.low, high: got?.high });
  },
  'Trend test': (row) => {
    const got = mannKendall(list(row, 'values'));
    expectRow(row, { S: got?.s, Var: got?.variance, z: got?.z, P: got?.p });
  },
  Quantiles: (row) => {
    const got = quantileInterval(list(row, 'values'), number(row, 'q'), number(row, 'C'));
    expectRow(row, { quantile: got?.quantile, low: got?.low, high: got?.high, coverage: got?.coverage });
  },
  'Attribute sampling': (row) => {
    const lot = text(row, 'N') === '' ? Infinity : number(row, 'N');
    const [tolerable, risk] = [number(row, 'p₁'), number(row, 'β')];
    const plan =
      text(row, 'p₀') === ''
        ? attributePlan({ lot, tolerable, risk, allowed: number(row, 'c') })
        : attributePlan({ lot, tolerable, risk, producer: { expected: number(row, 'p₀'), risk: number(row, 'α') } });
    const chance = plan === null ? NaN : chanceOfAcceptance(plan, lot, tolerable);
    expectRow(row, { n: plan?.n, c: plan?.c, 'Pr(accept) at p₁': chance });
    expectRow(row, { u: upperShare(number(row, 'x'), plan?.n ?? 0, lot, risk) ?? NaN });
  },
  Capability: (row) => {
    const limit = (name: string) => (text(row, name) === '' ? null : number(row, name));
    const scatter = { n: number(row, 'n'), mean: number(row, 'x̄'), sd: number(row, 's') };
    const got = capability(scatter, { low: limit('LSL'), high: limit('USL') });
    const [cp, cpk] = got.kind === 'told' ? [got.cp, got.cpk] : [null, null];
    expectRow(row, { Cp: cp?.value, low: cp?.low, high: cp?.high, Cpk: cpk?.value, from: cpk?.low, to: cpk?.high });
  },
  'Tolerance interval': (row) => {
    const [n, p, confidence] = [number(row, 'n'), number(row, 'p'), number(row, 'C')];
    expectRow(row, {
      k: toleranceFactor(n, p, confidence, 'two') ?? NaN,
      'near k': howeFactor(n, p, confidence) ?? NaN,
      'k₁': toleranceFactor(n, p, confidence, 'upper') ?? NaN,
      'near k₁': natrellaFactor(n, p, confidence) ?? NaN,
      l: tolerancePlaces(n, p, confidence, 'two')?.low,
      h: tolerancePlaces(n, p, confidence, 'upper')?.high,
      'least between': shareCovered(n, confidence, 'two'),
      'least up to': shareCovered(n, confidence, 'upper'),
    });
  },
};

describe('docs/statistics.md', () => {
  test('each section has a worked example, and each is run', () => {
    expect([...sections.keys()]).toEqual(Object.keys(runs));
    for (const rows of sections.values()) expect(rows.length).toBeGreaterThan(0);
  });

  for (const [heading, run] of Object.entries(runs)) {
    test(heading, () => {
      for (const row of sections.get(heading) ?? []) run(row);
    });
  }
});
