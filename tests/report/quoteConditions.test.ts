import { describe, expect, it } from 'vitest';
import { estimate } from '../../lib/quote/estimate';
import { prepareQuotes } from '../../lib/quote/prepare';
import { conditionsOf, hasOther, withSuggestion } from '../../lib/report/quote/quoteConditions';
import { MOST_LETTERS } from '../../lib/report/quote/quoteDocument';
import { quoteFace } from '../../lib/report/quote/quoteFace';
import { quoteHtml } from '../../lib/report/quote/quoteHtml';
import { amountsIn } from '../../lib/words/amounts';
import { CHOICES, historyOfJobs, weekly, type Job } from '../quote/shop';
import { madeQuote } from './madeQuote';

const british = amountsIn('en-GB');
const plain = (text: string): string => text.replace(/[\u00a0\u202f]/g, ' ');
const hours = (count: number, each: number): number[] => Array.from({ length: count }, () => each);

/** Thirty jobs of 6 h without barrels and `count` of 9 h with them, parts of ten an hour: 3 h at 60 and 30 are 210. */
const shop = (count: number): Job[] => [
  ...weekly(hours(30, 6), { newBarrels: 0, rerun: 0 }),
  ...weekly(hours(count, 9), { newBarrels: 1, rerun: 0 }),
];
const suggested = (jobs: readonly Job[], margin = 25) =>
  conditionsOf(
    estimate(prepareQuotes(historyOfJobs(jobs), { ...CHOICES, partsIndexPerYear: 0 }), {
      model: 'Heron',
      work: 'recalibrate',
    }),
    margin,
    british,
  );
const texts = (jobs: readonly Job[], margin?: number) => suggested(jobs, margin).map(({ text }) => plain(text));

describe('suggested conditions', () => {
  it('say the event, the sum with the margin on it, and from how many jobs it is told', () => {
    // 210 and a quarter more are 262.50.
    expect(texts(shop(20))).toEqual([
      'If new plungers and barrels are needed, about EUR 263 more before tax (the median of 20 past jobs with it against 30 without, 95 % interval EUR 263 to EUR 263). You are asked first.',
    ]);
    expect(texts(shop(20), 0)[0]).toContain('about EUR 210 more');
    expect(Math.max(...texts(shop(20)).map(({ length }) => length))).toBeLessThan(MOST_LETTERS.condition);
  });

  it('have no sum where too few past jobs had it', () => {
    expect(texts(shop(19))).toEqual([
      'If new plungers and barrels are needed, the cost comes on top (not enough data to say how much). You are asked first.',
    ]);
  });

  it('are not made of what no such job needed, or of what most of them needed, as the middle holds it', () => {
    expect(texts(shop(0))).toEqual([]);
    expect(texts(shop(30))).toEqual([]);
    expect(texts(shop(29))).toHaveLength(1);
  });

  it('stand on the saved sheet as they were taken over', () => {
    const conditions = suggested(shop(20)).map(({ text }) => text);
    const html = quoteHtml(quoteFace(madeQuote({ conditions }), british));
    expect(plain(html)).toContain('<li>If new plungers and barrels are needed, about EUR 263 more before tax');
  });

  it('take the place of one with another sum, and leave the others where they stand', () => {
    const [before] = suggested(shop(20), 0);
    const [now] = suggested(shop(20));
    if (before === undefined || now === undefined) throw new Error('No condition');
    const own = 'Paid within 14 days.';
    expect([hasOther([own], now), hasOther([own, before.text], now)]).toEqual([false, true]);
    expect(withSuggestion([own, ''], now)).toEqual([own, now.text]);
    expect(withSuggestion([before.text, own, before.text], now)).toEqual([now.text, own]);
  });
});
