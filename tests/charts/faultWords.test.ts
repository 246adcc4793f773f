import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { couldBeSeen, smallestSeen } from '../../lib/find/seen';
import { measures, type Found, type Measure } from '../../lib/find/types';
import {
  behindWords,
  costWords,
  dearest,
  headline,
  howSure,
  leadWords,
  measureForms,
  otherWords,
  pValue,
  plotTitle,
  ranked,
  searchedWords,
  seeableWords,
  sinceWords,
} from '../../lib/words/faults';
import { inLogUnits, writerFor } from '../../lib/words/figures';
import { answerOf, backEarly, benchReadsHigh, closesLate, madeUp, oldRevision } from './foundFixture';

const read = (text: string): string => text.replace(/[\u00a0\u202f]/g, ' ');
const said = (found: Found): string => read(headline(found, inLogUnits));

describe('a finding in one sentence', () => {
  it('names where, what and how much, with the rest beside it', () => {
    expect(said(benchReadsHigh)).toBe('On bench B2: delivery as received reads 2.5 % higher than in the rest.');
    expect(said(closesLate)).toBe(
      'Heron, element 3: port closure comes 0.39° cam later than in the rest when first measured.',
    );
    expect(said(oldRevision)).toBe(
      'Heron at Saltmarsh: the work goes by a superseded revision in 17 % of jobs, 0 % in the rest.',
    );
    expect(said(backEarly)).toBe('Complaint “smokes”: the pump comes back early in 30 % of jobs, 9 % in the rest.');
  });

  it('says which jobs are listed behind it where these are not just those compared', () => {
    const jobs = Array.from({ length: 346 }, (_, i) => i);
    const compared = { ...benchReadsHigh, group: { ...benchReadsHigh.group, n: 340 } };
    expect(behindWords({ ...compared, jobs })).toBe('6 of them had no job alike to be compared with.');
    expect(behindWords({ ...compared, jobs: jobs.slice(0, 340) })).toBe('');
    expect(behindWords(closesLate)).toBe('Those in which the element is off by more than matters.');
    expect(behindWords({ ...oldRevision, group: { ...oldRevision.group, n: 32 }, jobs: jobs.slice(0, 28) })).toBe(
      'Those in which it happened.',
    );
  });

  it('turns with the sign of the difference, and never shows one beside the word', () => {
    const less = { ...benchReadsHigh, difference: { value: -2.5, low: -2.9, high: -2.1 } };
    expect(said(less)).toBe('On bench B2: delivery as received reads 2.5 % lower than in the rest.');
  });

  it('is told in the units chosen', () => {
    const crank = writerFor({ system: 'metric', angles: 'crank' });
    expect(read(headline(closesLate, crank))).toContain('0.78° crank later');
  });

  it.each(measures)('exists for %s, with a title for its plot', (measure: Measure) => {
    const found = { ...closesLate, measure };
    expect(said(found)).toMatch(/^Heron, element 3: [^.]+(\.\d+[^.]*)?.*\.$/);
    expect(said(found)).not.toMatch(/NaN|undefined|\u2013/);
    expect(plotTitle(found)).toContain('Heron, element 3');
    expect(measureForms[measure].axis).not.toBe('');
  });

  it('puts all that the jobs have in common into words', () => {
    const where: Found['where'] = [
      { factor: 'model', level: 'Dunlin' },
      { factor: 'work type', level: 'rebuild' },
      { factor: 'branch', level: 'Quarry Road' },
      { factor: 'gauge', level: 'DG-3' },
      { factor: 'season', level: 'winter' },
      { factor: 'technician', level: 'T5' },
    ];
    expect(said({ ...backEarly, where })).toMatch(
      /^Dunlin, rebuild jobs at Quarry Road with gauge DG-3 in winter by technician T5: /,
    );
    expect(said({ ...backEarly, where: [] })).toMatch(/^All jobs: /);
  });
});

