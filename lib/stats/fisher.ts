import type { ExactP } from './binomialTest';
import { isProportion, type Proportion } from './counts';

/** Tables this close in weight count as equally likely: their weights are sums of rounded products. */
const ALIKE = 1 + 1e-7;

/**
 * Weights of every table with the same margins, by the first group's successes from the fewest possible up. Each comes from
 * its neighbour by the ratio of hypergeometric probabilities, from the likeliest outwards, so that nothing overflows.
 */
function tableWeights(first: Proportion, second: Proportion): { fewest: number; weights: Float64Array } {
  const marked = first.successes + second.successes;
  const fewest = Math.max(0, marked - second.trials);
  const most = Math.min(first.trials, marked);
  const likeliest = Math.floor(((first.trials + 1) * (marked + 1)) / (first.trials + second.trials + 2));
  const start = Math.min(most, Math.max(fewest, likeliest)) - fewest;
  /** Probability of one success more over that of x. */
  const step = (x: number) => ((first.trials - x) * (marked - x)) / ((x + 1) * (second.trials - marked + x + 1));
  const weights = new Float64Array(most - fewest + 1);
  weights[start] = 1;
  for (let k = start + 1, w = 1; k < weights.length; k++) weights[k] = w *= step(fewest + k - 1);
  for (let k = start - 1, w = 1; k >= 0; k--) weights[k] = w /= step(fewest + k);
  return { fewest, weights };
}

/**
 * Fisher's exact test of two independent shares (a 2x2 table): the chance, with both margins as they are, of a table no likelier
 * than the one seen. R. A. Fisher, J. Roy. Stat. Soc. 98 (1935) 39-82. Mid-p counts tables as likely as the one seen half
 * (A. Agresti, Categorical Data Analysis; from memory).
 *
 * @returns 1 for both where nobody or everybody has the mark (mid-p then 0.5); null where either makes no proportion
 */
export function fisher(first: Proportion, second: Proportion): ExactP | null {
  if (!isProportion(first) || !isProportion(second)) return null;
  const { fewest, weights } = tableWeights(first, second);
  const seen = weights[first.successes - fewest] ?? NaN;
  let [all, rarer, alike] = [0, 0, 0];
  for (const weight of weights) {
    all += weight;
    if (weight * ALIKE < seen) rarer += weight;
    else if (weight <= seen * ALIKE) alike += weight;
  }
  return { p: Math.min(1, (rarer + alike) / all), midP: (rarer + alike / 2) / all };
}
