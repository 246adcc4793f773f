import { randomNormal } from 'd3-random';
import { seededChance } from '../../lib/stats/shuffle';

/** Normal numbers that are the same at every run. */
export function normals(seed: number): (mean?: number, sd?: number) => number {
  const source = seededChance(seed);
  const standard = randomNormal.source(source)(0, 1);
  return (mean = 0, sd = 1) => mean + sd * standard();
}

/** How many of n independent tries of chance p may come out, four standard deviations either way. */
export function bounds(n: number, p: number): readonly [low: number, high: number] {
  const half = 4 * Math.sqrt(n * p * (1 - p));
  return [n * p - half, n * p + half];
}