describe('how sure a finding is', () => {
  it('gives n, both intervals, the interval of the difference and p after all comparisons', () => {
    expect(read(howSure(oldRevision, 1412, inLogUnits))).toBe(
      '17 % (9 to 28 %) of 60 jobs, against 0 % (0 to 2 %) of 180 jobs in the rest. The difference is 8 to 28 in 100 jobs ' +
        '(95 % interval: where the true one may well lie); p 0.004 after 1 412 comparisons ' +
        '(p: how readily chance alone would show as much; the smaller, the surer).',
    );
    expect(read(howSure(closesLate, 1412, inLogUnits))).toContain('+0.41° cam in the middle (+0.37 to +0.46° cam)');
  });

  it('never writes a p of nought', () => {
    expect([0, 0.0004, 0.0012, 0.04, 0.25, 1].map(pValue)).toEqual([
      'below 0.001',
      'below 0.001',
      '0.001',
      '0.040',
      '0.25',
      '1',
    ]);
    expect(pValue(Number.NaN)).toBe('–');
  });

  it('says since when, and when it ended', () => {
    expect(read(sinceWords(benchReadsHigh))).toBe(
      'Since 3 Jun 2021 (p below 0.001, with every other day weighed too).',
    );
    expect(read(sinceWords(oldRevision))).toContain('It ended on 27 Aug 2022.');
    expect(sinceWords(closesLate)).toContain('All through the log');
    expect(read(sinceWords({ since: null, until: '2022-08-27' }))).toBe('From the first day. It ended on 27 Aug 2022.');
  });

  it('of a batch is as long as it was in use', () => {
    const where: Found['where'] = [{ factor: 'shim batch', level: 'S24C' }];
    expect(sinceWords({ since: null, until: null, where })).toBe('As long as the batch was in use.');
    const at = (day: string, inGroup: boolean) => ({ job: 1, day, value: 0.04, inGroup });
    // The other batches were in use before and after.
    const points = [at('2021-01-04', false), at('2022-03-01', true), at('2022-06-30', true), at('2024-02-02', false)];
    expect(read(sinceWords({ since: null, until: null, where, points }))).toBe(
      'As long as the batch was in use: from 1 Mar 2022 to 30 Jun 2022, by the jobs compared.',
    );
  });

  it('says what else could explain it, how much is then left, and where that cannot be told', () => {
    expect(read(otherWords(benchReadsHigh, inLogUnits).join(' '))).toBe(
      'The branch Saltmarsh: with that held even, +2.4 % of the +2.5 % is left.',
    );
    expect(read(otherWords(backEarly, inLogUnits).join(' '))).toContain('11 in 100 jobs of the 21 in 100 jobs is left');
    expect(otherWords(oldRevision, inLogUnits)[0]).toContain("can't be told apart");
    expect(otherWords(closesLate, inLogUnits)).toHaveLength(1);
  });
});

describe('what a finding costs', () => {
  it('is a range of hours a year', () => {
    expect(read(costWords(benchReadsHigh))).toBe('It costs 12 to 42 hours a year, over some 14 jobs.');
    const small = { over: false, jobs: 0.4, hours: { low: 0.4, high: 2 }, parts: [] };
    expect(costWords({ cost: small })).toBe('It costs 0.4 to 2.0 hours a year, over less than one job.');
  });

  it('is told in all, not a year, where the fault is over', () => {
    const over = { over: true, jobs: 30, hours: { low: 12.2, high: 41.7 }, parts: [] };
    expect(read(costWords({ cost: over }))).toBe('It cost 12 to 42 hours in all, over 30 jobs; it is over.');
  });

  it('has the parts beside the hours, each currency by itself', () => {
    const parts = [
      { currency: 'QQQ', low: 120, high: 900 },
      { currency: null, low: 3, high: 40 },
    ];
    const cost = { over: false, jobs: 14.4, hours: { low: 12.2, high: 41.7 }, parts };
    const told = read(costWords({ cost }));
    expect(told).toMatch(
      /^It costs 12 to 42 hours and parts of QQQ 120 to QQQ 900 and of 3 .*40 .* a year, over some 14 jobs\.$/,
    );
    expect(told).toContain('no currency written');
    expect(read(costWords({ cost: { ...cost, hours: null } }))).toMatch(/^It costs parts of QQQ 120/);
  });

  it('is said to be unknown where it is', () => {
    expect(read(costWords(oldRevision))).toBe(
      'It touched 10 jobs in all and is over; what that cost the log does not tell.',
    );
    expect(costWords(backEarly)).toBe('The log does not tell what it costs.');
  });
});

