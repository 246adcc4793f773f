import { int, reading, real } from '../columns';
import { agrees } from '../proof/findings';
import { ALLOWED_PAIR_DIFFERENCE_MM, isChange, madeChange, pairDifference } from './phasing';
import type { ShimRows } from '../types';

/** Stacks are measured with a micrometer, and written to this at least [mm]. Common practice, no source. */
const STACK_DECIMAL_MM = 0.01;

/**
 * How high a stack holds its barrel [mm]: of a split pair the mean of its halves, as the barrel's axis stands between them; the
 * other half where one was not written down. NaN where neither was.
 */
export function stackHeight(first: number, second: number): number {
  if (Number.isNaN(second)) return first;
  return Number.isNaN(first) ? second : (first + second) / 2;
}

/** Whether the halves of a split pair differ by more than they may; false where it is no pair. */
export const isUneven = (difference: number): boolean => difference > ALLOWED_PAIR_DIFFERENCE_MM + 1e-9;

/** What the card says of a change, beside the stacks: `misreckoned` where it agrees neither with them nor with their opposite. */
export type StatedChange = 'agrees' | 'wrong sign' | 'misreckoned';

/**
 * The stacks of one job, run by run, as its shim rows tell them. A row of run r is the change made after measurement r. All
 * arrays are by element - 1 and used again for every run.
 */
export class Stacks {
  /** Height that the barrel stood at in this run [mm], as this run's row or else the last one before says; NaN where not known. */
  readonly before: Float64Array;
  /** Change of that height [mm], positive adds; NaN where it was not written down. */
  readonly made: Float64Array;
  /** 1 where a stack was changed: of a split pair where either half was, although the height may be the same. */
  readonly changed: Uint8Array;
  /** How far the halves of a pair differ [mm]: after the change, or as found where nothing was written of a change. */
  readonly pair: Float64Array;
  /** The same as found. */
  readonly pairFound: Float64Array;
  /** The change that the card states [mm]. */
  readonly stated: Float64Array;

  /** Changes of the halves of a pair [mm], of a stack in one piece the first alone. */
  private readonly madeFirst: Float64Array;
  private readonly madeSecond: Float64Array;
  /** Height and difference as the last row before this run left them, and the run of a pair that was found uneven and left so. */
  private readonly height: Float64Array;
  private readonly difference: Float64Array;
  private readonly unevenRun: Int32Array;

  constructor(elements: number) {
    this.before = new Float64Array(elements);
    this.made = new Float64Array(elements);
    this.changed = new Uint8Array(elements);
    this.pair = new Float64Array(elements);
    this.pairFound = new Float64Array(elements);
    this.stated = new Float64Array(elements);
    this.madeFirst = new Float64Array(elements);
    this.madeSecond = new Float64Array(elements);
    this.height = new Float64Array(elements);
    this.difference = new Float64Array(elements);
    this.unevenRun = new Int32Array(elements);
  }

  beginJob(): void {
    this.height.fill(NaN);
    this.difference.fill(NaN);
    this.unevenRun.fill(-1);
  }

  beginRun(): void {
    this.before.set(this.height);
    this.made.fill(NaN);
    this.changed.fill(0);
    this.pair.fill(NaN);
    this.pairFound.fill(NaN);
    this.stated.fill(NaN);
    this.madeFirst.fill(NaN);
    this.madeSecond.fill(NaN);
  }

  /** Takes one shim row in, of element k + 1. */
  read(rows: ShimRows, row: number, k: number): void {
    const [before, second] = [reading(rows.before_mm, row), reading(rows.before_second_mm, row)];
    const [after, secondAfter] = [reading(rows.after_mm, row), reading(rows.after_second_mm, row)];
    const height = stackHeight(before, second);
    if (!Number.isNaN(height)) this.before[k] = height;
    const first = madeChange(before, after);
    const other = madeChange(second, secondAfter);
    this.madeFirst[k] = first;
    this.madeSecond[k] = other;
    this.made[k] = stackHeight(first, other);
    this.changed[k] = isChange(first) || isChange(other) ? 1 : 0;
    this.stated[k] = reading(rows.stated_change_mm, row);
    const isLeft = Number.isNaN(after) && Number.isNaN(secondAfter);
    const found = pairDifference(before, second);
    // A pair that this job made uneven itself was told of when it did.
    this.pairFound[k] = isUneven(real(this.difference, k)) ? NaN : found;
    this.pair[k] = isLeft ? found : pairDifference(after, secondAfter);
    this.height[k] = stackHeight(after, secondAfter);
    this.difference[k] = real(this.pair, k);
    this.unevenRun[k] = isLeft && isUneven(found) ? int(rows.run, row) : -1;
  }

  /** The run in which the pair of element k + 1 was found uneven, where it was never made even since; -1 otherwise. */
  leftUnevenSince(k: number): number {
    return int(this.unevenRun, k);
  }

  /** How far the halves under element k + 1 differ as the last row left them [mm]. */
  leftDifference(k: number): number {
    return real(this.difference, k);
  }

  /**
   * The change that the card states for element k + 1 against its stacks. Of a pair it may be that of either half: whoever makes
   * halves even changes them by different amounts, and a card has room for one.
   */
  judgeStated(k: number): StatedChange {
    const stated = real(this.stated, k);
    const changes = [this.made, this.madeFirst, this.madeSecond].map((column) => real(column, k));
    const known = changes.filter((change) => !Number.isNaN(change));
    if (known.length === 0 || known.some((change) => agrees(stated, change, STACK_DECIMAL_MM))) return 'agrees';
    const opposite = known.some((change) => isChange(change) && agrees(stated, -change, STACK_DECIMAL_MM));
    return opposite ? 'wrong sign' : 'misreckoned';
  }
}
