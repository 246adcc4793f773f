import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { heldOf, outcomeOf, quotedJob, type LaterJob } from '../../lib/report/quote/keptQuotes';
import { MOST_CONDITIONS, MOST_LETTERS, quoteJson, readQuote, validUntil } from '../../lib/report/quote/quoteDocument';
import { quoteFace, shareWords } from '../../lib/report/quote/quoteFace';
import { escaped, quoteHtml } from '../../lib/report/quote/quoteHtml';
import { amountsIn } from '../../lib/words/amounts';
import { madeQuote } from './madeQuote';

const british = amountsIn('en-GB');
const htmlOf = (change: Parameters<typeof madeQuote>[0]): string => quoteHtml(quoteFace(madeQuote(change), british));
const plain = (text: string): string => text.replace(/[\u00a0\u202f]/g, ' ');

describe('a quote as a file', () => {
  it('comes back as it went', () => {
    const read = readQuote(JSON.parse(quoteJson(madeQuote())));
    expect(read).toEqual({ ok: true, quote: madeQuote() });
  });

  it.each([
    ['nothing', null, 'no quote'],
    ['something else', { loads: [] }, 'no quote'],
    ['of a later version', { ...madeQuote(), shimbook_quote: 2 }, 'another version'],
    ['damaged', { ...madeQuote(), tax_percent: 'much' }, 'tax_percent'],
    ['of a day that is none', { ...madeQuote(), on: '2026-02-30' }, 'on'],
    ['with cents that are not whole', { ...madeQuote(), price: { kind: 'fixed', set: 1.5 } }, 'price'],
  ])('that is %s is refused with a sentence', (_, held, word) => {
    const read = readQuote(held);
    expect(read.ok ? 'taken' : read.reason).toContain(word);
  });

  it('holds on its own day, and on as many as it says', () => {
    expect(validUntil({ on: '2026-02-27', valid_days: 1 })).toBe('2026-02-27');
    expect(validUntil({ on: '2024-02-27', valid_days: 30 })).toBe('2024-03-27');
  });
});

describe('the sheet', () => {
  it('shows prices that add up, and neither cost nor margin', () => {
    const face = quoteFace(madeQuote(), british);
    // Cost 1,306.19, margin 293.89: the lines carry it in proportion to 993.25, 287.94 and 25.00.
    expect(face.lines.map(({ amount }) => plain(amount))).toEqual(['EUR 1,216.73', 'EUR 352.73', 'EUR 30.62']);
    expect(face.sums.map(({ amount }) => plain(amount))).toEqual(['EUR 1,600.08', 'EUR 304.02', 'EUR 1,904.10']);
    const html = plain(htmlOf({}));
    expect(html).not.toContain('1,306.19');
    expect(html).not.toContain('293.89');
    expect(html).not.toContain('22.5');
  });

  it('says a range with its chance, taxed at either end', () => {
    const face = quoteFace(
      madeQuote({ price: { kind: 'range', chance: 0.1, low: 120_000, high: 200_000 } }),
      amountsIn('de-DE'),
    );
    expect(plain(face.sums.at(-1)?.amount ?? '')).toBe('1.428,00 EUR to 2.380,00 EUR');
    expect(face.expected[0]).toContain('1 of 10 such jobs');
  });

  it('says how sure it is, until when it holds and what it is not', () => {
    const html = plain(htmlOf({}));
    for (const said of ['8 of 10 such jobs took 11.0 to 19.0 h', '31 Mar 2026', 'not an offer', 'practitioner decide'])
      expect(html).toContain(said);
  });

  it('is written as the reader of another place writes', () => {
    const american = quoteFace(madeQuote({ currency: 'USD' }), amountsIn('en-US'));
    expect(american.sums.map(({ amount }) => plain(amount))).toEqual(['USD 1,600.08', 'USD 304.02', 'USD 1,904.10']);
    const german = quoteFace(madeQuote(), amountsIn('de-DE'));
    expect(german.sums.map(({ amount }) => plain(amount))).toEqual(['1.600,08 EUR', '304,02 EUR', '1.904,10 EUR']);
    expect(german.lines.map(({ quantity }) => plain(quantity))).toEqual(['14,5 h', '6', '']);
    expect(plain(german.expected.join(' '))).toContain('8 of 10 such jobs took 11,0 to 19,0 h');
    // A yen has no hundredths (ISO 4217).
    const yen = quoteFace(madeQuote({ currency: 'JPY', price: { kind: 'fixed', set: 250_000 } }), amountsIn('en-US'));
    expect(plain(yen.sums[0]?.amount ?? '')).toBe('JPY 250,000');
  });

  it('carries a condition with its limit and its sum word for word, and no more conditions than it holds', () => {
    const condition = 'If barrels lose more than 20 % retention, EUR 240.00 more for each.';
    const quote = madeQuote({ conditions: [condition] });
    expect(quoteFace(quote, british).conditions).toEqual([condition]);
    expect(htmlOf({ conditions: [condition] })).toContain(`<li>${condition}</li>`);
    const reading = (conditions: readonly string[]) => readQuote({ ...madeQuote(), conditions }).ok;
    const most = Array.from({ length: MOST_CONDITIONS }, () => condition);
    expect([reading(most), reading([...most, condition])]).toEqual([true, false]);
    const long = 'x'.repeat(MOST_LETTERS.condition);
    expect([reading([long]), reading([`${long}x`]), reading([''])]).toEqual([true, false, false]);
  });

  it('tells no range where there is none', () => {
    const face = quoteFace(madeQuote({ told: { hours: null, parts: null, days: null } }), british);
    expect(face.expected).toHaveLength(1);
  });

  it('lets no text of a person or a log be more than text', () => {
    const hostile = `</style><script>alert(1)</script><img src=x onerror="alert(2)">'&amp;`;
    const asked = { ...madeQuote().asked, complaint: hostile, model: '<b>Heron' };
    const html = htmlOf({
      ...{ asked, number: '<i>1</i>', from: hostile, to: hostile, remarks: hostile, conditions: [hostile] },
      lines: [{ kind: 'part', text: hostile, quantity: 1, price: 1 }],
    });
    // The only tags are our own: none has an attribute that runs or fetches anything.
    const tags = new Set([...html.matchAll(/<\/?([a-z0-9]+)/gi)].map(([, tag]) => tag?.toLowerCase()));
    for (const foreign of ['script', 'img', 'b', 'i']) expect(tags).not.toContain(foreign);
    expect(html).not.toMatch(/\bsrc=x(?! onerror=&quot;)/);
    expect(html.match(/<\/style>/g)).toHaveLength(1);
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme' }), (text) => {
        const safe = escaped(text);
        expect(safe).not.toMatch(/[<>"']|&(?!(amp|lt|gt|quot|#39);)/);
        const back = safe.replaceAll('&lt;', '<').replaceAll('&gt;', '>').replaceAll('&quot;', '"');
        expect(back.replaceAll('&#39;', "'").replaceAll('&amp;', '&')).toBe(text);
      }),
    );
  });

  it('needs nothing beside itself', () => {
    expect(htmlOf({})).toContain("default-src 'none'");
    expect(htmlOf({})).not.toMatch(/https?:|<link|<script|url\(/);
  });

  it('says shares as a person would', () => {
    expect([0.8, 0.05, 0.95, 0.5, 0.33, 0.125].map((share) => plain(shareWords(share)))).toEqual([
      '8 of 10 such jobs',
      '1 of 20 such jobs',
      '19 of 20 such jobs',
      '5 of 10 such jobs',
      '33 of 100 such jobs',
      '12.5 % of such jobs',
    ]);
  });
});

