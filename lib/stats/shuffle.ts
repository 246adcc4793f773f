/** Numbers from 0 to below 1, evenly spread; the same seed gives the same ones. */
export type Chance = () => number;

const TO_SHARE = 2 ** -32;

/**
 * Generator of chance numbers for rearranging series: C. Doty-Humphrey's sfc32 (from memory), 32 bits a number. Written out here because
 * a test rearranges tens of thousands of jobs a thousand times, and this takes a few nanoseconds a number.
 * @param seed whole number; others are cut to 32 bits
 */
export function seededChance(seed: number): Chance {
  let [a, b, c, counter] = [0, 0, seed | 0, 1];
  const next: Chance = () => {
    const sum = (a + b + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (((c << 21) | (c >>> 11)) + sum) | 0;
    return (sum >>> 0) * TO_SHARE;
  };
  // Neighbouring seeds part ways in the first rounds.
  for (let round = 0; round < 15; round++) next();
  return next;
}

/** Brings the values into random order, in place, every order as likely as any other (Fisher and Yates; from memory). */
export function shuffle(values: Float64Array, chance: Chance): void {
  for (let last = values.length - 1; last > 0; last--) {
    const other = Math.floor(chance() * (last + 1));
    const value = values[last] ?? NaN;
    values[last] = values[other] ?? NaN;
    values[other] = value;
  }
}

/** A series that chance outdoes this often has no change worth telling (its p is above 0.05 even of 999 rearrangements). */
const ENOUGH = 50;

/**
 * p-value of a permutation test: (1 + rearrangements whose statistic is at least as large) / (1 + rearrangements). Counting the series
 * itself among them keeps the level whatever their number. Source: B. Phipson and G. K. Smyth, Stat. Appl. Genet. Mol. Biol. 9 (2010)
 * article 39 (from memory). Once ENOUGH rearrangements were as large it stops, and p is their share of those made, which keeps the level
 * too. Source: J. Besag and P. Clifford, Sequential Monte Carlo p-values, Biometrika 78 (1991) 301-304 (from memory).
 * @param observed statistic of the series as it is
 * @param rearranged statistic of the series rearranged once more
 * @param rounds how many rearrangements at most, from 1
 */
export function permutationP(observed: number, rearranged: () => number, rounds: number): number {
  // Rearrangements that tie with the series must count, though their sums run in another order.
  const threshold = observed - 1e-9 * Math.abs(observed);
  let asLarge = 0;
  for (let round = 1; round <= rounds; round++) {
    if (rearranged() >= threshold) asLarge += 1;
    if (asLarge === ENOUGH) return ENOUGH / round;
  }
  return (asLarge + 1) / (rounds + 1);
}
