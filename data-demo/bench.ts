import { warmth } from './calendar';
import type { Dice } from './random';
import { nearest } from './rows';
import type { SheetPoint } from './sheets';
import type { Bench, Calibration, Technician } from './shop';

/** What was set for a draw: as it truly was, and as it was read. */
export interface Setting {
  readonly rack: number;
  readonly rpm: number;
  readonly fluid: number;
  readonly read: {
    readonly speed_rpm: number;
    readonly rack_mm: number;
    readonly fluid_c: number;
    readonly feed_kpa: number;
  };
  readonly inWindow: boolean;
}

/** Part of the draws that were taken with the rack, the speed or the fluid not yet where the sheet wants them. */
const OFF = { rack: 0.016, speed: 0.008, fluid: 0.012 } as const;

export function setBench(point: SheetPoint, day: number, chance: Dice): Setting {
  const { row } = point;
  const off = (part: number) => chance.chance(part);
  const side = () => (chance.chance(0.5) ? 1 : -1);
  const rackTol = row.rack_tol_mm ?? 0.1;
  const rack = point.rack_mm + (off(OFF.rack) ? side() * chance.between(rackTol + 0.08, 0.55) : chance.normal(0, 0.02));
  const rpm = row.speed_rpm + (off(OFF.speed) ? side() * chance.between(25, 60) : chance.normal(0, 2));
  const cold = off(OFF.fluid * (1.3 - warmth(day)));
  const fluid = cold ? chance.between(33, 36.5) : 40 + chance.normal(0, 0.55);
  const feed = ((row.feed_low_kpa ?? 150) + (row.feed_high_kpa ?? 190)) / 2 + chance.normal(0, 4);
  const read = {
    speed_rpm: nearest(rpm, 1),
    rack_mm: nearest(rack, 20),
    fluid_c: nearest(fluid, 10),
    feed_kpa: nearest(feed, 1),
  };
  const within = (value: number, low: number | null | undefined, high: number | null | undefined) =>
    value >= (low ?? -Infinity) - 1e-9 && value <= (high ?? Infinity) + 1e-9;
  return {
    rack,
    rpm,
    fluid,
    read,
    inWindow:
      within(read.rack_mm, point.rack_mm - rackTol, point.rack_mm + rackTol) &&
      within(read.speed_rpm, row.speed_rpm - (row.speed_tol_rpm ?? 10), row.speed_rpm + (row.speed_tol_rpm ?? 10)) &&
      within(read.fluid_c, row.fluid_low_c, row.fluid_high_c) &&
      within(read.feed_kpa, row.feed_low_kpa, row.feed_high_kpa),
  };
}

/** Expansion of the fluid near 40 C [1/C]: a warm draw fills the graduate further. */
const EXPANSION = 0.0009;

/** What the graduate shows [cm3], to its 0.1: `delivery` [mm3/stroke] over `strokes`. */
export function catchDraw(delivery: number, strokes: number, setting: Setting, factor: number, chance: Dice): number {
  const volume = (delivery * strokes) / 1000;
  const warm = volume * (1 + EXPANSION * (setting.fluid - 40));
  return Math.max(0, nearest(warm * factor + chance.normal(0, 0.06), 10));
}

/** A lift as the dial gauge gives it [mm], to its 0.01, preload included where the bench leaves it in. */
export function readLift(
  lift: number,
  bench: Bench,
  calibration: Calibration | null,
  drift: number,
  chance: Dice,
): number {
  return nearest(lift + (calibration?.error ?? 0) + drift + (bench.preload_mm ?? 0) + chance.normal(0, 0.006), 100);
}

/** A closure as read off the wheel [deg], to its 0.05. */
export const readClosure = (deg: number, technician: Technician, chance: Dice): number =>
  nearest(deg + chance.normal(0, technician.reading_deg), 20);
