import { describe, expect, it } from 'vitest';
import type { Added, AgainstPlain, BackTest, Group, Range, RangeSet, TargetTest } from '../../lib/quote/types';
import { amountsIn } from '../../lib/words/amounts';
import {
  addedBasis,
  addedWords,
  againstWords,
  basisWords,
  coverageWords,
  driftWords,
  groupWords,
  jobWords,
  keepsWord,
  nearnessWords,
  overrunWords,
  rangeOf,
  leadWords,
  verdictWords,
  widthWords,
} from '../../lib/words/quote';
import { movedRows } from '../../lib/words/quoteMoved';

const plain = (text: string): string => text.replace(/[\u00a0\u202f]/g, ' ');
const write = amountsIn('en-GB');
const group: Group = { level: 'model', model: 'Heron', work: 'rebuild', elements: null, complaint: null };
const kin: Group = { ...group, level: 'kin', model: null, elements: 6 };
const range = (coverage: Range['coverage'], low: number, high: number): Range => ({
  ...{ coverage, low, high, group, n: 143, effectiveN: 60, borrowed: false },
  notEnough: Number.isFinite(high) ? null : 'too few past jobs',
});
const set = (change: Partial<RangeSet> = {}): RangeSet => ({
  ...{ median: 14.5, ranges: [range(0.8, 11, 19), range(0.95, 9, Infinity)], n: 143, effectiveN: 60, group },
  ...{ borrowed: false, nearestN: 143, notEnough: null, layers: [], adjustments: [], drift: null },
  ...{ since: '2019-02-03', until: '2025-12-01' },
  ...change,
});
const against = (beats: AgainstPlain['beats'], sign = 1): AgainstPlain => ({
  ...{
    way: 'mean of the model',
    n: 412,
    own: 1.9,
    plain: 2.6,
    difference: 0.5 * sign,
    low: 0.3 * sign,
    high: 0.7 * sign,
  },
  beats,
});
const test = (ways: readonly AgainstPlain[], n = 412): TargetTest => ({
  ...{ target: 'hours', n, medianError: 1.9, coverages: [], against: ways, byModel: [], byYear: [] },
});
const tested = (...tests: readonly TargetTest[]): BackTest => ({
  choices: { today: '2026-01-01', currency: 'EUR', hourRate: null, partsIndexPerYear: 0, halfLifeYears: 3 },
  ...{ jobs: 500, open: 3, tests },
});

