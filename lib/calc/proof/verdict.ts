import { code } from '../layout';

/** Numbers of the verdicts in result tables. 'cannot tell' needs a gauge's uncertainty and is not given without one. */
export const IN = code('verdict', 'in');
export const OUT = code('verdict', 'out');
export const CANNOT_TELL = code('verdict', 'cannot tell');
export const NOT_MEASURED = code('verdict', 'not measured');

/**
 * How far past a limit still counts as on it: a part in 1e9 of the limit, at least 1e-9 of the unit. Far below any gauge's
 * resolution, and enough for 180.3 - 180 to count as 0.3 in binary arithmetic.
 */
const SLACK = 1e-9;

function slack(limit: number): number {
  return SLACK * Math.max(1, Math.abs(limit));
}

/**
 * Whether `value` lies in the closed band from `low` to `high` (all in one unit). A limit that is NaN is an open end. False
 * for a value that is NaN.
 */
export function within(value: number, low: number, high: number): boolean {
  if (value >= low && value <= high) return true;
  return !Number.isNaN(value) && !(value < low - slack(low)) && !(value > high + slack(high));
}

/**
 * Plain comparison with a band, without uncertainty: in, out, or not measured where the value is NaN, or the band has no end to hold
 * it against.
 */
export function judge(value: number, low: number, high: number): number {
  if (Number.isNaN(value) || (Number.isNaN(low) && Number.isNaN(high))) return NOT_MEASURED;
  return within(value, low, high) ? IN : OUT;
}

/**
 * Verdict on two things that must both be in: out where either is out, else not measured where either is not, else cannot
 * tell where either cannot be told. Commutative and associative, with IN as its neutral element.
 */
export function combine(a: number, b: number): number {
  if (a === OUT || b === OUT) return OUT;
  if (a === NOT_MEASURED || b === NOT_MEASURED) return NOT_MEASURED;
  return a === CANNOT_TELL || b === CANNOT_TELL ? CANNOT_TELL : IN;
}

/**
 * Verdict on a set that must be in as a whole, from its parts: `measured` of `asked` parts were read, `failed` of those are
 * out. One part that is out settles it; otherwise all must have been read.
 */
export function judgeAll(measured: number, asked: number, failed: number): number {
  if (failed > 0) return OUT;
  return measured < asked ? NOT_MEASURED : IN;
}

/** Whether every part of a set was measured; else a figure of the set as a whole, such as its mean, cannot be judged. */
export function judgeWhole(verdict: number, measured: number, asked: number): number {
  return measured < asked ? NOT_MEASURED : verdict;
}
