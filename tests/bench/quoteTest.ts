import { backtest } from '../../lib/quote/backtest';
import { historyIn, simulated } from '../quote/simulated';

/** `npx tsx tests/bench/quoteTest.ts`: the quote's back-test on the demo log and on the shops that tests hold out, as in docs/quote.md. */

const CHOICES = { today: '2026-01-01', currency: 'EUR', hourRate: 60, partsIndexPerYear: 0.03 };
const percent = (share: number | null): string =>
  share === null ? 'not enough data' : `${(100 * share).toFixed(1)} %`;

for (const [name, open] of [
  ['demo log', () => historyIn('data-demo/log')],
  ['1,200 jobs', () => simulated(1200, 90_210)],
  ['700 jobs', () => simulated(700, 4711)],
] as const) {
  for (const { target, n, medianError, coverages, against } of backtest(await open(), CHOICES).tests) {
    const held = coverages.map(({ share }) => percent(share)).join(' / ');
    const ways = against.map(
      ({ way, beats, difference, low, high }) =>
        `${way} ${beats} ${difference?.toFixed(2) ?? '-'} (${low?.toFixed(2) ?? '-'} to ${high?.toFixed(2) ?? '-'})`,
    );
    console.log(
      `${name}, ${target}: n ${n}, off by ${medianError?.toFixed(2) ?? '-'}, held ${held}; ${ways.join('; ')}`,
    );
  }
}
