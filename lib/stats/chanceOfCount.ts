/**
 * The items that a sample is drawn from: `size` of them, `bad` of those with the mark; or a process without end in which each item has
 * the mark with the chance `share`.
 */
export type Lot = { readonly size: number; readonly bad: number } | { readonly share: number };

/** Ratio of the chance of k + 1 to the chance of k in a sample of n: the hypergeometric distribution's, or the binomial's. */
function stepUp(lot: Lot, n: number, k: number): number {
  if ('share' in lot) return ((n - k) * lot.share) / ((k + 1) * (1 - lot.share));
  const { size, bad } = lot;
  return ((bad - k) * (n - k)) / ((k + 1) * (size - bad - n + k + 1));
}

/** The likeliest count, from the distribution's own formula. */
const modeOf = (lot: Lot, n: number): number =>
  'share' in lot
    ? Math.min(n, Math.floor((n + 1) * lot.share))
    : Math.floor(((n + 1) * (lot.bad + 1)) / (lot.size + 2));

/** Below this part of the likeliest chance nothing more can change a sum's last digit. */
const DUST = 1e-30;

/**
 * Chance that a sample of `n`, drawn without putting back, holds at most `most` items with the mark: the sum of the hypergeometric
 * chances, or of the binomial ones for a process without end. Source: definition. Each chance is told against the likeliest one and the
 * sum divided by that of all, so that no factorial is needed and no lot is too large.
 *
 * @param n whole number from 0, at most the size of the lot
 * @returns 0 to 1; NaN where the counts make no sample
 */
export function chanceOfAtMost(most: number, n: number, lot: Lot): number {
  if (!isSample(n, lot)) return NaN;
  if ('share' in lot && (lot.share === 0 || lot.share === 1)) return most >= (lot.share === 0 ? 0 : n) ? 1 : 0;
  const least = 'share' in lot ? 0 : Math.max(0, n - (lot.size - lot.bad));
  const greatest = 'share' in lot ? n : Math.min(n, lot.bad);
  if (most < least) return 0;
  if (most >= greatest) return 1;
  const mode = Math.min(greatest, Math.max(least, modeOf(lot, n)));
  let [below, above] = mode <= most ? [1, 0] : [0, 1];
  for (let k = mode, weight = 1; k < greatest && weight > DUST; k += 1) {
    weight *= stepUp(lot, n, k);
    if (k + 1 <= most) below += weight;
    else above += weight;
  }
  for (let k = mode, weight = 1; k > least && weight > DUST; k -= 1) {
    weight /= stepUp(lot, n, k - 1);
    if (k - 1 <= most) below += weight;
    else above += weight;
  }
  return below / (below + above);
}

function isSample(n: number, lot: Lot): boolean {
  if (!Number.isInteger(n) || n < 0) return false;
  if ('share' in lot) return lot.share >= 0 && lot.share <= 1;
  const { size, bad } = lot;
  return Number.isInteger(size) && Number.isInteger(bad) && bad >= 0 && bad <= size && n <= size;
}
