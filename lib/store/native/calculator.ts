import { calibrate } from '../../calc/batch';
import type { Spec } from '../../calc/types';
import { answerOf, readingsOf, type Answer, type Batch, type NumberTable } from '../numbers';
import type { Calculator } from '../recalculate';

/** The engine called directly, in the thread that asks. */
export class DirectCalculator implements Calculator<NumberTable> {
  private specs = new Map<number, Spec>();

  begin(specs: readonly Spec[]): Promise<void> {
    this.specs = new Map(specs.map((spec) => [spec.spec_no, spec]));
    return Promise.resolve();
  }

  calculate(batch: Batch<NumberTable>): Promise<Answer<NumberTable>> {
    return Promise.resolve(answerOf(calibrate(this.specs, readingsOf(batch))));
  }
}
