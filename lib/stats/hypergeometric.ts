import type { Chance } from './shuffle';

/** ln n! for every whole number up to `most`. */
export function logFactorials(most: number): Float64Array {
  const table = new Float64Array(most + 1);
  for (let n = 2; n <= most; n += 1) table[n] = (table[n - 1] ?? NaN) + Math.log(n);
  return table;
}

/**
 * How many of `marked` jobs fall among `taken` that are taken at random out of `all`: a draw from the hypergeometric distribution, by
 * inversion that begins at its mode, so that its time goes with the standard deviation and not with the number of jobs. Source: L. Devroye,
 * Non-Uniform Random Variate Generation (1986), III.2 for inversion from the mode (from memory).
 * @param marked whole number, 0 to all
 * @param taken whole number, 0 to all
 * @param logs from `logFactorials`, up to `all` at least
 */
export function drawMarked(all: number, marked: number, taken: number, logs: Float64Array, chance: Chance): number {
  const [least, most] = [Math.max(0, taken - (all - marked)), Math.min(marked, taken)];
  if (least === most) return least;
  const log = (n: number): number => logs[n] ?? NaN;
  const mode = Math.min(most, Math.max(least, Math.floor(((taken + 1) * (marked + 1)) / (all + 2))));
  const rest = all - marked - taken;
  const atMode = Math.exp(
    log(marked) -
      log(mode) -
      log(marked - mode) +
      log(all - marked) -
      log(taken - mode) -
      log(rest + mode) -
      log(all) +
      log(taken) +
      log(all - taken),
  );
  let left = chance() - atMode;
  let [up, down] = [mode, mode];
  let [above, below] = [atMode, atMode];
  while (left >= 0 && (up < most || down > least)) {
    if (up < most) {
      above *= ((marked - up) * (taken - up)) / ((up + 1) * (rest + up + 1));
      up += 1;
      left -= above;
      if (left < 0) return up;
    }
    if (down > least) {
      below *= (down * (rest + down)) / ((marked - down + 1) * (taken - down + 1));
      down -= 1;
      left -= below;
      if (left < 0) return down;
    }
  }
  // Also where rounding leaves a last hair of chance to none.
  return mode;
}
