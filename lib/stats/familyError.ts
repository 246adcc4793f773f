import { falseDiscovery } from './falseDiscovery';

/**
 * Adjusted p-values for comparisons that come in groups: calling what is at or below `a` a difference, the chance of one wrong call or
 * more is `a` at most, whatever else is true. Within a group of n, p_(j) n/j, the least over j >= rank (R. J. Simes, Biometrika 73 (1986)
 * 751-754, by the steps of Benjamini and Hochberg), so that comparisons that say the same thing over do not count as so many; over the
 * groups S. Holm's steps (Scand. J. Stat. 6 (1979) 65-70) on each group's least: times the number of groups that are no surer. Both from
 * memory. Simes' inequality holds where comparisons of a group are independent or lean the same way.
 *
 * Of one group's comparisons that are called, a share `a` may be wrong where another of the same group is right.
 *
 * @param p raw p-values, 0 to 1, of any length; one that is no such number was not tested and is not counted
 * @param group number of the group of each, as long as `p`; whole, from 0
 * @returns as long as `p` and in its order, at most 1; NaN where not tested
 */
export function familyError(p: ArrayLike<number>, group: ArrayLike<number>): Float64Array {
  const members = new Map<number, number[]>();
  for (let i = 0; i < p.length; i += 1) {
    const list = members.get(group[i] ?? 0);
    if (list === undefined) members.set(group[i] ?? 0, [i]);
    else list.push(i);
  }
  const adjusted = new Float64Array(p.length).fill(NaN);
  const groups = [...members.values()]
    .map((places) => ({ places, within: falseDiscovery(places.map((i) => p[i] ?? NaN)) }))
    .map(({ places, within }) => ({ places, within, least: within.reduce((a, b) => (b < a ? b : a), Infinity) }))
    .filter(({ least }) => least <= 1)
    .sort((a, b) => a.least - b.least);
  let reached = 0;
  groups.forEach(({ places, within, least }, before) => {
    const times = groups.length - before;
    // Who is less sure than another group is never told as surer.
    reached = Math.max(reached, Math.min(1, least * times));
    const floor = reached;
    places.forEach((i, k) => {
      const own = within[k] ?? NaN;
      if (own <= 1) adjusted[i] = Math.min(1, Math.max(floor, own * times));
    });
  });
  return adjusted;
}
