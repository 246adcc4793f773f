/** From here up Stirling's series for ln k! holds to the last digits. */
const STIRLING_FROM = 16;

/** A term this small a share of the sum changes nothing. */
const SPENT = 1e-17;

/** Which side of the Poisson distribution, the count itself included. */
export type Tail = 'or more' | 'or fewer';

/** ln k! of a whole number from 0 up. */
function logFactorial(k: number): number {
  if (k < STIRLING_FROM) {
    let product = 1;
    for (let factor = 2; factor <= k; factor++) product *= factor;
    return Math.log(product);
  }
  const series = 1 / (12 * k) - 1 / (360 * k ** 3) + 1 / (1260 * k ** 5) - 1 / (1680 * k ** 7);
  return k * Math.log(k) - k + Math.log(2 * Math.PI * k) / 2 + series;
}

/**
 * Chance of `count` events or more, or of so many or fewer, where `mean` are expected: the Poisson terms, each from the one before it,
 * summed from the count outwards. Source: definition.
 *
 * @param count whole number from 0 up
 * @param mean above 0, on the side of the count that leaves the smaller tail (else the terms grow, and it takes long)
 */
function tailOf(count: number, mean: number, tail: Tail): number {
  let [term, sum] = [1, 1];
  for (let k = count; term > SPENT * sum;) {
    if (tail === 'or more') term *= mean / ++k;
    else term *= k-- / mean;
    sum += term;
  }
  return sum * Math.exp(count * Math.log(mean) - mean - logFactorial(count));
}

/**
 * The mean at which `count` events or more, or so many or fewer, have just the chance `chance`: an end of Garwood's interval, by
 * halving down to the last digit. Takes time as the root of the count.
 *
 * @param count whole number from 0 up
 * @param chance above 0, at most 0.5
 * @returns 0 for 0 events or more, which are certain
 */
export function meanWithTail(count: number, chance: number, tail: Tail): number {
  if (tail === 'or more' && count === 0) return 0;
  const beyond = -Math.log(chance);
  // Chernoff's bound: at count + √(2 count beyond) + 2 beyond so few have less than this chance.
  let [low, high] = tail === 'or more' ? [0, count] : [count, count + Math.sqrt(2 * count * beyond) + 2 * beyond];
  for (;;) {
    const middle = (low + high) / 2;
    if (middle <= low || middle >= high) return middle;
    const above = tailOf(count, middle, tail) > chance;
    if (above === (tail === 'or fewer')) low = middle;
    else high = middle;
  }
}