describe('the answer of the page', () => {
  it('counts the certain ones and puts the dearest of them first', () => {
    expect(leadWords(madeUp)).toBe('Three faults keep coming back. The dearest:');
    expect(dearest(madeUp)).toBe(closesLate);
    expect(ranked(madeUp).certain).toEqual([closesLate, benchReadsHigh, oldRevision]);
    expect(leadWords(answerOf(oldRevision))).toBe('One fault keeps coming back.');
  });

  it('puts what is over behind what still costs, however dear it was', () => {
    const past = { ...oldRevision, cost: { over: true, jobs: 30, hours: { low: 900, high: 999 }, parts: [] } };
    expect(ranked(answerOf(past, benchReadsHigh, closesLate)).certain).toEqual([closesLate, benchReadsHigh, past]);
  });

  it('puts what is worth a look in the order of its cost likewise', () => {
    const costing = (low: number, high: number, over = false): Found => ({
      ...backEarly,
      cost: { over, jobs: 9, hours: { low, high }, parts: [] },
    });
    const [cheap, dear, past] = [costing(1, 3), costing(10, 30), costing(100, 300, true)];
    expect(ranked(answerOf(past, backEarly, cheap, dear)).worth).toEqual([dear, cheap, backEarly, past]);
  });

  it('does not call certain what is only worth a look, however much it costs', () => {
    const dear = { ...backEarly, cost: { over: false, jobs: 99, hours: { low: 900, high: 999 }, parts: [] } };
    expect(dearest(answerOf(dear, oldRevision))).toBe(oldRevision);
    expect(leadWords(answerOf(dear))).toBe('No fault is certain. One is worth a look.');
    expect(dearest(answerOf(dear))).toBeNull();
  });

  it('says how many comparisons it rests on, and that others could not be made', () => {
    expect(read(searchedWords(madeUp))).toContain('1 412 comparisons over 2 500 jobs. 96 more could not be made');
    expect(searchedWords({ ...madeUp, tooFew: 0 })).not.toContain('could not be made');
  });

  it('says what could have been seen where nothing was', () => {
    expect(leadWords(answerOf())).toContain('No fault keeps coming back');
    expect(read(seeableWords({ n: 250, from: 0.2, to: 0.342 }))).toContain(
      'takes 20 % of jobs to 34 % or more in one job of ten (250 jobs)',
    );
    expect(seeableWords(couldBeSeen({ ...answerOf(), jobs: 12 }))).toContain('no difference between them');
  });
});

describe('the smallest share that a search sees', () => {
  it('is 30 % against 20 % for the 291 jobs a side of common tables (from memory), one comparison', () => {
    // n = (1.96 + 0.8416)^2 (0.2 0.8 + 0.3 0.7) / 0.1^2 = 290.4, rounded up, without correction for continuity.
    expect(smallestSeen(291, 291, 0.2, 1)).toBeCloseTo(0.3, 3);
  });

  it('lies above the base, falls with more jobs and rises with more comparisons', () => {
    const jobs = fc.integer({ min: 20, max: 5000 });
    fc.assert(
      fc.property(
        jobs,
        jobs,
        fc.double({ min: 0, max: 0.6, noNaN: true }),
        fc.integer({ min: 1, max: 5000 }),
        (n, m, base, k) => {
          const seen = smallestSeen(n, m, base, k);
          if (seen === null) return;
          expect(seen).toBeGreaterThan(base);
          expect(smallestSeen(2 * n, 2 * m, base, k) ?? 2).toBeLessThanOrEqual(seen + 1e-9);
          const more = smallestSeen(n, m, base, 2 * k);
          if (more !== null) expect(more).toBeGreaterThanOrEqual(seen - 1e-9);
        },
      ),
    );
  });

  it('is none for a few jobs, or for arguments that mean nothing', () => {
    expect(smallestSeen(2, 10, 0.2, 1000)).toBeNull();
    expect(smallestSeen(0, 10, 0.2, 1)).toBeNull();
    expect(smallestSeen(10, 10, 1, 1)).toBeNull();
    expect(smallestSeen(10, 10, Number.NaN, 1)).toBeNull();
  });
});
