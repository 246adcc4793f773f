import { describe, expect, it } from 'vitest';
import type { Estimate, Group, RangeSet } from '../../lib/quote/types';
import { quoteDocumentSchema, sumsOf } from '../../lib/report/quote/quoteDocument';
import { documentOf, draftOf, draftSums, FRESH, linesOf, priceOfCost } from '../../lib/report/quote/quoteDraft';

const group: Group = { level: 'model', model: 'Heron', work: 'rebuild', elements: null, complaint: null };
const set = (median: number | null, high: number): RangeSet => ({
  ...{ median, n: 40, effectiveN: 20, group, borrowed: false, nearestN: 40 },
  notEnough: median === null ? 'no past jobs' : null,
  ranges: [{ coverage: 0.8, low: 1, high, group, n: 40, effectiveN: 20, borrowed: false, notEnough: null }],
  ...{ layers: [], adjustments: [], drift: null, since: '2020-01-01', until: '2025-01-01' },
});
const estimate: Estimate = {
  asked: { model: 'Heron', work: 'rebuild' },
  choices: { today: '2026-03-02', currency: 'EUR', hourRate: 60, partsIndexPerYear: 0, halfLifeYears: 3 },
  ...{ hours: set(14.46, 19), parts: set(812.4, Infinity), days: set(null, Infinity), cost: set(1700, 2200) },
  extra: [],
};
const shop = { marginPercent: 25, taxPercent: 19, validDays: 30, from: 'The shop' };
const drafted = { shop, estimate, serial: 'H-1', rate: 60, on: '2026-03-02', range: null, overrun: null };

describe('a drafted quote', () => {
  it('begins with the middle hours to a tenth and the middle parts to a whole', () => {
    expect(linesOf(estimate)).toMatchObject([
      { kind: 'labour', quantity: 14.5 },
      { kind: 'part', quantity: 1, price: 812 },
    ]);
    // 14.5 h at 60 and 812 are 1,682; a quarter more is 2,102.50.
    expect(draftSums({ ...FRESH, lines: linesOf(estimate) }, shop, 60, 'EUR')).toMatchObject({
      cost: 168_200,
      price: 210_250,
    });
  });

  it('is a document that its schema takes, with open ranges as such', () => {
    const quote = documentOf({ ...drafted, draft: FRESH });
    expect(quoteDocumentSchema.parse(quote)).toEqual(quote);
    expect(quote.told).toMatchObject({ hours: { median: 14.46 }, parts: { ranges: [{ high: null }] }, days: null });
    expect(sumsOf(quote).price).toBe(210_250);
  });

  it('comes back from its document as it was edited', () => {
    const draft = { ...FRESH, number: '7', set: 1999.99, conditions: ['If worn, more.'], remarks: 'a\nb' };
    const quote = documentOf({ ...drafted, draft });
    expect(sumsOf(quote).price).toBe(199_999);
    expect(documentOf({ ...drafted, draft: draftOf(quote) })).toEqual(quote);
  });

  it('keeps to one price where no range can be told', () => {
    const draft = { ...FRESH, kind: 'range' as const, chance: 0.2 };
    expect(documentOf({ ...drafted, draft }).price).toEqual({ kind: 'fixed', set: null });
    const range = { low: 100_000, high: 200_000 };
    expect(documentOf({ ...drafted, draft, range }).price).toEqual({ kind: 'range', chance: 0.2, ...range });
  });

  it('counts fields without a number, or without a rate, as nothing', () => {
    const lines = [
      { key: 1, kind: 'labour' as const, text: '', quantity: NaN, price: 0 },
      { key: 2, kind: 'part' as const, text: '', quantity: 2, price: NaN },
      { key: 3, kind: 'part' as const, text: '', quantity: 2, price: 10 },
    ];
    expect(draftSums({ ...FRESH, lines }, shop, null, 'EUR').lines).toEqual([0, 0, 2000]);
  });

  it('lays the margin on a cost', () => {
    expect(priceOfCost(1000, 22.5, 'EUR')).toBe(122_500);
  });
});
