import type { Gauge, GaugeUnit } from '../types';

/** How a gauge stands on a day. */
export type GaugeState = 'in date' | 'past its date' | 'without calibration' | 'not told';

/** The gauges of a log, asked by number and day; one object serves any number of readings. */
export class GaugeBook {
  constructor(private readonly gauges: ReadonlyMap<number, Gauge>) {}

  /** Place of the calibration in force: the latest from before or on that day; -1 where there is none. */
  private inForce(gauge: Gauge, day: number): number {
    let place = gauge.calibrated_day.length - 1;
    while (place >= 0 && !((gauge.calibrated_day[place] ?? NaN) <= day)) place--;
    return place;
  }

  /** Expanded uncertainty (k = 2) on a day [days from 1970-01-01] in `unit`; NaN where none is stated, or in another unit. */
  uncertainty(number: number, day: number, unit: GaugeUnit): number {
    const gauge = this.gauges.get(number);
    if (gauge === undefined) return NaN;
    const place = this.inForce(gauge, day);
    return gauge.unit[place] === unit ? (gauge.uncertainty[place] ?? NaN) : NaN;
  }

  /** Whether its calibration holds on a day; 'not told' for a gauge that was not written down or is not listed. */
  state(number: number, day: number): GaugeState {
    const gauge = this.gauges.get(number);
    if (gauge === undefined) return 'not told';
    const place = this.inForce(gauge, day);
    if (place < 0) return 'without calibration';
    return day >= (gauge.due_day[place] ?? NaN) ? 'past its date' : 'in date';
  }
}
