import { calibrate } from '../../calc/batch';
import type { Gauge, Spec } from '../../calc/types';
import { answerOf, readingsOf, type Answer, type Batch, type NumberTable } from '../numbers';
import type { Calculator } from '../recalculate';

/** The engine called directly, in the thread that asks. */
export class DirectCalculator implements Calculator<NumberTable> {
  readonly width = 1;
  private specs = new Map<number, Spec>();
  private gauges = new Map<number, Gauge>();

  begin(specs: readonly Spec[], gauges: readonly Gauge[]): Promise<void> {
    this.gauges = new Map(gauges.map((gauge) => [gauge.gauge, gauge]));
    this.specs = new Map(specs.map((spec) => [spec.spec_no, spec]));
    return Promise.resolve();
  }

  calculate(batch: Batch<NumberTable>): Promise<Answer<NumberTable>> {
    return Promise.resolve(answerOf(calibrate(this.specs, readingsOf(batch), this.gauges)));
  }
}
