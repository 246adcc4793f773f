import { MM3_PER_CM3 } from '../../units/units';
import type { TestPoint } from '../types';
import { within } from '../proof/verdict';

/** Delivery per stroke q [mm3] from a volume [cm3] drawn over `strokes`. NaN unless the volume is from 0 and strokes above 0. */
export function perStroke(volume: number, strokes: number): number {
  return volume >= 0 && strokes > 0 ? (MM3_PER_CM3 * volume) / strokes : NaN;
}

/** Speed window where the specification gives none: 1 % of the speed, at least 5 rpm. Common practice, no source. */
export function assumedSpeedTolerance(speed: number): number {
  return Math.max(0.01 * speed, 5);
}

/** One window, both ends in the unit of its reading; NaN is an open end, both NaN that none is asked for. */
export interface DrawWindow {
  readonly low: number;
  readonly high: number;
}

/** What a test point asks of a draw: rack [mm], speed [rpm of the pump], fluid temperature [deg C], feed pressure [kPa]. */
export interface DrawWindows {
  /** Asked for only where rack and tolerance are both stated. */
  readonly rack: DrawWindow;
  readonly speed: DrawWindow;
  readonly speedAssumed: boolean;
  readonly fluid: DrawWindow;
  readonly feed: DrawWindow;
}

const around = (middle: number, tolerance: number): DrawWindow => ({
  low: middle - tolerance,
  high: middle + tolerance,
});

export function drawWindows(point: TestPoint): DrawWindows {
  const speedAssumed = Number.isNaN(point.speed_tol_rpm);
  return {
    rack: around(point.rack_mm, point.rack_tol_mm),
    speed: around(point.speed_rpm, speedAssumed ? assumedSpeedTolerance(point.speed_rpm) : point.speed_tol_rpm),
    speedAssumed,
    fluid: { low: point.fluid_low_c, high: point.fluid_high_c },
    feed: { low: point.feed_low_kpa, high: point.feed_high_kpa },
  };
}

/** Whether the window is asked for at all. */
export function isAsked({ low, high }: DrawWindow): boolean {
  return !(Number.isNaN(low) && Number.isNaN(high));
}

/** Whether a reading that was made lies outside the window; a missing one (NaN) does not. */
export function isOutside(reading: number, { low, high }: DrawWindow): boolean {
  return !Number.isNaN(reading) && !within(reading, low, high);
}
