import { quoteDocumentSchema, type QuoteDocument } from '../../lib/report/quote/quoteDocument';

const told = (median: number, low: number, high: number, n: number) => ({
  median,
  n,
  basis: 'Heron, rebuild',
  ranges: [
    { coverage: 0.5, low: median, high: median },
    { coverage: 0.8, low, high },
    { coverage: 0.95, low: 0, high: null },
  ],
});

/** A whole quote of a made-up pump. */
export const madeQuote = (change: Partial<QuoteDocument> = {}): QuoteDocument =>
  quoteDocumentSchema.parse({
    shimbook_quote: 1,
    number: 'Q-12',
    on: '2026-03-02',
    valid_days: 30,
    from: 'The shop\nQuarry Road 1',
    to: 'A customer',
    asked: {
      model: 'Heron',
      serial: 'H-204417',
      work_type: 'rebuild',
      complaint: 'low power',
      engine_hours: 8200,
      branch: null,
      retention_deficit: null,
      phase_error_deg: 0.8,
      scatter_percent: null,
      leak_slope: null,
    },
    currency: 'EUR',
    told: { hours: told(14.5, 11, 19, 143), parts: told(800, 620, 1150, 120), days: told(8, 6, 12, 140) },
    lines: [
      { kind: 'labour', text: 'Labour', quantity: 14.5, price: 6850 },
      { kind: 'part', text: 'Plungers and barrels', quantity: 6, price: 4799 },
      { kind: 'allowance', text: 'Fluid and small parts', quantity: 1, price: 2500 },
    ],
    margin_percent: 22.5,
    tax_percent: 19,
    price: { kind: 'fixed', set: null },
    overrun: { share: 0.2, low: 0.12, high: 0.3, n: 120 },
    conditions: ['If barrels are worn beyond use, EUR 240.00 more for each.'],
    remarks: 'Bring the drive coupling.',
    ...change,
  });