describe('a quote in words', () => {
  it('says what extra work added and from how many jobs, or why that is not told', () => {
    const between = (figure: number) => ({ figure, low: figure / 2, high: 2 * figure });
    const told: Added = {
      ...{ n: 24, against: 96, group: kin, borrowed: true, notEnough: null },
      ...{ hours: between(2), parts: between(300), cost: between(420) },
    };
    expect(plain(addedWords(told, 'EUR', write))).toBe('EUR 420 (EUR 210 to EUR 840): 2.0 h, parts EUR 300');
    expect(plain(addedBasis(told))).toBe('24 jobs against 96, borrowed from all six-element pumps, rebuild');
    const open: Added = { ...told, cost: null, notEnough: 'no clear difference' };
    expect(addedWords(open, 'EUR', write)).toBe(
      'not enough data: jobs with it show no clear difference from those without',
    );
  });

  it('names the job as a person would', () => {
    expect(jobWords({ model: 'Heron', work: 'rebuild', complaint: 'low power' })).toBe(
      'A rebuild of a Heron with the complaint “low power”',
    );
    expect(jobWords({ model: 'Osprey', work: 'recalibrate', complaint: null })).toBe('Recalibrating an Osprey');
    expect(jobWords({ model: 'Heron', work: 'clean' })).toBe('Work “clean” on a Heron');
  });

  it('says on which jobs it rests, and from whom it is borrowed', () => {
    expect(plain(basisWords(set()))).toBe('143 jobs since 2019: Heron, rebuild');
    expect(plain(basisWords(set({ borrowed: true, nearestN: 3, group: kin })))).toBe(
      'Borrowed from 143 jobs since 2019: all six-element pumps, rebuild, since there are only 3 such jobs',
    );
    expect(plain(basisWords(set({ borrowed: true, nearestN: 0, group: kin })))).toMatch(/since there is no such job$/);
    expect(basisWords(set({ median: null, notEnough: 'no past jobs' }))).toBe(
      'Not enough data: the log has no such jobs',
    );
    expect(groupWords({ ...group, level: 'all' })).toBe('all jobs of the log');
  });

  it('says whose jobs a borrowed width is of', () => {
    const borrowed = { ...range(0.8, 11, 19), borrowed: true, group: kin, n: 400 };
    expect(plain(widthWords(set({ ranges: [borrowed] })) ?? '')).toBe(
      'the width of 8 of 10 is borrowed from 400 jobs: all six-element pumps, rebuild',
    );
    expect(widthWords(set())).toBeNull();
    expect(widthWords(set({ ranges: [{ ...borrowed, notEnough: 'too few models' }] }))).toBeNull();
  });

  it('writes ranges in their unit, open ones as such', () => {
    expect(plain(rangeOf('hours', { low: 11, high: 19 }, null, write))).toBe('11.0 to 19.0 h');
    expect(plain(rangeOf('days', { low: 6, high: 12 }, null, write))).toBe('6 to 12 days');
    expect(plain(rangeOf('parts', { low: 620, high: 1150 }, 'EUR', write))).toBe('EUR 620 to EUR 1,150');
    expect(plain(rangeOf('hours', { low: 11, high: Infinity }, null, write))).toBe('from 11.0 h');
  });

  it('answers in a sentence a figure, and says where a range or a figure can not be told', () => {
    const choices = { today: '2026-01-01', currency: 'EUR', hourRate: null, partsIndexPerYear: 0, halfLifeYears: 3 };
    const asked = { model: 'Heron', work: 'rebuild' };
    const open = set({ median: 800, ranges: [range(0.8, 0, Infinity)] });
    const none = set({ median: null, notEnough: 'no past jobs' });
    const told = leadWords({ asked, choices, hours: set(), parts: open, days: none, cost: none, extra: [] }, write);
    expect(told.map(plain)).toEqual([
      'A rebuild of a Heron takes about 14.5 h; 8 of 10 such jobs took 11.0 to 19.0 h.',
      "Parts about EUR 800; how far it may stray can't be told, not enough data: too few past jobs.",
    ]);
    const silent = leadWords({ asked, choices, hours: none, parts: none, days: none, cost: none, extra: [] }, write);
    expect(silent).toEqual(["A rebuild of a Heron: hours can't be told, not enough data: the log has no such jobs."]);
  });

  it('tells a drift with its n, also where there is none', () => {
    const drift = { factor: 1.12, low: 1.04, high: 1.2, n: 40, drifts: true };
    expect(plain(driftWords('hours', drift) ?? '')).toBe(
      "Labour: the 40 jobs of the log's last year took longer than the quote would have said, by 12 % (from 4 % to 20 %).",
    );
    expect(plain(driftWords('days', { ...drift, factor: 0.9, low: 0.82, high: 0.95 }) ?? '')).toBe(
      "Days in the shop: the 40 jobs of the log's last year took less than the quote would have said, by 10 % (from 5 % to 18 %).",
    );
    expect(plain(driftWords('cost', { ...drift, factor: 0.99, low: 0.96, high: 1.02, drifts: false }) ?? '')).toBe(
      "Cost to the shop: no drift seen, n = 40 in the log's last year (−1 % against the quote, −4 % to +2 %).",
    );
    expect(driftWords('parts', { factor: null, low: null, high: null, n: 7, drifts: false })).toBe(
      "Parts: not enough data to see a drift, n = 7 in the log's last year.",
    );
    expect(driftWords('hours', null)).toBeNull();
  });

  it('takes a figure apart: its groups, what was asked, and what moves nothing', () => {
    const layers = [
      { group, n: 143, effectiveN: 60, median: 14.2, weight: 0.967 },
      { group: kin, n: 400, effectiveN: 180, median: 15, weight: 0.033 },
    ];
    const adjustments = [
      { feature: 'complaint', factor: 1.042, n: 31 },
      { feature: 'branch', factor: 0.996, n: 700 },
    ] as const;
    const asked = {
      model: 'Heron',
      work: 'rebuild',
      complaint: 'knock',
      branch: 'Millrace',
      phasingDeg: 1,
      leakSlope: 2,
    };
    const rows = movedRows('hours', set({ layers, adjustments }), asked, null, write);
    expect(rows.map(({ what, how, n, whose }) => [what, plain(how), n, whose])).toEqual([
      ['jobs of the model', 'about 14.2 h, counts 97 %', 143, 'Heron, rebuild'],
      ['jobs of its kin', 'about 15.0 h, counts 3 %', 400, 'all six-element pumps, rebuild'],
      ['complaint', '+4 %', 31, 'jobs of this work with the complaint “knock”, rebuild'],
      ['branch', '−0.4 %', 700, 'jobs of the branch Millrace, all works'],
      ['phase error', 'moves nothing', 0, 'too few past jobs tell'],
      ['leak slope', 'moves nothing', 0, 'it counts for similar jobs alone'],
    ]);
    const days = movedRows('days', set({ layers: layers.slice(0, 1), adjustments }), asked, null, write);
    expect(days.map(({ what, how, n }) => [what, plain(how), n])).toEqual([
      ['jobs of the model', 'about 14 days, counts 97 %', 143],
      ['complaint', '+4 %', 31],
      ['branch', '−0.4 %', 700],
      ['phase error', 'moves nothing', 0],
      ['leak slope', 'moves nothing', 0],
    ]);
    expect(movedRows('hours', set({ median: null }), asked, null, write)).toEqual([]);
  });

  it('says what a price would have lost', () => {
    const over = {
      price: 100,
      k: 25,
      n: 120,
      share: 0.21,
      low: 0.15,
      high: 0.29,
      group,
      borrowed: false,
      notEnough: null,
    };
    expect(plain(overrunWords(over))).toBe(
      'At this price 21 % of 120 similar past jobs would have lost money (15 to 29 %): Heron, rebuild.',
    );
    expect(overrunWords({ ...over, share: null, notEnough: 'no rate set' })).toContain('no hourly rate is set');
  });

  it('says why a job is near', () => {
    const why = [
      { feature: 'model', agrees: true, far: 0 },
      { feature: 'work', agrees: true, far: 0 },
      { feature: 'engineHours', agrees: false, far: 0.8 },
    ] as const;
    expect(nearnessWords(why)).toBe('alike: model, work; apart: engine hours');
  });
});

