import type { Gauge, Spec } from '../../calc/types';
import type { Answer, Batch } from '../numbers';
import type { Calculator } from '../recalculate';

/** Several workers as one: batches go to them in turn, and each works on one while the others work on theirs. */
export class Crew<Packed> implements Calculator<Packed> {
  private turn = 0;

  constructor(private readonly hands: readonly [Calculator<Packed>, ...Calculator<Packed>[]]) {}

  get width(): number {
    return this.hands.length;
  }

  async begin(specs: readonly Spec[], gauges: readonly Gauge[]): Promise<void> {
    await Promise.all(this.hands.map((hand) => hand.begin(specs, gauges)));
  }

  calculate(batch: Batch<Packed>): Promise<Answer<Packed>> {
    const hand = this.hands[this.turn] ?? this.hands[0];
    this.turn = (this.turn + 1) % this.hands.length;
    return hand.calculate(batch);
  }
}