describe('kept quotes and what the jobs took', () => {
  const job = (change: Partial<LaterJob>): LaterJob => ({
    job_id: 'J-1',
    pump_serial: 'H-204417',
    received_on: '2026-03-05',
    finished_on: '2026-03-15',
    labour_hours: 16,
    parts_cost: 1200,
    currency: 'EUR',
    ...change,
  });

  it('find the job that a quote became', () => {
    const jobs = [
      job({ job_id: 'before', received_on: '2025-03-05', finished_on: '2025-03-09' }),
      job({ job_id: 'done', received_on: '2026-02-20', finished_on: '2026-03-01' }),
      job({ job_id: 'other', pump_serial: 'H-1', received_on: '2026-03-02' }),
      job({ job_id: 'later', received_on: '2026-09-05' }),
      job({ job_id: 'counter', received_on: '2026-02-27' }),
    ];
    expect(quotedJob(madeQuote(), jobs)?.job_id).toBe('counter');
    expect(quotedJob(madeQuote(), jobs.slice(0, 3))).toBeNull();
    expect(quotedJob(madeQuote({ asked: { ...madeQuote().asked, serial: null } }), jobs)).toBeNull();
  });

  it('compare each figure with its range, the ends included', () => {
    expect(outcomeOf(madeQuote(), job({}))).toMatchObject({
      hours: { took: 16, within: true },
      parts: { took: 1200, within: false },
      days: { took: 10, within: true },
    });
    // 16 h at 68.50 and 1,200 of parts are 2,296.00; the price was 1,600.08.
    expect(outcomeOf(madeQuote(), job({}))?.over).toBeCloseTo(695.92, 9);
    expect(outcomeOf(madeQuote(), job({ labour_hours: 19 }))?.hours?.within).toBe(true);
    expect(outcomeOf(madeQuote(), job({ labour_hours: 19.1 }))?.hours?.within).toBe(false);
  });

  it('compare nothing where a card does not tell, or tells it in another currency', () => {
    expect(outcomeOf(madeQuote(), job({ finished_on: null }))).toBeNull();
    const other = outcomeOf(madeQuote(), job({ currency: 'CHF', labour_hours: null }));
    expect([other?.hours, other?.parts, other?.over, other?.days?.within]).toEqual([null, null, null, true]);
  });

  it('count how many held by each figure, with an interval', () => {
    const outcomes = [
      job({ labour_hours: 16 }),
      job({ labour_hours: 12, parts_cost: 700 }),
      job({ labour_hours: 30, currency: 'CHF' }),
      job({ labour_hours: null, finished_on: '2026-04-30' }),
    ].flatMap((each) => outcomeOf(madeQuote(), each) ?? []);
    // 11 to 19 h: 16 and 12. EUR 620 to 1,150: 700 alone, and the francs tell nothing. 6 to 12 days: 10 three times, 56 once.
    const counts = (['hours', 'parts', 'days'] as const).map((figure) => heldOf(outcomes, figure));
    expect(counts.map(({ k, n }) => [k, n])).toEqual([
      [2, 3],
      [1, 3],
      [3, 4],
    ]);
    // Wilson's interval of 2 of 3, reckoned by hand: (2 + z²/2 ∓ z √(2/3 + z²/4)) / (3 + z²) with z = 1.96.
    expect(counts[0]?.interval?.low).toBeCloseTo(0.2077, 4);
    expect(counts[0]?.interval?.high).toBeCloseTo(0.9385, 4);
    expect(heldOf([], 'hours')).toEqual({ k: 0, n: 0, interval: null });
  });
});
