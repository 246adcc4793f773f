import { uniformInt } from 'pure-rand/distribution/uniformInt';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';

/** By code unit, the same in every language and on every machine. */
const byCode = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** The finishing steps of MurmurHash3 (from memory): the generator's first numbers are alike for neighbouring seeds. */
function scattered(seed: number): number {
  let hash = (seed | 0) ^ 0x9e3779b9;
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b);
  hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35);
  return hash ^ (hash >>> 16);
}

/**
 * Draws `n` of the names by chance, without putting back, every set as likely as any other (Fisher and Yates, from memory; generator
 * xoroshiro128+). The same names and the same seed give the same sample, in whatever order they come; a larger n with the same seed
 * keeps those drawn before.
 *
 * @param names told apart by their text; one that is there twice counts once
 * @param n whole number from 0; all are drawn where there are fewer
 * @param seed whole number; others are cut to 32 bits
 * @returns the names drawn, in the order drawn
 */
export function drawSample(names: readonly string[], n: number, seed: number): readonly string[] {
  const left = [...new Set(names)].sort(byCode);
  const chance = xoroshiro128plus(scattered(seed));
  const drawn = Math.min(Math.max(0, Math.floor(n)), left.length);
  for (let at = 0; at < drawn; at += 1) {
    const other = uniformInt(chance, at, left.length - 1);
    const name = left[other] ?? '';
    left[other] = left[at] ?? '';
    left[at] = name;
  }
  return left.slice(0, drawn);
}
