/**
 * Adjusted p-values for many comparisons at once (false discovery rate): calling what is at or below q a difference, no more than a
 * share q of such calls is wrong on average, where comparisons are independent or lean the same way. Step-up procedure of
 * Y. Benjamini and Y. Hochberg, J. Roy. Stat. Soc. B 57 (1995) 289-300: the least over j >= rank of p_(j) m/j, at most 1.
 *
 * @param p raw p-values, 0 to 1, of any length; one that is no such number was not tested: it is not counted in m
 * @returns as long as `p` and in its order; NaN where not tested
 */
export function falseDiscovery(p: ArrayLike<number>): Float64Array {
  const adjusted = new Float64Array(p.length).fill(NaN);
  const raw = (k: number) => p[k] ?? NaN;
  const rising = Array.from(p, (_, k) => k)
    .filter((k) => raw(k) >= 0 && raw(k) <= 1)
    .sort((a, b) => raw(a) - raw(b));
  let least = 1;
  for (const [before, k] of [...rising.entries()].reverse()) {
    least = Math.min(least, raw(k) * (rising.length / (before + 1)));
    adjusted[k] = least;
  }
  return adjusted;
}