describe('the back-test in words', () => {
  const held = {
    coverage: 0.8 as const,
    k: 325,
    n: 412,
    share: 0.79,
    low: 0.75,
    high: 0.83,
    unbounded: 0,
    medianWidth: 8,
  };

  it('says how many ranges held, and whether they keep their word', () => {
    expect(plain(coverageWords(held))).toBe('80 % ranges held 79 % of 412 past jobs (75 to 83 %)');
    expect(coverageWords({ ...held, share: null })).toContain('not enough data');
    expect([0.7, 0.79, 0.9].map((share) => keepsWord({ ...held, low: share - 0.04, high: share + 0.04 }))).toEqual([
      'too narrow',
      'as promised',
      'wider than need be',
    ]);
  });

  const NEARER = 'The quote comes nearer than each plain way, beyond chance.';
  const of = (beats: AgainstPlain['beats'], way: AgainstPlain['way']): AgainstPlain => ({ ...against(beats), way });

  it('says so where a plain way is as good or better', () => {
    expect(verdictWords(tested(test([against('yes')])))).toEqual({ warm: false, text: NEARER });
    expect(verdictWords(tested(test([against('yes'), of('even', 'median of all')])))).toEqual({
      warm: true,
      text: 'No clear gain over a plain way here: labour by the median of all jobs. All else is beaten, beyond chance.',
    });
    expect(verdictWords(tested(test([against('no', -1), of('even', 'median of all')]))).text).toBe(
      'A plain way comes nearer here: labour by the mean of the model. No clear gain over a plain way here: labour by the median of all jobs.',
    );
    expect(verdictWords(tested(test([], 0))).text).toContain('Not enough data');
  });

  it('claims nothing of what could not be compared', () => {
    const none = verdictWords(tested(test([against('not enough data'), of('not enough data', 'median of all')])));
    expect(none).toEqual({
      warm: true,
      text: 'Not enough data: too few past jobs to compare the quote with plain ways.',
    });
    const one = verdictWords(tested(test([against('yes'), of('not enough data', 'median of all')])));
    expect(one).toEqual({
      warm: true,
      text: 'Not enough data to compare: labour by the median of all jobs. All else is beaten, beyond chance.',
    });
  });

  it.each([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15])(
    'names every verdict of a mix, and only those (mix %i)',
    (mix) => {
      const verdicts = (['yes', 'even', 'no', 'not enough data'] as const).filter((_, k) => (mix & (1 << k)) !== 0);
      const ways = { yes: 'mean of the model', even: 'last five of the model', no: 'median of all' } as const;
      const { text, warm } = verdictWords(
        tested(
          test(
            verdicts.map((beats) => of(beats, beats === 'not enough data' ? 'mean of model and work' : ways[beats])),
          ),
        ),
      );
      const said = (verdict: AgainstPlain['beats'], words: string) => {
        expect(text.includes(words), `${verdict}: ${text}`).toBe(verdicts.includes(verdict));
      };
      said('no', 'A plain way comes nearer here: labour by the median of all jobs.');
      said('even', 'No clear gain over a plain way here: labour by the last five of the model.');
      expect(/nearer than each plain way|is beaten/.test(text)).toBe(verdicts.includes('yes'));
      expect(text === NEARER).toBe(verdicts.join() === 'yes');
      expect(text.includes('Not enough data')).toBe(verdicts.includes('not enough data'));
      expect(warm).toBe(text !== NEARER);
    },
  );

  it('tells both errors and their difference, with the sign', () => {
    expect(plain(againstWords('hours', against('yes'), null, write))).toBe(
      '1.90 h against 2.60 h of the mean of the model: the quote is nearer, on average 0.50 h nearer (+0.30 h to +0.70 h), 412 jobs.',
    );
    expect(plain(againstWords('hours', against('no', -1), null, write))).toContain(
      'the plain way is nearer, on average 0.50 h farther off (−0.30 h to −0.70 h)',
    );
  });
});
